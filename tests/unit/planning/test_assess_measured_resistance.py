"""A resistance read at the connectors is the resistance the model of that pack has there."""

from __future__ import annotations

from typing import Any

import pytest

from packdesign.foundation.errors import BriefError
from packdesign.planning.assess.design import PackDesign
from packdesign.planning.assess.pack_figures import pack_figures
from packdesign.planning.assess.service import design_of
from packdesign.planning.brief.load import brief_from_mapping

PACK = {"cell": "Samsung SDI INR18650-25R", "series": 3, "parallel": 2}
TWO_LOAD = {
    "light_current": "0.5 A", "light_voltage": "11.4 V", "heavy_current": "8.5 A",
    "heavy_voltage": "9.8 V", "seconds": 4, "temperature": "8 degC",
}  # fmt: skip
"""1.6 V over 8 A: 200 milliohm; at rest 11.5 V."""


def packed(**measured: Any) -> PackDesign:
    return design_of(
        brief_from_mapping(
            {"pack": PACK, "loads": [{"name": "lamp", "watts": 10.0}], "measured": measured}
        )
    )


def terminal_ohm(
    design: PackDesign, *, soc: float, degc: float, whole_a: float, pulse_s: float
) -> float:
    cell_ohm = design.model.cell.pulse_ohm(
        soc=soc, temperature_degc=degc, current_a=whole_a / 2, pulse_s=pulse_s
    )
    return cell_ohm * 3 / 2 + design.path.ohm.mid


def test_the_pack_has_the_resistance_read_between_its_connectors():
    worn = packed(pack_resistance="300 mohm")
    assert pack_figures(worn).resistance_ohm == pytest.approx(0.300)
    assert worn.model.cell.bases["resistance"] == "measured, from the brief"
    assert pack_figures(packed()).resistance_ohm < 0.15


def test_it_is_so_at_the_temperature_it_was_read_at():
    cold = packed(pack_resistance="300 mohm", temperature="5 degC")
    read_ohm = terminal_ohm(cold, soc=0.5, degc=5.0, whole_a=5.0, pulse_s=10.0)
    assert read_ohm == pytest.approx(0.300)
    assert pack_figures(cold).resistance_ohm < 0.300


def test_two_loads_are_met_at_their_own_current_length_and_temperature():
    read = packed(two_load=TWO_LOAD)
    soc = read.model.cell.soc_at(11.5 / 3)
    read_ohm = terminal_ohm(read, soc=soc, degc=8.0, whole_a=8.5, pulse_s=4.0)
    assert read_ohm == pytest.approx(0.200, rel=1e-6)
    assert read.model.cell.bases["resistance"] == "measured, from the brief"


def test_a_reading_of_the_cell_goes_before_the_pack_and_that_before_two_loads():
    cell = {"cell_resistance": "24 mohm"}
    pack = {"pack_resistance": "300 mohm"}
    two = {"two_load": TWO_LOAD}

    def ohm(**measured: Any) -> float:
        return pack_figures(packed(**measured)).resistance_ohm

    assert ohm(**cell, **pack, **two) == ohm(**cell)
    assert ohm(**pack, **two) == ohm(**pack)
    assert ohm(**two) != ohm()


def test_a_reading_below_the_path_leaves_the_path_and_some_cell():
    low = packed(pack_resistance="0.1 mohm")
    assert pack_figures(low).resistance_ohm > low.path.ohm.mid
    assert low.model.cell.spread.resistance_fraction == 0.05


def test_group_voltages_of_another_count_are_refused():
    with pytest.raises(BriefError, match=r"has 2 voltages, but the pack has 3 groups"):
        packed(group_voltages=["3.7 V", "3.7 V"])
    assert packed(group_voltages=["3.7 V", "3.7 V", "3.7 V"]).series == 3


def test_the_resistance_of_a_cell_is_met_at_its_own_moment():
    cell = packed(cell_resistance="60 mohm").model.cell
    read_ohm = cell.pulse_ohm(soc=0.5, temperature_degc=20.0, current_a=2.5, pulse_s=10.0)
    assert read_ohm == pytest.approx(0.060)
