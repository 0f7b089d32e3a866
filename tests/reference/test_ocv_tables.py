"""Open-circuit voltage curves against published figures.

Sources: ``tables/ocv_printed.csv`` holds the curves as printed to the millivolt: Sunil et al., IEEE
Trans. Instrum. Meas. 2025 (M50T, P42A, P28A, 40T, APR18650M1B), Paudel et al. 2025, Batteries
11(8) 313 (50G), derlucae98 (VTC6). The model curves are computed again by PyBaMM.
"""

from __future__ import annotations

import csv
from pathlib import Path

import numpy as np
import pytest

from packdesign.data.cell_table import load_cells
from packdesign.data.cells import Family
from packdesign.data.chemistries import load_chemistry, ocv_for
from packdesign.data.ocv_tables import curve_tables

CURVES = {table.curve: table for table in curve_tables()}


def _printed(published: Path) -> dict[str, dict[float, float]]:
    with (published / "ocv_printed.csv").open(encoding="utf-8", newline="") as file:
        found: dict[str, dict[float, float]] = {}
        for row in csv.DictReader(file):
            points = found.setdefault(row["curve"], {})
            points[float(row["soc_fraction"])] = float(row["ocv_v"])
    return found


def test_every_curve_is_the_printed_one_to_the_millivolt(published: Path) -> None:
    printed = _printed(published)
    assert set(printed) == {name for name in CURVES if not name.endswith("_window")}
    for name, points in printed.items():
        table = dict(zip(CURVES[name].soc, CURVES[name].voltage_v, strict=True))
        for soc, voltage in points.items():
            nearest = min(table, key=lambda each: abs(each - soc))
            assert abs(nearest - soc) < 0.011, (name, soc)
            assert table[nearest] == pytest.approx(voltage, abs=0.00051), (name, soc)


@pytest.mark.parametrize(
    ("cell", "empty_v", "half_v", "full_v"),
    [
        ("INR-21700-P42A", 2.506, 3.742, 4.193),
        ("INR21700-40T", 2.500, 3.738, 4.200),
        ("INR21700 M50T", 2.520, 3.717, 4.194),
        ("INR21700-50G", 2.906, 3.725, 4.190),
        ("APR18650M1B", 2.010, 3.299, 3.598),
    ],
)
def test_ends_and_middle_of_the_curves_used(
    cell: str, empty_v: float, half_v: float, full_v: float
) -> None:
    """Printed figures of the sources named at the top, to the millivolt."""
    curve = ocv_for(load_cells().find(cell))
    assert curve.is_own
    found = curve.at(np.array([0.0, 0.5, 1.0]))
    assert found == pytest.approx([empty_v, half_v, full_v], abs=0.00051)


def test_a_value_between_two_rows_lies_on_the_straight_line() -> None:
    """P42A prints 3.742 V at 50 % and 3.789 V at 55 %: 3.7514 V at 51 %."""
    curve = ocv_for(load_cells().find("INR-21700-P42A"))
    assert float(curve.at(0.51)) == pytest.approx(3.742 + 0.2 * 0.047, abs=0.0007)


def test_layered_oxide_cells_lie_within_what_their_source_says() -> None:
    """Data notes of the sources: within about 50 mV of each other from 15 % up, 100 mV at 10 %."""
    names = ("lg_m50t", "molicel_p42a", "molicel_p28a", "samsung_40t", "samsung_50g")
    for soc in np.arange(0.15, 1.001, 0.05):
        values = [np.interp(soc, CURVES[name].soc, CURVES[name].voltage_v) for name in names]
        assert max(values) - min(values) <= 0.06


def test_iron_phosphate_is_flat() -> None:
    """The measured APR18650M1B spans only 3.24 to 3.34 V from 20 to 95 %."""
    curve = load_chemistry(Family.LFP).ocv
    assert curve.at(np.array([0.2, 0.95])) == pytest.approx([3.24, 3.343], abs=0.005)


def test_mean_voltage_of_what_is_built_meets_the_printed_nominal() -> None:
    """LTO: 2.3 to 2.4 V printed by Toshiba and the TUM database; Na-ion 3.05 V printed by TOB."""
    lto, na_ion = load_chemistry(Family.LTO).ocv, load_chemistry(Family.NA_ION).ocv
    assert 2.25 < float(np.trapezoid(lto.voltage_v, lto.soc)) < 2.45
    assert float(np.trapezoid(na_ion.voltage_v, na_ion.soc)) == pytest.approx(3.05, abs=0.06)
    assert lto.voltage_v[[0, -1]] == pytest.approx([1.5, 2.7])
    assert na_ion.voltage_v[[0, -1]] == pytest.approx([1.8, 3.95])


def test_three_cells_in_series() -> None:
    """12.6 V full and 11.1 V nominal (3.7 V cells) are common practice, no source."""
    limits = load_chemistry(Family.LCO).limits
    assert 3 * limits.full_v == pytest.approx(12.6)
    assert 3 * limits.nominal_v == pytest.approx(11.1)


@pytest.mark.slow
@pytest.mark.parametrize(
    ("curve", "parameters"), [("lg_m50_model", "Chen2020"), ("enertech_pouch_model", "Ai2020")]
)
def test_model_curves_computed_again_by_pybamm(curve: str, parameters: str) -> None:
    """Between the ends the stoichiometries move in straight lines, in PyBaMM's own functions."""
    import pybamm

    values = pybamm.ParameterValues(parameters)
    x_0, x_100, y_100, y_0 = pybamm.lithium_ion.get_min_max_stoichiometries(values)
    param = pybamm.LithiumIonParameters()
    kelvin = values["Reference temperature [K]"]

    def voltage(soc: float) -> float:
        x, y = x_0 + soc * (x_100 - x_0), y_0 + soc * (y_100 - y_0)
        up = values.evaluate(param.p.prim.U(pybamm.Scalar(y), kelvin))
        un = values.evaluate(param.n.prim.U(pybamm.Scalar(x), kelvin))
        return float(np.asarray(up - un).item())

    table = CURVES[curve]
    for soc in (0.1, 0.25, 0.5, 0.75, 0.9, 1.0):
        here = float(np.interp(soc, table.soc, table.voltage_v))
        assert voltage(soc) == pytest.approx(here, abs=0.003), soc


@pytest.mark.slow
def test_entropic_table_computed_again_by_pybamm() -> None:
    """O'Regan et al., Electrochimica Acta 425 (2022) 140700: both electrodes of an LG M50."""
    import pybamm

    values = pybamm.ParameterValues("ORegan2022")
    x_0, x_100, y_100, y_0 = pybamm.lithium_ion.get_min_max_stoichiometries(values)
    change = {
        side: values[f"{side} electrode OCP entropic change [V.K-1]"]
        for side in ("Negative", "Positive")
    }
    for family in (Family.NMC, Family.NCA):
        chemistry = load_chemistry(family)
        for soc, shown in zip(chemistry.entropic_soc, chemistry.entropic_v_per_k, strict=True):
            un = change["Negative"](pybamm.Scalar(x_0 + soc * (x_100 - x_0))).evaluate()
            up = change["Positive"](pybamm.Scalar(y_0 + soc * (y_100 - y_0))).evaluate()
            assert float(up - un) == pytest.approx(shown, abs=1e-6), soc
