"""What the differences among the cells take from the run time, and whom it is told."""

from __future__ import annotations

from pathlib import Path
from typing import Any

import numpy as np
import pytest

from packdesign.engineering.discharge.run import EndReason
from packdesign.foundation.basis import Band
from packdesign.planning.assess.discharge import DischargeOutcome, run_discharge
from packdesign.planning.assess.loading import loading_of
from packdesign.planning.assess.service import design_of
from packdesign.planning.assess.weakest_group import WeakestGroup
from packdesign.planning.brief.load import brief_from_mapping

HEAD = "cell,rested_v,capacity_ah,resistance_milliohm\n"


def discharged(
    *, series: int = 3, parallel: int = 1, amps: str = "2 A", **more: Any
) -> DischargeOutcome:
    cell = {"cell": "Samsung SDI INR18650-25R", "series": series, "parallel": parallel}
    brief = brief_from_mapping(
        {
            "pack": cell | more.pop("pack", {}),
            "loads": [{"name": "lamp", "amps": amps}],
            "surroundings": {"ambient": "20 degC"},
        }
        | more
    )
    design = design_of(brief)
    return run_discharge(brief, design, loading_of(brief, design))


def weakest(**more: Any) -> WeakestGroup:
    found = discharged(**more).weakest
    assert found is not None
    return found


@pytest.fixture
def lot(tmp_path: Path) -> Any:
    def written(*capacities: float, ohm: tuple[float, ...] = ()) -> dict[str, Any]:
        ohms = ohm or (20.0,) * len(capacities)
        rows = [
            f"A{k},3.60,{ah},{each}\n"
            for k, (ah, each) in enumerate(zip(capacities, ohms, strict=True), start=1)
        ]
        path = tmp_path / "cells.csv"
        path.write_text(HEAD + "".join(rows))
        return {"measured": {"cells": path}}

    return written


def test_a_single_cell_has_no_weakest_group() -> None:
    assert discharged(series=1).weakest is None


def test_a_longer_string_has_a_weaker_weakest_cell() -> None:
    short, long = weakest(series=2), weakest(series=12)
    assert long.share.mid < short.share.mid < 1.0
    # the least of 12 normal draws lies 1.63 standard deviations low (any table of order statistics)
    assert 1 - long.share.mid == pytest.approx(1.63 * 0.003, rel=0.35)
    assert long.share.low < long.share.mid < long.share.high


def test_cells_of_a_marketplace_cost_more_than_those_of_one_batch() -> None:
    new, mixed = weakest(), weakest(pack={"cell_origin": "used_pack"})
    assert 1 - mixed.share.mid > 3 * (1 - new.share.mid)
    assert "mixed" in mixed.words


def test_cells_in_parallel_help_each_other() -> None:
    assert weakest(parallel=4, amps="8 A").share.mid > weakest(parallel=1, amps="2 A").share.mid


def test_a_batch_takes_from_the_low_end_alone() -> None:
    found = discharged()
    assert found.weakest is not None
    bands = found.bands.run_time_s
    assert found.run_time_s.low == pytest.approx(bands.low * found.weakest.share.low)
    assert found.run_time_s.mid == pytest.approx(float(found.trace.time_s[-1]))


def test_a_measured_lot_tells_its_weakest_group(lot: Any) -> None:
    found = discharged(**lot(2.50, 2.50, 2.30))
    assert found.weakest is not None
    # the cells are dealt in order of capacity, so the last group gets the weak one
    assert found.weakest.group == 3
    assert found.weakest.share.mid == pytest.approx(2.30 / (7.30 / 3), rel=0.01)
    assert "group 3 ends the run" in found.weakest.words
    assert found.ends_by == "cell cut-off voltage (group 3)"


def test_the_run_over_time_ends_where_the_measured_pack_does(lot: Any) -> None:
    """At 2 A the weak cell gives its 2.30 Ah; the others keep 0.2 Ah of their 2.50."""
    found = discharged(**lot(2.50, 2.50, 2.30))
    shown = found.as_it_ends
    assert found.run_time_s.mid == pytest.approx(float(shown.trace.time_s[-1]), rel=1e-6)
    assert shown.summary.delivered_ah == pytest.approx(2.0 * found.run_time_s.mid / 3600, rel=1e-3)
    assert shown.summary.delivered_ah == pytest.approx(2.27, abs=0.04)
    assert shown.bands.voltage_low_v is not None
    assert shown.bands.voltage_low_v.shape == shown.trace.time_s.shape
    assert shown.bands.delivered_ah.mid == pytest.approx(shown.summary.delivered_ah, rel=1e-3)
    assert shown.trace.voltage_v[-1] == shown.min_voltage_v.mid
    # the weak cell at its cut-off of 2.5 V, the two others where a pack of such is by then
    alike = discharged(**lot(2.50, 2.50, 2.50))
    then_v = np.interp(found.run_time_s.mid, alike.trace.time_s, alike.trace.voltage_v)
    assert shown.min_voltage_v.mid == pytest.approx(2.5 + 2 * then_v / 3, abs=0.02)
    assert found.min_voltage_v.low == pytest.approx(alike.min_voltage_v.low, abs=0.05)


