"""Long runs with cycles left out, held against the same run with every cycle in it."""

from __future__ import annotations

from dataclasses import replace

import numpy as np
import pytest

from packdesign.data.cell_table import load_cells
from packdesign.engineering.demand.profile import Demand
from packdesign.engineering.discharge import bands, fast_engine
from packdesign.engineering.discharge.bands import discharge_bands
from packdesign.engineering.discharge.datasheet_model import model_from_datasheet
from packdesign.engineering.discharge.fast_engine import run_batch, run_pack
from packdesign.engineering.discharge.run import Conditions, EndReason, PackModel, RunSummary
from packdesign.engineering.thermal.path import ThermalPath

ROOM = Conditions(ambient_degc=25.0, start_degc=25.0)
THERMAL = ThermalPath(
    cell_to_surface_w_per_k=2.0,
    surface_to_air_w_per_k=0.1,
    surface_j_per_k=30.0,
    spread_fraction=0.3,
)
STILL_AIR = replace(THERMAL, buoyant_fraction=0.6)
PULSES = ((0.5, 6.0, 0.0), (6.0, 2.0, 3.0), (14.0, 0.0, 0.5))
FIGURES = ("run_time_s", "delivered_wh", "rms_current_a")


def pack(name: str, *, series: int = 3, parallel: int = 1, thermal: ThermalPath = THERMAL):  # type: ignore[no-untyped-def]
    cell = model_from_datasheet(load_cells().find(name))
    return PackModel(cell=cell, series=series, parallel=parallel, path_ohm=0.02, thermal=thermal)


def demand(pieces: tuple[tuple[float, float, float], ...] = PULSES, **more: float) -> Demand:
    duration_s, current_a, power_w = np.array(pieces, dtype=float).T
    return Demand(
        duration_s=duration_s,
        current_a=current_a,
        power_w=power_w,
        label=("piece",) * len(pieces),
        **more,
    )


@pytest.fixture
def every_cycle(monkeypatch: pytest.MonkeyPatch):  # type: ignore[no-untyped-def]
    """Run something with no cycle left out."""

    def run(what):  # type: ignore[no-untyped-def]
        with monkeypatch.context() as patched:
            for module in (fast_engine, bands):
                patched.setattr(module, "has_many_cycles", lambda *_, **__: False)
            return what()

    return run


def same(few: RunSummary, full: RunSummary, *, series: int) -> None:
    assert few.ends_by is full.ends_by
    for name in FIGURES:
        assert getattr(few, name) == pytest.approx(getattr(full, name), rel=1e-3), name
    assert few.min_voltage_v == pytest.approx(full.min_voltage_v, abs=0.005 * series)
    assert few.peak_cell_degc == pytest.approx(full.peak_cell_degc, abs=0.3)
    assert few.peak_surface_degc == pytest.approx(full.peak_surface_degc, abs=0.3)


def test_unlike_packs_side_by_side_each_run_to_their_own_end(every_cycle) -> None:
    packs = [
        pack("INR18650-30Q"),
        pack("ANR26650M1-B", series=4),
        pack("INR18650-30Q", parallel=3),
        pack("INR21700-M50", parallel=2),
    ]
    asked = demand(minimum_v=9.0)
    few = run_batch(packs, asked, [ROOM] * 4)
    full = every_cycle(lambda: run_batch(packs, asked, [ROOM] * 4))
    assert len({round(each.run_time_s) for each in full}) == 4
    for one, other, each in zip(few, full, packs, strict=True):
        same(one, other, series=each.series)


def test_packs_in_still_air_run_as_they_do_cycle_by_cycle(every_cycle) -> None:
    hot = replace(STILL_AIR, surface_to_air_w_per_k=0.02)
    packs = [pack("INR18650-30Q", thermal=hot), pack("ANR26650M1-B", series=4, thermal=STILL_AIR)]
    asked = demand(minimum_v=9.0)
    few = run_batch(packs, asked, [ROOM] * 2)
    full = every_cycle(lambda: run_batch(packs, asked, [ROOM] * 2))
    linear = every_cycle(
        lambda: run_batch([replace(packs[0], thermal=hot.frozen(15.0))], asked, [ROOM])
    )
    assert abs(linear[0].peak_cell_degc - full[0].peak_cell_degc) > 0.1  # the growth matters here
    for one, other, each in zip(few, full, packs, strict=True):
        same(one, other, series=each.series)


