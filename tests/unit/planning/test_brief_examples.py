"""The examples and the starting brief: they load, and their figures belong together."""

from __future__ import annotations

import math
import re

import pytest
from pydantic import ValidationError

from packdesign.foundation.errors import BriefError, UnknownNameError
from packdesign.planning.brief.dump import brief_to_toml
from packdesign.planning.brief.examples import example_names, example_text
from packdesign.planning.brief.keys import example_of, quantity_of, split_suffix
from packdesign.planning.brief.load import brief_from_text
from packdesign.planning.brief.motor import Motor
from packdesign.planning.brief.schema import Brief
from packdesign.planning.brief.section import OWN_SECTION, Section, section_of
from packdesign.planning.brief.starting import starting_brief


@pytest.mark.parametrize("name", example_names())
def test_each_example_loads_and_survives_being_written(name: str) -> None:
    brief = brief_from_text(example_text(name), name=name)
    assert brief.title
    assert brief_from_text(brief_to_toml(brief)) == brief


@pytest.mark.parametrize("name", ["soil_corer", "turntable"])
def test_the_motor_figures_of_an_example_belong_together(name: str) -> None:
    """V = I R + k w at stall and at no load; stall torque = k (I - I0) ratio efficiency."""
    motor = brief_from_text(example_text(name)).motor
    assert isinstance(motor, Motor)
    volts, ohms = motor.nominal_v, motor.terminal_resistance_ohm
    stall_a, free_a = motor.stall_current_a, motor.no_load_current_a
    speed, torque = motor.no_load_speed_rad_per_s, motor.stall_torque_nm
    gear = motor.gear_efficiency_fraction
    assert None not in (volts, ohms, stall_a, free_a, speed, torque, gear)
    assert volts == pytest.approx(stall_a * ohms, rel=1e-9)
    constant = (volts - free_a * ohms) / (speed * motor.gear_ratio)
    by_constant = constant * (stall_a - free_a) * motor.gear_ratio * gear
    assert torque == pytest.approx(by_constant, rel=0.01)


def test_the_wheel_readings_of_the_rover_belong_together() -> None:
    (wheel,) = brief_from_text(example_text("rover")).motors
    held, free = wheel.locked_rotor, wheel.no_load_reading
    assert held is not None
    assert free is not None
    resistance_ohm = held.voltage_v / held.current_a
    assert free.current_a * resistance_ohm < free.voltage_v
    assert math.isclose(resistance_ohm, 4.0)  # as the comment in the example says


def test_an_unknown_example_offers_the_nearest() -> None:
    with pytest.raises(UnknownNameError, match="no example named 'corer'; nearest: soil_corer"):
        example_text("corer")


def test_the_starting_brief_loads_as_it_stands() -> None:
    brief = brief_from_text(starting_brief())
    assert brief.cavity is not None
    assert brief.cavity.shape == "tube"
    assert brief.loads[0].power_w == 1.2


def _classes(kind: type[Section]) -> list[type[Section]]:
    inner = [section_of(field.annotation)[0] for field in kind.model_fields.values()]
    return [kind, *(each for found in inner if found is not None for each in _classes(found))]


EVERY_KEY = [
    (kind, quantity.key if quantity is not None else attribute, attribute)
    for kind in dict.fromkeys(_classes(Brief))
    for attribute, field in kind.model_fields.items()
    for quantity in [quantity_of(field)]
    if section_of(field.annotation)[0] is None
]


@pytest.mark.parametrize(
    ("kind", "key", "attribute"), EVERY_KEY, ids=[f"{k.__name__}-{key}" for k, key, _ in EVERY_KEY]
)
def test_every_key_is_in_the_starting_brief_with_a_value_that_is_accepted(
    kind: type[Section], key: str, attribute: str
) -> None:
    line = re.compile(rf"^#?{key} = (.+?)(?:\s+#.*)?$", re.MULTILINE)
    assert line.search(starting_brief())
    field = kind.model_fields[attribute]
    assert field.description, "every key is explained in one line"
    quantity, example = quantity_of(field), example_of(field)
    if quantity is not None and isinstance(example, int | float) and not quantity.is_plain:
        example = f"{example} {quantity.unit}"
    assert _complaints(kind, {key: example}) <= {OWN_SECTION}, "only a partner may be missing"


@pytest.mark.parametrize("kind", dict.fromkeys(_classes(Brief)))
def test_no_two_keys_of_a_section_can_be_taken_for_each_other(kind: type[Section]) -> None:
    for key, attribute in kind.accepted_keys().items():
        assert kind.attribute_of(key) == attribute
        assert kind.attribute_of(attribute) == attribute
        suffix = split_suffix(attribute)[1]
        if quantity_of(kind.model_fields[attribute]) is not None:
            assert kind.attribute_of(f"{key}_{suffix}") == attribute


def _complaints(kind: type[Section], data: dict[str, object]) -> set[str]:
    try:
        kind.model_validate(data)
    except ValidationError as found:
        return {error["type"] for error in found.errors()}
    return set()


SWITCHED_OFF = [part for part in starting_brief().split("\n\n") if "\n#[" in part]


@pytest.mark.parametrize(
    "part", SWITCHED_OFF, ids=[re.findall(r"#\[+([\w.]+)", p)[0] for p in SWITCHED_OFF]
)
def test_every_switched_off_section_switches_on(part: str) -> None:
    """All its keys at once may be too many, but none of them is refused for itself."""
    switched_on = re.sub(r"(?m)^#(?!#)", "", part)
    if "[[rails." in switched_on:
        switched_on = f"[[rails]]\n{switched_on}"
    try:
        brief_from_text(switched_on)
    except BriefError as error:
        refused = str(error)
    else:
        refused = ""
    assert not re.search("no key|not valid TOML|no unit|allowed:", refused)
