"""The rise toward empty over temperature: parts, half charge, what counts, the median."""

from __future__ import annotations

import numpy as np
import pytest
from scipy import constants

from packdesign.data.cells import Family
from packdesign.data.resistance_rise import ResistancePart, RiseReading, SourceGrade
from packdesign.engineering.discharge import rise_temperature
from packdesign.engineering.discharge.rise_temperature import (
    cell_grids,
    level_fits,
    pooled_j_per_mol,
    rise_fits,
)
from packdesign.foundation.basis import Basis
from packdesign.foundation.errors import OutOfRangeError

DEGC = (0.0, 20.0, 40.0)
RISE_J_PER_MOL, LEVEL_J_PER_MOL = 40_000.0, 15_000.0


def _arrhenius(degc: float, j_per_mol: float) -> float:
    from_25 = 1 / (degc + constants.zero_Celsius) - 1 / 298.15
    return float(np.exp(j_per_mol / constants.R * from_25))


def _reading(soc: float, degc: float, ohm: float, **changed: object) -> RiseReading:
    fields: dict[str, object] = {
        "cell": "Made", "family": Family.NMC, "part": ResistancePart.TOTAL, "pulse_s": 10.0,
        "capacity_ah": 3.0, "source_grade": SourceGrade.METHOD_KNOWN, "basis": Basis.PUBLISHED,
        "source": "made for this test",
    }  # fmt: skip
    fields |= changed
    return RiseReading(temperature_degc=degc, soc_fraction=soc, resistance_ohm=ohm, **fields)  # type: ignore[arg-type]


def _made(part: ResistancePart, rise_at: dict[float, float]) -> list[RiseReading]:
    """Give a cell of 20 milliohm at half charge, with rises of its own energy."""
    made = []
    for degc in DEGC:
        level = 0.02 * _arrhenius(degc, LEVEL_J_PER_MOL)
        made += [_reading(soc, degc, level, part=part) for soc in (0.4, 0.6)]
        for soc, ohm in rise_at.items():
            rise = ohm * _arrhenius(degc, RISE_J_PER_MOL)
            made.append(_reading(soc, degc, level + rise, part=part))
    return made


@pytest.fixture
def readings(monkeypatch: pytest.MonkeyPatch) -> list[RiseReading]:
    given: list[RiseReading] = []
    monkeypatch.setattr(rise_temperature, "load_rise_readings", lambda: given)
    cell_grids.cache_clear()
    yield given
    cell_grids.cache_clear()


def test_an_energy_put_in_comes_out(readings: list[RiseReading]) -> None:
    readings += _made(ResistancePart.TOTAL, {0.05: 0.01, 0.1: 0.003})
    (rise,) = rise_fits(ResistancePart.TOTAL)
    (level,) = level_fits(ResistancePart.TOTAL)
    assert rise.j_per_mol == pytest.approx(RISE_J_PER_MOL, rel=1e-9)
    assert level.j_per_mol == pytest.approx(LEVEL_J_PER_MOL, rel=1e-9)
    assert rise.scatter == pytest.approx(0.0, abs=1e-9)
    assert rise.soc == (0.05, 0.1)


def test_the_total_of_a_cell_read_in_parts_is_their_sum(readings: list[RiseReading]) -> None:
    readings += _made(ResistancePart.INSTANT, {0.1: 0.004})
    readings += _made(ResistancePart.SLOW, {0.1: 0.008})
    (total,), (slow,) = cell_grids(ResistancePart.TOTAL), cell_grids(ResistancePart.SLOW)
    assert total.level_ohm() == pytest.approx(2 * slow.level_ohm())
    assert rise_fits(ResistancePart.SLOW)[0].j_per_mol == pytest.approx(RISE_J_PER_MOL)
    assert rise_fits(ResistancePart.TOTAL)[0].j_per_mol == pytest.approx(RISE_J_PER_MOL)


def test_a_charge_that_does_not_rise_at_one_temperature_is_named(
    readings: list[RiseReading],
) -> None:
    readings += _made(ResistancePart.TOTAL, {0.05: 0.01})
    readings += [_reading(0.1, degc, 0.03 if degc < 30 else 0.001) for degc in DEGC]
    (fit,) = rise_fits(ResistancePart.TOTAL)
    assert fit.dropped_soc == (0.1,)
    assert fit.j_per_mol == pytest.approx(RISE_J_PER_MOL)


def test_a_cell_without_any_rise_gives_no_fit(readings: list[RiseReading]) -> None:
    readings += _made(ResistancePart.TOTAL, {0.1: 0.0})
    assert rise_fits(ResistancePart.TOTAL) == ()


def test_two_temperatures_at_one_charge_have_no_standard_error(
    readings: list[RiseReading],
) -> None:
    readings += _made(ResistancePart.TOTAL, {0.1: 0.004})
    (fit,) = rise_fits(ResistancePart.TOTAL, degc=(0.0, 20.0))
    assert fit.standard_error_j_per_mol is None
    assert fit.j_per_mol == pytest.approx(RISE_J_PER_MOL)


def test_the_median_counts_each_cell_once(readings: list[RiseReading]) -> None:
    readings += _made(ResistancePart.TOTAL, {0.05: 0.01, 0.1: 0.003})
    readings += [
        _reading(soc, degc, ohm, cell="Flat")
        for degc in DEGC
        for soc, ohm in ((0.1, 0.03), (0.5, 0.02))
    ]
    fits = rise_fits(ResistancePart.TOTAL)
    assert pooled_j_per_mol(fits) == pytest.approx(RISE_J_PER_MOL / 2)


def test_a_median_of_nothing_is_refused() -> None:
    with pytest.raises(OutOfRangeError, match="needs one fit at least"):
        pooled_j_per_mol(())


def test_rise_of_every_cell_counts_only_low_charge() -> None:
    for fit in rise_fits(ResistancePart.TOTAL):
        assert all(0 <= soc <= 0.15 for soc in (*fit.soc, *fit.dropped_soc))
