"""What the current of held shafts does to lead, connector and switch until something ends it."""

from __future__ import annotations

from typing import Any

import pytest

from packdesign.data.connectors import find_connector, load_connectors
from packdesign.foundation.basis import Basis
from packdesign.planning.verdicts.conductors import PEAK_OVER_RATED, ContactRating, contact_peak
from packdesign.planning.verdicts.verdict import Status

# 12 V over 0.24 ohm is 50 A held; the work takes a few amperes
MOTOR = {
    "nominal_voltage": "12 V", "no_load_speed": "3000 rpm", "no_load_current": "1 A",
    "stall_current": "50 A", "load": {"kind": "constant", "torque": "0.02 N*m"},
    "drives": {"shape": "disc", "mass": "50 g", "radius": "20 mm"},
}  # fmt: skip
MISSION = {"actions": [{"do": "start", "seconds": 1}, {"do": "hold", "seconds": 5}]}
CELL = {"cell": "Samsung SDI INR18650-25R", "series": 3, "parallel": 3}
LEAD = {"awg": 20, "length": "20 mm", "bundled": False, "insulation_limit": "105 degC"}


def stuck(drive: dict[str, Any] | None = None, **pack: Any) -> dict[str, Any]:
    return {
        "pack": {**CELL, **pack},
        "motor": {**MOTOR, "drive": {"ramp_up": "0.5 s", **(drive or {})}},
        "mission": MISSION,
    }


def test_a_thin_lead_is_lost_unless_something_cuts_in_time(judged):
    """Some 40 A through 20 AWG: no balance in air, yet only a few kelvin in half a second."""
    endless = judged(**stuck(lead=LEAD))
    assert endless["wire_temperature"].status is Status.OK, "the work alone is easy"
    assert endless["stall_wire"].status is Status.STOP
    assert "nothing to end it" in endless["stall_wire"].reason
    short = judged(**stuck({"stall_timeout": "0.3 s"}, lead=LEAD))["stall_wire"]
    assert short.status is Status.OK
    assert short.value < 60.0
    assert "for 0.3 s, until the driver lets go" in short.reason
    longer = judged(**stuck({"stall_timeout": "3 s"}, lead=LEAD))["stall_wire"]
    assert longer.status is Status.STOP
    assert longer.value > short.value


def test_a_fuse_ends_it_and_the_lead_is_judged_by_the_longest_that_it_takes(judged):
    found = judged(**stuck(lead={**LEAD, "awg": 12}, fuse={"part": "ATO 10 A"}))["stall_wire"]
    assert found.status is Status.OK
    assert "until fuse or board has surely cut it" in found.reason


def test_a_current_limit_in_the_driver_spares_the_lead(judged):
    limited = judged(**stuck({"current_limit": "4 A"}, lead=LEAD))["stall_wire"]
    assert limited.status is Status.OK


@pytest.mark.parametrize(
    ("connector", "status"),
    [
        ({"rating": "100 A"}, Status.OK),
        ({"rating": "30 A", "peak_rating": "100 A"}, Status.OK),
        ({"rating": "30 A", "peak_rating": "35 A"}, Status.CAUTION),
        ({"rating": "30 A"}, Status.UNKNOWN),  # less than twice its rating, for half a second
        ({"rating": "10 A"}, Status.CAUTION),  # far more than twice
        ({"name": "XT60"}, Status.CAUTION),  # 60 A, and nobody says for how long
    ],
)
def test_a_plug_is_held_to_its_peak_rating(judged, connector, status):
    found = judged(**stuck({"stall_timeout": "0.5 s"}, connector=connector))["stall_connector"]
    assert 36.0 < found.value < 60.0, "above 35 A, below twice 30 A and the 60 A of XT60"
    assert found.status is status


def test_a_peak_rating_does_not_serve_what_lasts_longer(judged):
    switch = {"kind": "mechanical", "rating": "30 A", "peak_rating": "100 A"}
    short = judged(**stuck({"stall_timeout": "0.5 s"}, switch=switch))["stall_switch"]
    assert (short.status, short.limit) == (Status.OK, 100.0)
    endless = judged(**stuck(switch=switch))["stall_switch"]
    assert (endless.status, endless.limit) == (Status.CAUTION, 30.0)


def test_a_planned_stall_beyond_the_plug_stops(judged):
    sections = stuck({"stall_timeout": "20 s"}, connector={"rating": "10 A"})
    planned = {"actions": [*MISSION["actions"], {"do": "stall", "seconds": 20}]}
    found = judged(**(sections | {"mission": planned}))["stall_connector"]
    assert found.status is Status.STOP