def test_verdicts_see_what_like_cells_would_still_be_asked(tmp_path: Path) -> None:
    """A burst after the moment at which a group that is behind ends the run comes once it is level:
    25 A for half a minute from a cell of 20 A."""
    log = tmp_path / "log.csv"
    log.write_text("time_s,current_a\n0,1\n1999,1\n2000,25\n2030,25\n2031,1\n3000,1\n")
    behind = {"group_behind": ["0 mAh", "2200 mAh", "0 mAh"]}
    found = discharged(loads=[], load={"log": log}, measured=behind, charger={"balances": False})
    assert found.run_time_s.mid < 1500.0
    assert found.summary.peak_current_a == pytest.approx(25.0)
    assert found.as_it_ends.summary.peak_current_a == pytest.approx(1.0)


def test_spare_cells_say_nothing_of_the_pack(lot: Any) -> None:
    """Six for a pack of three: the best three make it, and it runs as long as they do."""
    spare = discharged(**lot(2.60, 2.60, 2.60, 2.30, 2.31, 2.35))
    alone = discharged(**lot(2.60, 2.60, 2.60))
    assert spare.run_time_s.mid == pytest.approx(alone.run_time_s.mid, rel=1e-6)
    assert spare.weakest is not None
    assert spare.weakest.share.mid <= 1.0


def test_a_measured_lot_counts_as_a_whole_too(lot: Any) -> None:
    """What all cells lack is in the model; what one lacks against the others ends the run."""
    worn, good = (discharged(**lot(ah, ah, ah)) for ah in (2.30, 2.50))
    assert worn.run_time_s.mid == pytest.approx(0.92 * good.run_time_s.mid, rel=0.01)
    for found in (worn, good):
        assert found.weakest is not None
        assert found.weakest.share.mid == pytest.approx(1.0, rel=0.002)
    assert good.run_time_s.mid == pytest.approx(discharged().run_time_s.mid, rel=0.002)


def test_a_mean_read_from_the_pack_goes_before_that_of_its_lot(lot: Any) -> None:
    cells = lot(2.50, 2.50, 2.30)
    cells["measured"]["cell_capacity"] = "2200 mAh"
    found, plain = discharged(**cells), discharged(measured={"cell_capacity": "2200 mAh"})
    assert found.weakest is not None
    assert found.weakest.share.mid == pytest.approx(2.30 / (7.30 / 3), rel=0.01)
    assert found.run_time_s.mid == pytest.approx(
        found.weakest.share.mid * plain.run_time_s.mid, rel=0.002
    )


def test_a_measured_capacity_leaves_less_doubt() -> None:
    """The sheet's 1.5 to 6 % give way to the 2 % of a reading: here a cell of a catalogue."""
    cell = {"cell": "Panasonic/Sanyo NCR20700B"}
    known = discharged(pack=cell, measured={"cell_capacity": "4250 mAh"}).bands.run_time_s
    rated = discharged(pack=cell).bands.run_time_s
    assert known.high - known.low < 0.5 * (rated.high - rated.low)


def test_a_resistance_costs_at_a_high_current_what_it_does_not_at_a_low_one(lot: Any) -> None:
    cells = lot(2.50, 2.50, 2.50, ohm=(20.0, 20.0, 25.0))
    fast, slow = (weakest(amps=amps, **cells).share.mid for amps in ("12 A", "0.5 A"))
    assert fast < slow - 5e-4
    assert slow == pytest.approx(1.0, abs=0.003)


def test_a_lot_that_makes_no_pack_leaves_the_batch(lot: Any) -> None:
    found = weakest(**lot(2.50, 2.50))
    assert not found.is_measured
    assert "those measured make no such pack" in found.words
    assert discharged(**lot(2.30, 2.30)).summary == discharged().summary


def test_a_slow_and_a_busy_demand_end_by_the_same_share() -> None:
    """Each is followed by its mean: the ratio must be that of a plain run."""
    plain = weakest(amps="0.25 A").share.mid
    assert weakest(amps="5 mA").share.mid == pytest.approx(plain, abs=5e-4)
    burst = {"burst": "20 W", "burst_time": "400 ms", "burst_period": "2 s"}
    busy = weakest(loads=[{"name": "blinker", "watts": "0.1 W", **burst}])
    assert busy.share.mid == pytest.approx(plain, abs=1e-3)


