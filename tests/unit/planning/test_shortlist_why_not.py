"""What would admit a cell: each change is tried, and it must admit it."""

from __future__ import annotations

import tomllib

import pytest

from packdesign.data.cell_table import load_cells
from packdesign.foundation.errors import UnknownNameError
from packdesign.planning.brief.change import changed_brief
from packdesign.planning.brief.examples import example_text
from packdesign.planning.brief.load import brief_from_mapping, brief_from_text
from packdesign.planning.brief.schema import Brief
from packdesign.planning.shortlist.record import Rejected
from packdesign.planning.shortlist.service import shortlist
from packdesign.planning.shortlist.why_not import why_not
from packdesign.planning.verdicts.verdict import Status

LARGE = "Samsung SDI INR21700-40T"
SMALL = "Samsung SDI INR18650-25R"


def torch(**more: object) -> Brief:
    """Give a torch of 20 W that takes three cells in a tube for three 18650s in a triangle."""
    return brief_from_mapping(
        {
            "cavity": {"shape": "tube", "bore": "46 mm", "length": "90 mm", "closure": "vented"},
            "loads": [{"name": "lamp", "watts": 20.0, "min_voltage": "9 V", "max_voltage": "13 V"}],
            **more,
        }
    )


def fallen(brief: Brief, cell: str) -> Rejected:
    found = why_not(brief, cell)
    assert found is not None
    return found


def passes(brief: Brief, told: Rejected) -> bool:
    changed = changed_brief(brief, told.keys)
    return shortlist(changed, cells=(told.cell,), exact=0).best is not None


def test_the_room_that_is_missing_is_found_and_is_enough_and_hardly_more():
    brief = torch()
    told = fallen(brief, LARGE)
    assert "3 in series are needed" in told.reason
    assert "mm more bore" in told.change
    assert passes(brief, told)
    bore_mm = float(str(told.keys["cavity.bore"]).removesuffix(" mm"))
    less = changed_brief(brief, {"cavity.bore": f"{bore_mm - 0.3} mm"})
    assert why_not(less, LARGE) is not None


def test_room_in_a_box_is_found_too():
    brief = torch(
        cavity={"shape": "box", "length": "75 mm", "width": "60 mm", "height": "21 mm",
                "closure": "vented"},
    )  # fmt: skip
    told = fallen(brief, LARGE)
    assert passes(brief, told)


def test_a_cell_that_passes_has_no_why_not():
    assert why_not(torch(), SMALL) is None


def test_a_gentler_charge_admits_a_cell_that_takes_little():
    brief = torch(charger={"current": "3 A", "end_voltage_per_cell": "4.2 V"})
    cell = next(
        each for each in load_cells()
        if each.name == "Samsung SDI INR18650-20R"
    )  # fmt: skip
    told = fallen(brief, cell.name)
    if told.limit != "charge_current":
        pytest.skip("its sheet allows this charge now")
    assert passes(brief, told)


def test_a_shorter_mission_admits_a_cell_that_holds_too_little():
    brief = torch(mission={"run_time": "3 h"})
    told = fallen(brief, SMALL)
    assert told.limit in ("energy", "run_time")
    assert told.change.startswith("a run time of ")


def test_a_current_limit_is_found_by_trying():
    brief = torch(
        motors=[
            {
                "name": "drill",
                "nominal_voltage": "12 V",
                "no_load_speed": "300 rpm",
                "no_load_current": "0.5 A",
                "stall_current": "30 A",
                "terminal_resistance": "0.4 ohm",
                "load": {"torque": "0.2 N*m"},
                "drives": {"shape": "disc", "mass": "2 kg", "radius": "60 mm"},
                "drive": {"current_limit": "28 A", "ramp_up": "0.05 s", "min_voltage": "9.3 V"},
            }
        ],
        mission={"actions": [{"do": "start", "seconds": 2.0}, {"do": "hold", "seconds": 4.0}]},
    )
    told = fallen(brief, "LG Energy Solution INR18650MJ1")
    assert told.limit.startswith(("voltage_min", "burst", "continuous"))
    if told.keys:
        assert any("current_limit" in key or "ramp_up" in key for key in told.keys)
        assert passes(brief, told)


def test_where_a_change_is_not_enough_the_next_limit_is_told():
    brief = torch(
        charger={"chemistry": "unknown", "end_voltage_per_cell": "4.2 V"},
        loads=[{"name": "lamp", "watts": 20.0, "min_voltage": "11.5 V", "max_voltage": "13 V"}],
    )
    told = fallen(brief, "Lithium Werks APR18650M1B")
    assert told.reason


