"""Charge times against measured cells, makers' own times and an examination exercise.

Cells are known by their datasheet facts only; nothing here is fitted to the measured files. A
target that is missed stands as a strict expected failure with its figure, not as a wider tolerance.
Targets: total time within 8 %, constant-current time within 6 %.
"""

from __future__ import annotations

import csv
from dataclasses import dataclass
from pathlib import Path

import numpy as np
import pytest

from packdesign.data.cell_table import load_cells
from packdesign.data.cells import Cell, CellForm, Family
from packdesign.engineering.charging.cc_cv import banded_charge, simulate_charge
from packdesign.engineering.charging.charge_run import (
    BandedCharge,
    ChargeRun,
    ChargeSettings,
    makers_clock,
)
from packdesign.engineering.charging.closed_form import constant_voltage_tail
from packdesign.engineering.demand.profile import Demand
from packdesign.engineering.discharge.datasheet_model import model_from_datasheet
from packdesign.engineering.discharge.fast_engine import run_pack
from packdesign.engineering.discharge.run import Conditions, PackModel
from packdesign.engineering.thermal.path import ThermalPath
from tests.reference.measured_sets import LEAF

pytestmark = pytest.mark.slow
TOTAL_WITHIN, CC_WITHIN = 0.08, 0.06
CELLS = load_cells()


@dataclass(frozen=True)
class Case:
    """One measured charge: what was set, where it began, what came out."""

    file: str
    cell: Cell
    charge_a: float
    end_a: float
    area_m2: float
    before_a: float | None
    """Discharge to cut-off just before; None: the first rested voltage tells the start."""

    def measured(self, folder: Path) -> tuple[float, float]:
        """Total and constant-current time. [s]"""
        with (folder / self.file).open(encoding="utf-8") as file:
            rows = list(csv.DictReader(file))
        time_s = np.array([float(row["time_s"]) for row in rows])
        current_a = -np.array([float(row["current_a"]) for row in rows])
        start = int(np.argmax(current_a > 0.5 * self.charge_a))
        tapering = start + int(np.argmax(current_a[start:] < 0.985 * self.charge_a))
        over = current_a[start:] <= 1.01 * self.end_a
        end = start + int(np.argmax(over)) if over.any() else len(time_s) - 1
        return time_s[end] - time_s[start], time_s[tapering] - time_s[start]

    def predicted(self) -> ChargeRun:
        """Charge of the datasheet model, from the charge its own discharge leaves."""
        return simulate_charge(*self._setting())

    def banded(self) -> BandedCharge:
        """Give the same with its band."""
        return banded_charge(*self._setting())

    def _setting(self) -> tuple[PackModel, ChargeSettings, Conditions]:
        film_w_per_m2_k = 12.0  # chamber or room air, free convection and radiation: assumed
        pack = PackModel(
            cell=model_from_datasheet(self.cell),
            series=1,
            parallel=1,
            path_ohm=0.0,
            thermal=ThermalPath(
                cell_to_surface_w_per_k=1.0,
                surface_to_air_w_per_k=film_w_per_m2_k * self.area_m2,
                surface_j_per_k=2.0,
            ),
        )
        settings = ChargeSettings(
            charge_a=self.charge_a,
            end_v_per_cell=self.cell.full_v,
            end_a=self.end_a,
            pre_charge_a=0.1 * self.cell.capacity_ah,
            pre_charge_below_v=1.5,
            limit_degc=80.0,
        )
        start = Conditions(ambient_degc=25.0, start_degc=25.0, start_soc=self._start_soc(pack))
        return pack, settings, start

    def _start_soc(self, pack: PackModel) -> float:
        if self.before_a is None:
            return pack.cell.soc_at(2.549)  # rested voltage in the file before the charge
        demand = Demand(
            duration_s=np.array([1e6]),
            current_a=np.array([self.before_a]),
            power_w=np.zeros(1),
            label=("discharge",),
            repeats=False,
        )
        full = Conditions(ambient_degc=25.0, start_degc=25.0)
        return float(run_pack(pack, demand, full).soc[-1])


def m50(rate: str, before_a: float) -> Case:
    return Case(
        f"lgm50_21700/ratetest_25C_{rate}.csv",
        CELLS.find("LG Energy Solution INR21700-M50"), 1.67, 0.25, 0.0053, before_a,
    )  # fmt: skip


