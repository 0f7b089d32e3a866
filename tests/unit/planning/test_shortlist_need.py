"""What a search simplifies: neither charge nor energy nor time may get lost."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given
from hypothesis import strategies as st

from packdesign.engineering.demand.profile import Demand
from packdesign.engineering.demand.rail_tree import SupplyWindow
from packdesign.planning.assess.loading import Loading
from packdesign.planning.brief.load import brief_from_mapping
from packdesign.planning.shortlist.need import condensed, need_of, stretched

piece = st.tuples(
    st.floats(0.01, 50), st.floats(0, 20), st.floats(0, 30), st.sampled_from(["start", "hold"])
)


def demand_of(pieces, *, repeats=True) -> Demand:
    lengths, amps, watts, labels = zip(*pieces, strict=True)
    return Demand(
        duration_s=np.array(lengths),
        current_a=np.array(amps),
        power_w=np.array(watts),
        label=labels,
        minimum_v=6.0,
        repeats=repeats,
    )


@given(st.lists(piece, min_size=1, max_size=30))
def test_drawing_together_keeps_time_charge_and_energy(pieces):
    fine = demand_of(pieces)
    coarse = condensed(fine)
    assert coarse.period_s == pytest.approx(fine.period_s)
    assert len(coarse.label) <= max(2 * len(pieces), 1)
    for name in ("current_a", "power_w"):
        total = getattr(coarse, name) @ coarse.duration_s
        assert total == pytest.approx(getattr(fine, name) @ fine.duration_s)


def test_a_peak_is_kept_apart_from_what_follows():
    fine = demand_of([(0.1, 9.0, 0, "start"), (0.1, 8.0, 0, "start"), (5.0, 2.0, 0, "start")])
    assert condensed(fine).current_a.tolist() == [8.5, 2.0]


def test_a_log_is_drawn_together_by_its_length_and_keeps_its_order():
    amps = np.arange(5000.0)
    log = Demand(
        duration_s=np.ones(5000),
        current_a=amps,
        power_w=np.zeros(5000),
        label=("log",) * 5000,
        repeats=False,
    )
    coarse = condensed(log)
    assert len(coarse.label) == 400
    assert np.all(np.diff(coarse.current_a) > 0)
    assert coarse.current_a @ coarse.duration_s == pytest.approx(amps.sum())


def test_uses_are_stretched_to_bound_the_work_but_never_shortened():
    use = demand_of([(10.0, 1.0, 0.0, "hold")])
    assert stretched(use, longest_s=1e6).period_s == pytest.approx(1e6 / 80)
    assert stretched(use, longest_s=50.0).period_s == 10.0
    once = demand_of([(10.0, 1.0, 0.0, "hold")], repeats=False)
    assert stretched(once, longest_s=1e6) is once


def test_the_need_of_a_mission_is_its_mean_power_for_the_time_wished():
    use = demand_of([(10.0, 1.0, 2.0, "hold"), (10.0, 0.0, 2.0, "rest")])
    window = SupplyWindow(lowest_v=6.0, lowest_device="", highest_v=20.0, highest_device="")
    loading = Loading(demand=use, window=window, mission=None, worst=None)
    brief = brief_from_mapping({"mission": {"run_time": "3 h"}})
    # mean of 1 A at 12 V half the time, and 2 W always
    assert need_of(brief, loading, voltage_v=12.0).energy_wh == pytest.approx(3 * (6.0 + 2.0))
    counted = brief_from_mapping({"mission": {"uses": 90}})
    assert need_of(counted, loading, voltage_v=12.0).energy_wh == pytest.approx(
        90 * 20 / 3600 * 8.0
    )
    assert need_of(brief_from_mapping({}), loading, voltage_v=12.0).energy_wh is None