@pytest.mark.parametrize(
    ("charger", "share"),
    [
        pytest.param({"balances": False}, 0.9, id="nothing brings them level"),
        pytest.param({"balance_current": "60 mA"}, 1.0, id="the charger does"),
    ],
)
def test_groups_that_are_behind_cost_their_charge(charger: dict[str, Any], share: float) -> None:
    """250 mAh of 2500 behind the fullest group."""
    behind = {"group_behind": ["50 mAh", "300 mAh", "100 mAh"]}
    found = weakest(measured=behind, charger=charger)
    assert found.share.mid == pytest.approx(share, abs=0.012)
    assert ("behind" in found.words) == (share < 1.0)


def test_measured_groups_that_are_behind_move_all_of_the_run_time() -> None:
    behind = {"group_behind": ["0 mAh", "1500 mAh", "0 mAh"]}
    found = discharged(measured=behind, charger={"balances": False})
    assert found.run_time_s.mid == pytest.approx(0.4 * found.bands.run_time_s.mid, rel=0.03)
    assert found.run_time_s.mid == pytest.approx(float(found.as_it_ends.trace.time_s[-1]), rel=1e-6)
    assert found.ends_by == "cell cut-off voltage (group 2)"
    assert found.run_time_s.low < found.run_time_s.mid < found.run_time_s.high
    assert found.run_time_s.high < 0.5 * found.bands.run_time_s.high


def test_a_group_that_begins_empty_is_told_as_one_of_a_batch() -> None:
    behind = {"group_behind": ["0 mAh", "2500 mAh", "0 mAh"]}
    found = weakest(measured=behind, charger={"balances": False})
    assert found.share.mid == pytest.approx(0.0, abs=1e-6)
    assert "the weakest group ends a run 100.0 % earlier" in found.words
    run = discharged(measured=behind, charger={"balances": False}).as_it_ends
    assert run.summary.delivered_ah == pytest.approx(0.0, abs=1e-5)
    assert run.trace.time_s.size == 2


def test_a_slow_device_that_lasts_ends_by_its_own_end() -> None:
    """The groups are followed under a quicker load that empties them; the device does not."""
    behind = {"group_behind": ["0 mAh", "1091 mAh", "0 mAh"]}
    found = discharged(amps="1.9 mA", measured=behind, charger={"balances": False})
    assert found.run_time_s.mid == pytest.approx(30 * 86400.0)
    assert found.ends_by == "time limit of the run"
    assert found.as_it_ends is found


@pytest.mark.parametrize("amps", ["20 uA", "2 mA"])
def test_a_run_that_outlasts_the_clock_has_no_weakest_group(lot: Any, amps: str) -> None:
    for cells in ({}, lot(2.50, 2.50, 2.30)):
        found = discharged(amps=amps, **cells)
        assert found.weakest is None
        assert found.run_time_s.low == pytest.approx(30 * 86400.0)


def test_a_pack_near_the_clock_is_told_only_of_what_falls_short(lot: Any) -> None:
    """Like cells give 2.5 Ah at 3.4 mA, 30.6 days; measured ones 28.2, of the 30 that are run."""
    found = weakest(amps="3.4 mA", **lot(2.50, 2.50, 2.30))
    assert found.share.mid == pytest.approx(0.92 * 2.5 / 3.4e-3 / 720.0, rel=0.02)


@pytest.mark.parametrize(
    "rows",
    [
        pytest.param([(0, 0.1), (3600, 0.1), (7200, 0.05)], id="gentle"),
        pytest.param([(0, 3.0), (600, 3.0)], id="hard and short"),
        pytest.param([(0, 0.0), (600, 0.0)], id="a rest"),
        pytest.param([(0, 2.0), (600, 2.0), (601, -2.0), (1300, -2.0)], id="charging on balance"),
        pytest.param([(k, 3.0 * (k % 2)) for k in range(1000)], id="many pieces"),
    ],
)
def test_a_log_that_the_pack_outlasts_keeps_its_length(
    lot: Any, tmp_path: Path, rows: list[tuple[float, float]]
) -> None:
    path = tmp_path / "log.csv"
    path.write_text("time_s,current_a\n" + "".join(f"{t},{a}\n" for t, a in rows))
    found = discharged(loads=[], load={"log": path}, **lot(2.50, 2.50, 2.30))
    assert found.weakest is None
    assert found.run_time_s.mid == pytest.approx(rows[-1][0])


@pytest.mark.parametrize(("mid", "words"), [(1.0004, "less than 0.1 %"), (0.996, "0.4 %")])
def test_what_it_costs_is_never_less_than_nothing(mid: float, words: str) -> None:
    found = WeakestGroup(
        share=Band(0.99, mid, 1.01),
        group=None,
        cells="new",
        is_measured=False,
        ends_by=EndReason.CUTOFF,
        end_v=9.0,
    )
    assert f"a run {words} earlier than like cells would, in 1 pack of 20 by 1.0 %" in found.words
