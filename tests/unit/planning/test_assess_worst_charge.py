"""The worst start is at the least charge at which the device still starts at full power."""

from __future__ import annotations

import pytest

from packdesign.planning.assess.design import PackDesign
from packdesign.planning.assess.loading import loading_of
from packdesign.planning.assess.service import design_of
from packdesign.planning.assess.worst_charge import worst_charge
from packdesign.planning.brief.examples import example_text
from packdesign.planning.brief.load import brief_from_mapping, brief_from_text
from packdesign.planning.brief.schema import Brief
from packdesign.planning.verdicts.verdict import Status

CORER = example_text("soil_corer")


def found(**levels: float | None) -> tuple[Brief, PackDesign]:
    """Give the soil corer with other levels of its monitor; None leaves one out."""
    text = CORER
    for key, volts in levels.items():
        line = next(each for each in CORER.splitlines() if each.startswith(key))
        text = text.replace(line, "" if volts is None else f'{key} = "{volts} V"')
    brief = brief_from_text(text)
    return brief, design_of(brief)


def test_it_is_the_charge_at_which_a_resting_pack_stands_at_the_limit():
    brief, design = found()
    charge = worst_charge(brief, design.model.cell)
    assert design.model.cell.ocv_at(charge.share) == pytest.approx(3.3, abs=1e-3)
    assert charge.share < 0.15
    assert "the device's own limit, 3.3 V per cell" in charge.words


def test_without_a_limit_the_device_starts_down_to_its_stop():
    brief, design = found(limit_per_cell=None)
    charge = worst_charge(brief, design.model.cell)
    assert design.model.cell.ocv_at(charge.share) == pytest.approx(3.1, abs=1e-3)
    assert "the device's own stop, 3.1 V per cell" in charge.words


def test_without_either_it_is_the_usual_fifth_and_says_so():
    brief, design = found(limit_per_cell=None, stop_per_cell=None)
    charge = worst_charge(brief, design.model.cell)
    assert charge.share == 0.2
    assert "own choice" in charge.words


def test_a_lower_limit_makes_the_worst_start_worse():
    lows = []
    for limit_v in (3.5, 3.3, 3.1):
        brief, design = found(limit_per_cell=limit_v, stop_per_cell=3.05)
        worst = loading_of(brief, design).worst
        assert worst is not None
        assert worst.soc == design.model.cell.soc_within_reach(
            worst.charge.share, temperature_degc=worst.temperature_degc
        )
        lows.append(worst.likely.lowest_bus_v)
    assert lows[0] > lows[1] > lows[2]


@pytest.mark.parametrize(("limit", "status"), [("3.3 V", Status.OK), ("2.9 V", Status.STOP)])
def test_the_verdict_is_that_of_the_own_limit_and_says_which(judged, limit, status):
    """A driver that needs 8.4 V: enough at a limit of 3.3 V per cell, not at one of 2.9 V."""
    motor = {
        "nominal_voltage": "12 V", "no_load_speed": "250 rpm", "no_load_current": "0.4 A",
        "stall_current": "10 A", "gear_ratio": 30, "gear_efficiency": 0.7,
        "load": {"kind": "constant", "torque": "0.9 N*m"},
        "drives": {"shape": "disc", "mass": "400 g", "radius": "20 mm"},
        "drive": {"min_voltage": "8.4 V", "current_limit": "8 A", "ramp_up": "0.4 s"},
    }  # fmt: skip
    sections = {
        "pack": {"cell": "Samsung SDI INR18650-25R", "series": 3, "parallel": 1},
        "surroundings": {"ambient_min": "5 degC"},
        "motor": motor,
        "mission": {"actions": [{"do": "start", "seconds": 1}, {"do": "hold", "seconds": 5}]},
    }
    verdict = judged(**sections, monitor={"limit_per_cell": limit})["voltage_min_driver_of_motor"]
    assert verdict.status is status
    assert "the device's own limit" in verdict.reason


def test_a_limit_above_the_usual_fifth_counts_too():
    brief = brief_from_mapping(
        {
            "pack": {"cell": "Samsung SDI INR18650-25R", "series": 3, "parallel": 1},
            "monitor": {"limit_per_cell": "3.6 V"},
            "loads": [{"name": "heater", "watts": 5}],
        }
    )
    assert worst_charge(brief, design_of(brief).model.cell).share > 0.2


def test_a_full_pack_is_a_hundred_percent_in_plain_figures():
    brief, design = found(warn_per_cell=None, limit_per_cell=4.2, stop_per_cell=4.0)
    assert "that with 100 % of the charge" in worst_charge(brief, design.model.cell).words