def planned(seconds: float, **action: Any) -> dict[str, Any]:
    return {"actions": [*MISSION["actions"], {"do": "stall", "seconds": seconds, **action}]}


def test_a_planned_stall_does_not_end_a_jam(judged):
    """Half a second of the mission is easy on a lead that a jam without an end would burn."""
    sections = stuck(lead=LEAD, connector={"rating": "30 A", "peak_rating": "100 A"})
    found = judged(**(sections | {"mission": planned(0.5)}))
    assert found["stall_wire"].status is Status.STOP
    assert "with nothing to end it" in found["stall_wire"].reason
    assert (found["stall_connector"].status, found["stall_connector"].limit) == (
        Status.CAUTION, 30.0,
    )  # fmt: skip
    assert "heat go into the winding" in found["stall_current"].reason
    assert "stall timeout" in found["stall_current"].fix


def test_a_planned_stall_is_let_go_by_the_driver_too(judged):
    sections = stuck({"stall_timeout": "0.3 s"}, lead=LEAD)
    found = judged(**(sections | {"mission": planned(20)}))["stall_wire"]
    assert found.status is Status.OK


def test_a_planned_stall_that_hurts_is_told_beside_the_jam(judged):
    switch = {"kind": "mechanical", "rating": "10 A"}
    found = judged(**(stuck(switch=switch) | {"mission": planned(20)}))["stall_switch"]
    assert found.status is Status.STOP
    assert "for 20 s, as the mission plans it" in found.reason
    assert "In a jam that nobody plans, the current of the switch" in found.reason
    assert "with nothing to end it" in found.reason


def test_a_jam_like_the_planned_stall_is_not_told_at_length_again(judged):
    """The fuse ends either."""
    fuse, switch = {"part": "ATO 5 A"}, {"kind": "mechanical", "rating": "10 A"}
    sections = stuck(fuse=fuse, switch=switch) | {"mission": planned(60)}
    found = judged(**sections)["stall_switch"]
    assert found.status is Status.STOP
    assert found.reason.endswith("In a jam that nobody plans it is the same.")
    assert found.reason.count("the current of the switch") + found.reason.count("The current") == 1


def test_a_planned_stall_holds_what_it_names_at_its_own_duty(judged):
    """One shaft of two, at a tenth of the duty: some 5 A, which a plug of 10 A carries for good."""
    drive = {"ramp_up": "0.5 s", "stall_timeout": "0.1 s"}
    motors = [{**MOTOR, "name": name, "drive": drive} for name in ("left", "right")]
    sections = {"pack": {**CELL, "connector": {"rating": "10 A", "peak_rating": "200 A"}},
                "motors": motors}  # fmt: skip
    whole = judged(**sections, mission=planned(20, motor="left"))["stall_connector"]
    assert whole.status is Status.OK, "a tenth of a second"
    longer = [{**each, "drive": {**drive, "stall_timeout": "60 s"}} for each in motors]
    slack = sections | {"motors": longer}
    gentle = judged(**slack, mission=planned(20, motor="left", duty=0.1))["stall_connector"]
    assert gentle.status is Status.CAUTION, "the jam of both, for a minute, hurts nobody yet"
    assert "mission plans" not in gentle.reason
    both = judged(**slack, mission=planned(20))["stall_connector"]
    assert both.status is Status.STOP


def test_strips_are_judged_while_shafts_are_held(judged):
    """Some 50 A through strips that the work of a few amperes leaves cool."""
    strips = {"material": "nickel", "width": "8 mm", "thickness": "0.1 mm"}
    endless = judged(**stuck(strips=strips))
    assert endless["strip_rise_strip_between_cells"].status is Status.OK
    assert endless["stall_strips"].status is Status.CAUTION, "by chance"
    short = judged(**stuck({"stall_timeout": "0.05 s"}, strips=strips))["stall_strips"]
    assert short.status is Status.OK
    assert short.value < endless["stall_strips"].value
    meant = judged(**(stuck(strips=strips) | {"mission": planned(20)}))["stall_strips"]
    assert meant.status is Status.STOP
    glowing = judged(**stuck(strips={**strips, "width": "3 mm"}))["stall_strips"]
    assert glowing.status is Status.STOP
    assert glowing.value > 200.0