@pytest.mark.parametrize("limit_degc", [27.0, 28.0, 28.5, 29.0])
@pytest.mark.parametrize("share", [0.0, 0.6])
def test_a_temperature_limit_in_the_middle_of_the_run_is_found(
    every_cycle, share, limit_degc
) -> None:
    """In the very cycle or the next: from one to the next the peak moves by some 0.01 K."""
    shut = replace(THERMAL, surface_to_air_w_per_k=0.01, buoyant_fraction=share)
    model, at = pack("INR18650-30Q", thermal=shut), replace(ROOM, max_cell_degc=limit_degc)
    few = run_pack(model, demand(), at)
    full = every_cycle(lambda: run_pack(model, demand(), at)).summary()
    assert few.known is not None
    assert full.ends_by is EndReason.TEMPERATURE
    assert 0.2 < full.end_soc < 0.9
    found = few.summary()
    assert found.ends_by is full.ends_by
    assert abs(found.run_time_s - full.run_time_s) <= demand().period_s
    assert found.min_voltage_v == pytest.approx(full.min_voltage_v, abs=0.005 * model.series)
    assert found.peak_surface_degc == pytest.approx(full.peak_surface_degc, abs=0.02)


@pytest.mark.parametrize(
    ("period_s", "amperes", "limit_degc", "loss_w_per_k"),
    [(0.208, 20.1, 39.1, 0.008), (0.039, 20.9, 50.5, 0.038), (0.125, 2.2, 49.4, 0.028)],
)
def test_no_trace_goes_back_in_time(period_s, amperes, limit_degc, loss_w_per_k) -> None:  # type: ignore[no-untyped-def]
    """A block in which a limit lies is cut so finely that two places can be one cycle."""
    thermal = replace(THERMAL, surface_to_air_w_per_k=loss_w_per_k)
    model = pack("INR18650-30Q", series=1, parallel=2, thermal=thermal)
    asked = demand(((period_s, amperes, 0.0), (0.3 * period_s, 0.0, 0.0)))
    trace = run_pack(model, asked, replace(ROOM, max_cell_degc=limit_degc))
    assert trace.known is not None
    assert np.diff(trace.time_s).min() > -1e-9 * trace.time_s[-1]


def test_packs_that_last_longest_stop_at_the_time_limit(every_cycle) -> None:
    packs = [pack("INR18650-30Q"), pack("INR18650-30Q", parallel=3)]
    at = [replace(ROOM, longest_s=13000.0)] * 2
    few = run_batch(packs, demand(), at)
    full = every_cycle(lambda: run_batch(packs, demand(), at))
    assert [each.ends_by for each in full] == [EndReason.CUTOFF, EndReason.TIME]
    assert few[1].run_time_s == pytest.approx(13000.0)
    for one, other in zip(few, full, strict=True):
        same(one, other, series=3)


def test_bands_and_their_trace_are_those_of_every_cycle(every_cycle) -> None:
    model = pack("INR18650-30Q")

    def made():  # type: ignore[no-untyped-def]
        return discharge_bands(model, demand(), ROOM, samples=40, with_trace=True)

    few, full = made(), every_cycle(made)
    for name in ("run_time_s", "delivered_ah"):
        for end in ("low", "mid", "high"):
            one, other = (getattr(getattr(each, name), end) for each in (few, full))
            assert one == pytest.approx(other, rel=1e-3), (name, end)
    for end in ("low", "mid", "high"):
        one, other = (getattr(each.peak_cell_degc, end) for each in (few, full))
        assert one == pytest.approx(other, abs=0.3)
    assert np.all(np.diff(few.trace.time_s) > -1e-6)
    assert few.trace.time_s[-1] == pytest.approx(few.run_time_s.mid)
    assert np.all(few.voltage_low_v <= few.trace.voltage_v)
    assert np.all(few.trace.voltage_v <= few.voltage_high_v)
    early = few.trace.time_s < 0.8 * few.trace.time_s[-1]
    until = full.trace.time_s < 0.8 * full.trace.time_s[-1]
    wide, width = (each.voltage_high_v - each.voltage_low_v for each in (few, full))
    assert np.max(wide[early]) == pytest.approx(np.max(width[until]), rel=0.03)
