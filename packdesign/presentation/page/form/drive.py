"""Step 2: what it must drive: motors, regulators, loads and lights."""

from __future__ import annotations

from typing import Final

from packdesign.presentation.page import state
from packdesign.presentation.page.form.field import Field, draw_fields
from packdesign.presentation.page.form.more import draw_more
from packdesign.presentation.page.form.repeated import Repeated, draw_repeated

__all__ = ["draw_drive"]

_SHEET: Final = (
    ("kind", "Kind of motor"),
    ("count", "How many run together"),
    ("nominal_voltage", "Nominal voltage"),
    ("no_load_speed", "Speed without load"),
    ("no_load_current", "Current without load"),
    ("stall_current", "Current when stalled"),
    ("stall_torque", "Torque when stalled"),
    ("gear_ratio", "Gear: motor turns for one of the shaft"),
)
_READINGS: Final = (
    ("ohmmeter_readings", "Ohmmeter across the terminals"),
    ("locked_rotor.voltage", "Shaft held: voltage"),
    ("locked_rotor.current", "Shaft held: current"),
    ("no_load_reading.voltage", "Running free: voltage"),
    ("no_load_reading.current", "Running free: current"),
    ("no_load_reading.speed", "Running free: speed of the shaft"),
)
_WORK: Final = (
    ("load.torque", "Torque of the work"),
    ("load.breakaway_torque", "Torque to break it loose"),
)
_DRIVE: Final = (
    ("drive.ramp_up", "Ramp up", (0.0, 2.0, 0.05)),
    ("drive.current_limit", "Current limit of the driver", (1.0, 30.0, 0.5)),
    ("drive.stall_timeout", "Cut when stalled for", None),
    ("drive.min_voltage", "Driver works down to", None),
    ("drive.max_voltage", "Driver survives up to", None),
)
_TABLES: Final = (
    Repeated(
        path="loads",
        word="load",
        fields=(
            ("name", "Name"),
            ("watts", "Power while on"),
            ("amps", "or current while on"),
            ("duty", "Share of the time it is on"),
            ("rail", "Fed by (battery, or a regulator)"),
            ("min_voltage", "Works down to"),
            ("max_voltage", "Survives up to"),
        ),
        first={"name": "controller", "watts": "1 W"},
    ),
    Repeated(
        path="lights",
        word="light",
        fields=(
            ("name", "Name"),
            ("watts", "Power while on"),
            ("pixels", "or number of pixels"),
            ("duty", "Share of the time it is on"),
            ("rail", "Fed by (battery, or a regulator)"),
        ),
        first={"name": "work light", "watts": "2 W"},
    ),
    Repeated(
        path="rails",
        word="regulator",
        fields=(
            ("name", "Name"),
            ("kind", "Kind"),
            ("part", "Part number"),
            ("output_voltage", "Makes"),
            ("efficiency", "Efficiency"),
            ("dropout", "Input must be above the output by"),
            ("min_input", "Least input"),
            ("max_input", "Highest input"),
            ("max_output", "Highest output current"),
            ("fed_by", "Fed by"),
        ),
        first={"name": "5 V", "kind": "buck", "output_voltage": "5 V"},
    ),
)


def draw_drive() -> None:
    """Draw the step."""
    import streamlit as st

    brief = state.draft().brief
    prefixes = (["motor"] if brief.motor is not None else []) + [
        f"motors.{number}" for number in range(len(brief.motors))
    ]
    for prefix, motor in zip(prefixes, brief.all_motors, strict=True):
        with st.expander(f"Motor: {motor.name}", expanded=len(prefixes) == 1):
            _draw_motor(prefix)
    st.button("Add a motor", key=state.fields_key("motor", "add"), on_click=_add_motor)
    for table in _TABLES:
        st.markdown(f"**{table.word.capitalize()}s**")
        draw_repeated(table)


def _draw_motor(prefix: str) -> None:
    import streamlit as st

    shown = {f"{prefix}.name"}
    draw_fields((Field(path=f"{prefix}.name", label="Name"),))
    st.caption("From its datasheet, as far as you have one")
    draw_fields(Field(path=f"{prefix}.{key}", label=label) for key, label in _SHEET)
    st.caption("Or from your own readings")
    draw_fields(Field(path=f"{prefix}.{key}", label=label) for key, label in _READINGS[:1])
    _draw_readings(prefix)
    st.caption("The work it does, and its driver")
    draw_fields(Field(path=f"{prefix}.{key}", label=label) for key, label in _WORK)
    draw_fields(
        Field(path=f"{prefix}.{key}", label=label, slider=slider) for key, label, slider in _DRIVE
    )
    shown |= {f"{prefix}.{key}" for key, *_ in (*_SHEET, *_READINGS, *_WORK, *_DRIVE)}
    draw_more(
        "More about this motor",
        (prefix, f"{prefix}.drives", f"{prefix}.load", f"{prefix}.drive"),
        shown=shown,
    )
    st.button("Take this motor away", key=state.fields_key(prefix, "remove"),
              on_click=_remove_motor, args=(prefix,))  # fmt: skip


def _draw_readings(prefix: str) -> None:
    """Draw the two readings that need more than one figure at once."""
    import streamlit as st

    brief = state.draft().brief
    motor = brief.motor if prefix == "motor" else brief.motors[int(prefix.split(".")[1])]
    if motor is None:
        return
    if motor.locked_rotor is None:
        st.button(
            "I have read it with the shaft held",
            key=state.fields_key(prefix, "locked"),
            on_click=state.change,
            args=({f"{prefix}.locked_rotor": {"voltage": "2 V", "current": "1 A"}},),
            kwargs={"redraw": True},
            help="Starts with 2 V and 1 A; write your own reading over them.",
        )
    else:
        draw_fields(Field(path=f"{prefix}.{key}", label=label) for key, label in _READINGS[1:3])
    draw_fields(Field(path=f"{prefix}.{key}", label=label) for key, label in _READINGS[3:])


def _add_motor() -> None:
    brief = state.draft().brief
    if brief.motor is None and not brief.motors:
        state.change({"motor": {"name": "motor"}}, redraw=True)
        return
    dumped = [each.model_dump(exclude_defaults=True) for each in brief.all_motors]
    dumped.append({"name": f"motor {len(dumped) + 1}"})
    state.change({"motor": None, "motors": dumped}, redraw=True)


def _remove_motor(prefix: str) -> None:
    if prefix == "motor":
        state.change({"motor": None}, redraw=True)
        return
    kept = [each.model_dump(exclude_defaults=True) for each in state.draft().brief.motors]
    del kept[int(prefix.split(".")[1])]
    state.change({"motors": kept or None}, redraw=True)