@pytest.mark.parametrize(
    ("connector", "basis", "source"),
    [
        ({"rating": "30 A"}, Basis.MEASURED, "stated in the brief"),
        ({"name": "XT30"}, None, "connector table: "),
        ({"name": "XT30", "peak_rating": "90 A"}, Basis.MEASURED, "stated in the brief"),
    ],
)
def test_a_rating_names_where_it_is_from(judged, connector, basis, source):
    sections = stuck({"stall_timeout": "0.5 s"}, connector=connector)
    found = judged(**sections)["stall_connector"]
    assert found.source.startswith(source)
    assert found.basis is (find_connector("XT30").basis if basis is None else basis)
    work = judged(**sections)["contact_current_connector"]
    assert work.source.startswith("connector table: " if "name" in connector else source)


@pytest.mark.parametrize(
    ("lead", "key"),
    [
        ({"awg": 20, "length": "20 mm", "bundled": False}, "pack.lead.insulation_limit"),
        ({"awg": 20, "length": "20 mm", "insulation": "kapok"}, "pack.lead.insulation_limit"),
        ({"length": "20 mm", "insulation": "silicone"}, "pack.lead.awg"),
    ],
)
def test_a_lead_that_is_not_known_is_not_fine(judged, lead, key):
    found = judged(**stuck({"stall_timeout": "1 s"}, lead=lead))["stall_wire"]
    assert found.status is Status.UNKNOWN
    assert key in found.fix


def test_a_lead_without_a_balance_is_lost_in_any_insulation(judged):
    lead = {"awg": 20, "length": "20 mm", "bundled": False}
    assert judged(**stuck(lead=lead))["stall_wire"].status is Status.STOP


def test_a_lead_that_its_work_burns_is_lost_in_any_insulation(judged):
    heater = {"pack": {**CELL, "lead": {"awg": 30, "length": "20 mm", "bundled": False}},
              "loads": [{"name": "heater", "watts": 300}]}  # fmt: skip
    assert judged(**heater)["wire_temperature"].status is Status.STOP


def test_nothing_is_said_without_a_motor_or_a_part(judged):
    assert not [name for name in judged(**stuck()) if name.startswith("stall_") and
                name != "stall_current"]  # fmt: skip
    heater = {"pack": {**CELL, "lead": LEAD}, "loads": [{"name": "heater", "watts": 10}]}
    assert "stall_wire" not in judged(**heater)


def test_twice_the_rating_is_what_nine_of_ten_connectors_bear():
    both = [each for each in load_connectors() if each.rated_a and each.burst_a]
    ratios = [(each.burst_a or 0.0) / (each.rated_a or 1.0) for each in both]
    assert sum(ratio <= PEAK_OVER_RATED for ratio in ratios) / len(ratios) > 0.9
    assert len(both) > 20


@pytest.mark.parametrize(
    ("load_a", "lasts_s", "status", "limit"),
    [
        (14.0, 1e9, Status.OK, 15.0),
        (25.0, 10.0, Status.OK, 30.0),
        (25.0, 10.1, Status.STOP, 15.0),
        (31.0, 1.0, Status.STOP, 30.0),
    ],
)
def test_the_limit_that_counts(load_a, lasts_s, status, limit):
    rating = ContactRating(rated_a=15.0, peak_a=30.0)
    found = contact_peak(part="plug", load_a=load_a, lasts_s=lasts_s, rating=rating)
    assert (found.status, found.limit) == (status, limit)


@pytest.mark.parametrize(
    ("awg", "amps", "status"),
    [
        pytest.param(14, "5 A", Status.OK, id="any insulation bears it"),
        pytest.param(24, "7 A", Status.UNKNOWN, id="some would not"),
    ],
)
def test_a_lead_of_unknown_insulation_is_held_to_what_any_bears(judged, awg, amps, status):
    lead = {"awg": awg, "length": "20 mm", "bundled": False}
    found = judged(pack={**CELL, "lead": lead}, loads=[{"name": "lamp", "amps": amps}])
    warm = found["wire_temperature"]
    assert warm.status is status
    if status is Status.UNKNOWN:
        assert "what the insulation of the 24 AWG lead bears" in warm.reason
        assert "insulation_limit" in warm.fix
        assert warm.value > 60.0


def test_a_fuse_that_blows_before_the_planned_end_is_what_ends_the_stall(judged):
    """The driver lets a jam go after half a minute; the mission holds on purpose for twenty."""
    sections = stuck({"stall_timeout": "30 s"}, fuse={"part": "ATO 5 A"}, lead=LEAD)
    reason = judged(**(sections | {"mission": planned(20)}))["stall_current"].reason
    assert "until fuse or board has surely cut it" in reason
    assert "20 s" not in reason
    assert "30 s" not in reason