LFP = CELLS.find("A123 / Lithium Werks ANR26650M1-B")
CASES = {
    "lgm50 after 1C": m50("1C", 5.0),
    "lgm50 after C/2": m50("0p5C", 2.5),
    "lgm50 after C/10": m50("0p1C", 0.5),
    "a123 to 9 mA": Case("a123_26650_lfp/charge_cccv_1C_25C.csv", LFP, 2.5, 0.009, 0.0064, None),
    "a123 to C/20": Case("a123_26650_lfp/charge_cccv_1C_25C.csv", LFP, 2.5, 0.125, 0.0064, None),
    "leaf after 1C": Case(
        "nissan_leaf_cell/discharge_1c_rest_charge.csv", LEAF, 15.3, 1.0, 0.132, 30.6
    ),
    "leaf after 2C": Case(
        "nissan_leaf_cell/discharge_2c_rest_charge.csv", LEAF, 15.3, 1.0, 0.132, 61.2
    ),
}
TOTAL_MISSED = {
    "a123 to C/20": "about -15 %: near full the cell drops several times its sheet's resistance",
    "a123 to 9 mA": "about -36 %: 0.4 % of C is reached by slow diffusion, which two RC elements "
    "of at most 90 s do not have",
}
CC_MISSED = dict.fromkeys(
    ("lgm50 after 1C", "lgm50 after C/2", "lgm50 after C/10"),
    "about +10 %: at the end of a C/3 charge the cell drops more than its sheet's "
    "resistance with the published growth over time gives",
)


BAND_MISSED = dict.fromkeys(
    CC_MISSED, "the same 10 %, beyond a band that doubts the charge of a checked sheet by 2.5 %"
)


def params(missed: dict[str, str]) -> list[object]:
    return [
        pytest.param(
            name,
            marks=[pytest.mark.xfail(reason=missed[name], strict=True)] if name in missed else [],
        )
        for name in CASES
    ]


@pytest.mark.parametrize("name", params(TOTAL_MISSED))
def test_total_time(measured, name):
    total_s, _ = CASES[name].measured(measured)
    error = CASES[name].predicted().total_time_s / total_s - 1
    assert abs(error) <= TOTAL_WITHIN, f"{100 * error:+.1f} %"


@pytest.mark.parametrize("name", params(CC_MISSED))
def test_constant_current_time(measured, name):
    _, cc_s = CASES[name].measured(measured)
    error = CASES[name].predicted().cc_time_s / cc_s - 1
    assert abs(error) <= CC_WITHIN, f"{100 * error:+.1f} %"


@pytest.mark.parametrize("name", params(BAND_MISSED))
def test_measured_times_lie_in_the_band(measured, name):
    total_s, cc_s = CASES[name].measured(measured)
    band = CASES[name].banded()
    assert band.time_s.low <= total_s <= band.time_s.high
    assert band.cc_time_s.low <= cc_s <= band.cc_time_s.high


MAKERS_TIMES = pytest.mark.parametrize(
    ("capacity_ah", "charge_a", "minutes"),
    [(2.6, 1.3, 180), (2.6, 2.6, 150), (2.0, 1.0, 180), (2.0, 2.0, 135)],
)


@MAKERS_TIMES
def test_makers_clock(capacity_ah, charge_a, minutes):
    """Samsung ICR18650-26C v1.0 and ICR18650-20 (the latter's 1C figure is a quarter hour less)."""
    clock_s = makers_clock(capacity_ah=capacity_ah, charge_a=charge_a, start_soc=0.0)
    assert minutes <= clock_s / 60 <= minutes + 15.001


@MAKERS_TIMES
def test_makers_times_suffice_to_fill_the_cell(capacity_ah, charge_a, minutes):
    """Samsung ICR18650-26C v1.0 and ICR18650-20: 3 h at 0.5C, 2.5 h and 2.25 h at 1C, 4.2 V.

    The sheets end by the clock, so a charge from empty must be as good as full by then and not
    long before half of it.
    """
    cell = Cell(
        maker="Samsung SDI", part_number="ICR18650", form=CellForm.CYLINDER, size_code="18650",
        family=Family.LCO, chemistry="LCO", capacity_ah=capacity_ah, nominal_v=3.7, full_v=4.2,
        cutoff_v=2.75, ac_resistance_ohm=0.100, ac_resistance_is_maximum=True, diameter_m=0.0184,
        length_m=0.065, mass_kg=0.047,
    )  # fmt: skip
    case = Case("", cell, charge_a, 0.02 * capacity_ah, 0.0043, charge_a)
    run = case.predicted()
    filled = float(np.interp(minutes * 60.0, run.time_s, run.soc))
    assert filled >= 0.97
    assert run.total_time_s >= 0.5 * minutes * 60.0


def test_examination_exercise():
    """German Abitur 2018 as posted at mathelounge.de/915056: 2 h 35 min and 998 mAh in all."""
    cc_h = 0.900 / 0.500
    tail_h, tail_ah = constant_voltage_tail(start_a=0.500, end_a=0.010, rate_per_h=0.490 / 0.098)
    assert tail_h == pytest.approx(0.7824, abs=5e-5)
    assert cc_h + tail_h == pytest.approx(2.5824, abs=5e-5)
    assert 0.900 + tail_ah == pytest.approx(0.998, abs=5e-4)
    assert (cc_h + tail_h) * 60 == pytest.approx(154.94, abs=0.01)