def test_an_unknown_cell_is_refused_with_the_nearest():
    with pytest.raises(UnknownNameError, match="nearest"):
        why_not(torch(), "Samsung SDI INR18650-25X")


def short(example: str) -> Brief:
    """Give an example with so little left in its cells that a run is short."""
    asks = {"soil_corer": {"mission.uses": 12}, "rover": {"mission.run_time": "5 min"}}
    changes = asks.get(example, {"mission.run_time": "10 min"})
    return changed_brief(brief_from_text(example_text(example)), {**changes, "start.soc": 0.3})


@pytest.mark.slow
@pytest.mark.parametrize(
    ("example", "cell", "says"),
    [
        ("soil_corer", "Samsung SDI INR21700-50S", "mm more bore"),
        ("soil_corer", "Samsung SDI INR18650-15L", "a charge current of"),
        ("soil_corer", "Lithium Werks APR18650M1B", "for lfp"),
        ("rover", "EEMB LP925572", "more height"),
        ("rover", "Kokam SLPB75106100", "more width"),
        ("rover", "BAK N18650CH", "a board that cuts off between 2.75 V"),
        ("turntable", "Fullriver 32700FE5400", "a charge current of"),
        ("turntable", "Samsung SDI INR21700-50S", "for nca"),
        ("turntable", "Cegasa 26650 LFP 3.2Ah", "the levels of the gauge"),
    ],
)
def test_the_change_told_admits_the_cell_to_the_example(example: str, cell: str, says: str):
    brief = short(example)
    told = fallen(brief, cell)
    assert told.admits is True, told.change
    assert says in told.change
    changed = changed_brief(brief, told.keys)
    best = shortlist(changed, cells=(told.cell,), most=1, exact=1).best
    assert best is not None
    assert best.is_exact
    assert best.status is not Status.STOP


def corer(*, stop_v: float, **mission: object) -> Brief:
    """Give the soil corer with its stop set high, its limit and warning right above."""
    sections = tomllib.loads(example_text("soil_corer"))
    sections["mission"].pop("uses")
    sections["mission"] |= mission
    for key, volts in (("stop", stop_v), ("limit", stop_v + 0.05), ("warn", stop_v + 0.1)):
        sections["monitor"][f"{key}_per_cell"] = f"{volts:.2f} V"
    return brief_from_mapping(sections)


def test_a_device_that_stops_with_a_full_pack_gets_its_levels_from_the_program():
    brief = corer(stop_v=4.1)
    told = fallen(brief, SMALL)
    assert told.limit == "gauge_room"
    assert told.admits is True
    assert "the levels of the gauge left to the program" in told.change
    best = shortlist(changed_brief(brief, told.keys), cells=(told.cell,), most=1, exact=1).best
    assert best is not None
    assert best.status is not Status.STOP


def test_no_run_at_all_is_no_shorter_mission():
    told = fallen(corer(stop_v=4.1, uses=90), SMALL)
    assert told.limit == "run_time"
    assert "0 uses" not in told.change


def test_where_no_change_is_enough_it_is_not_called_enough():
    brief = torch(
        loads=[{"name": "lamp", "watts": 90.0, "min_voltage": "9 V", "max_voltage": "13 V"}],
        cavity={"shape": "tube", "bore": "22 mm", "length": "160 mm", "closure": "sealed"},
    )
    told = fallen(brief, "Panasonic NCR18650B")
    assert told.admits is False
    assert told.change


def test_what_one_cell_cannot_take_two_may():
    """The charger gives 1.5 A, a cell takes 0.98 A; the box has room for four."""
    brief = torch(
        cavity={"shape": "box", "length": "80 mm", "width": "80 mm", "height": "22 mm",
                "closure": "vented"},
        loads=[{"name": "lamp", "watts": 4.0, "min_voltage": "5 V", "max_voltage": "9 V"}],
        charger={"current": "1.5 A", "end_voltage_per_cell": "4.2 V"},
    )  # fmt: skip
    cell = load_cells().find("DNK Power 18350 1400mAh")
    found = shortlist(brief, cells=(cell,), exact=0)
    tried = {
        (each.trial.series, each.trial.parallel) for each in (*found.candidates, *found.others)
    }
    assert (2, 2) in tried, [each.reason for each in found.rejected]
