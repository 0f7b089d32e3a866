"""What a device that is off still takes: behind a switch nothing, without one all that is known."""

from __future__ import annotations

import pytest

from packdesign.planning.brief.load import brief_from_mapping
from packdesign.planning.needs.drain import DeviceDrain, device_drain

PACK = {"cell": "Samsung SDI INR18650-25R", "series": 3, "parallel": 1}
RAIL = {"name": "5 V", "kind": "buck", "output_voltage": "5 V", "off_current": "10 uA"}
LOAD = {"name": "logic", "watts": 0.4, "rail": "5 V"}
BEHIND = {"name": "3 V", "kind": "linear", "output_voltage": "3 V", "fed_by": "5 V"}


def of(
    switch: dict[str, object] | None = None, *, divider_a: float | None = None, **sections: object
) -> DeviceDrain:
    pack = PACK if switch is None else {**PACK, "switch": switch}
    given = {"rails": [RAIL], "loads": [LOAD], **sections}
    brief = brief_from_mapping({"pack": pack, **given})
    return device_drain(brief, full_v=12.6, divider_a=divider_a)


def drain(switch: dict[str, object] | None = None, **sections: object) -> float | None:
    """The whole sum, None where it is not whole."""
    found = of(switch, **sections)
    return found.known_a if found.is_whole else None


@pytest.mark.parametrize("kind", ["mechanical", "relay", "plug"])
def test_an_open_switch_lets_nothing_through(kind):
    assert drain({"kind": kind}) == 0.0


def test_a_transistor_lets_its_own_current_through():
    assert drain({"kind": "transistor", "off_current": "2 uA"}) == pytest.approx(2e-6)
    assert drain({"kind": "transistor"}) == pytest.approx(1e-5), "the rails, to be safe"


def test_without_a_switch_everything_counts():
    assert drain() == pytest.approx(1e-5)
    assert drain(rails=[RAIL, BEHIND]) == pytest.approx(1e-5), "a rail behind another is dark"
    assert drain(monitor={"divider_current": "60 uA"}) == pytest.approx(7e-5)
    assert drain(monitor={"r_top": "116 kOhm", "r_bottom": "10 kOhm"}) == pytest.approx(1.1e-4)
    motor = {"nominal_voltage": "12 V", "stall_current": "10 A", "drive": {"idle_current": "5 mA"}}
    assert drain(motor=motor) == pytest.approx(0.00501)


@pytest.mark.parametrize(
    "sections",
    [
        {"rails": [{**RAIL, "off_current": None}]},
        {"loads": [LOAD, {"name": "lamp", "watts": 3}]},
        {"motor": {"nominal_voltage": "12 V", "stall_current": "10 A"}},
        {"monitor": {"controller": "ATmega328P/PB"}},
    ],
)
def test_one_unknown_makes_the_sum_unknown(sections):
    if "rails" in sections:
        sections = {"rails": [{k: v for k, v in RAIL.items() if k != "off_current"}]}
    assert drain(**sections) is None
    assert drain({"kind": "mechanical"}, **sections) == 0.0


def test_the_divider_that_the_gauge_chose_is_counted_and_what_else_is_unknown_leaves_it_in():
    esp = {"controller": "ATmega328P/PB"}
    assert of(monitor=esp, divider_a=1e-4).known_a == pytest.approx(1.1e-4)
    assert of(monitor=esp, divider_a=1e-4).is_whole
    assert of(divider_a=1e-4).known_a == pytest.approx(1.1e-4), "no monitor, but a gauge is shown"
    lamp = {"name": "lamp", "watts": 3}
    found = of(monitor=esp, divider_a=1e-4, loads=[LOAD, lamp])
    assert (found.known_a, found.is_whole) == (pytest.approx(1.1e-4), False)
    named = {"r_top": "116 kOhm", "r_bottom": "10 kOhm"}
    assert of(monitor=named, divider_a=5e-3).divider_a == pytest.approx(1e-4), "the brief's own"


def test_a_switch_is_taken_to_cut_off_the_divider_and_that_is_told():
    found = of({"kind": "mechanical"}, divider_a=1e-4)
    assert (found.known_a, found.is_switched_off, found.divider_a) == (0.0, True, 1e-4)
