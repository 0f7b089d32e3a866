"""One field for one key of the brief: drawn from the schema, written back as it was typed."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass
from pathlib import Path
from typing import Any, Final

from packdesign.presentation.page import state
from packdesign.presentation.page.form.key_description import (
    KeyDescription,
    describe,
    shown_value,
    value_at,
)
from packdesign.presentation.page.wording import figure, readable, spoken

__all__ = [
    "IMPERIAL_WORD",
    "METRIC_WORD",
    "UNKNOWN",
    "Field",
    "draw_field",
    "draw_fields",
    "imperial",
]

UNKNOWN: Final = "I don't know"
_IMPERIAL: Final = {"mm": "inch", "degC": "degF", "g": "oz", "N*m": "lbf*inch"}
_STEPS: Final = {"degC": 1.0, "degF": 1.0, "percent": 5.0, "rpm": 10.0}
METRIC_WORD: Final = "mm and \u00b0C"
IMPERIAL_WORD: Final = "inches and \u00b0F"


@dataclass(frozen=True, slots=True, kw_only=True)
class Field:
    """What a step says of a field beyond the schema."""

    path: str
    label: str
    """Words of the builder; the schema's own words are shown as help."""
    slider: tuple[float, float, float] | None = None
    """Lowest, highest and step of a slider, in the unit shown; used while the value lies in it."""
    companions: tuple[tuple[str, tuple[tuple[str, str], ...]], ...] = ()
    """Choice, and keys it needs with a first value for those that are missing."""


def imperial() -> bool:
    """Tell whether the builder thinks in inches."""
    import streamlit as st

    return bool(st.session_state.get(state.UNITS) == IMPERIAL_WORD)


def draw_fields(fields: Iterable[Field]) -> None:
    """Draw several fields one below the other.

    Parameters
    ----------
    fields : iterable of Field
        The fields.
    """
    for each in fields:
        draw_field(each)


def draw_field(field: Field) -> None:
    """Draw one field.

    Parameters
    ----------
    field : Field
        Path and label.
    """
    found = describe(field.path)
    value = value_at(state.draft().brief, field.path)
    key = state.field_key(field.path)
    if found.quantity is not None and not found.quantity.many:
        _draw_quantity(field, found, value, key)
    elif found.kind is tuple and found.choices:
        _draw_several(field, found, value, key)
    elif found.kind is bool or found.choices:
        _draw_choice(field, found, value, key)
    elif found.kind in (int, float):
        _draw_number(field, found, value, key)
    elif found.kind is not Path:
        _draw_text(field, found, value, key)


def _unit_shown(found: KeyDescription) -> str:
    accepts = found.quantity
    if accepts is None:
        return ""
    if accepts.is_plain:
        return "percent" if found.attribute.endswith("_fraction") and accepts.high <= 1 else ""
    return _IMPERIAL.get(accepts.unit, accepts.unit) if imperial() else accepts.unit


def _draw_quantity(field: Field, found: KeyDescription, value: float | None, key: str) -> None:
    import streamlit as st

    accepts = found.quantity
    if accepts is None:
        return
    unit = _unit_shown(found)
    key = f"{key}:{unit}"
    shown = value if value is None or not unit else shown_value(
        value, stored_unit=found.stored_unit, unit=unit
    )  # fmt: skip
    words = figure(0, unit).removeprefix("0").strip()
    label = f"{field.label} [{words}]" if words else field.label
    about = f"{_sentence(found.about)} Allowed: {readable(accepts.allowed)}."
    slide = field.slider
    if slide is not None and shown is not None and slide[0] <= shown <= slide[1]:
        st.slider(
            label,
            min_value=slide[0],
            max_value=slide[1],
            step=slide[2],
            value=shown,
            format="%.6g",
            key=key,
            help=about,
            on_change=_take_quantity,
            args=(field.path, key, unit),
        )
        return
    st.number_input(
        label,
        value=_clearable(found, shown, key),
        step=_STEPS.get(unit, _step(shown)),
        format="%.6g",
        placeholder=f"empty: {UNKNOWN}" if found.may_be_unknown else None,
        key=key,
        help=about,
        on_change=_take_quantity,
        args=(field.path, key, unit),
    )


def _clearable(found: KeyDescription, shown: float | None, key: str) -> float | None:
    """Give the first value of a number field; one that may be unknown must begin empty.

    Streamlit lets a field be emptied only if its default is empty, so the figure goes in by the
    session instead.
    """
    import streamlit as st

    if not found.may_be_unknown:
        return shown
    if shown is not None and key not in st.session_state:
        st.session_state[key] = shown
    return None


def _take_quantity(path: str, key: str, unit: str) -> None:
    import streamlit as st

    value = st.session_state[key]
    if value is None:
        state.change({path: None})
        return
    state.change({path: f"{value!r} {unit}" if unit else float(value)})


def _draw_choice(field: Field, found: KeyDescription, value: Any, key: str) -> None:
    import streamlit as st

    options: list[Any] = list(found.choices) or [True, False]
    if found.may_be_unknown or value is None:
        options = [None, *options]
    words = {None: UNKNOWN, True: "yes", False: "no"}
    st.selectbox(
        field.label,
        options,
        index=options.index(value) if value in options else 0,
        format_func=lambda each: words.get(each) or spoken(str(each)),
        key=key,
        help=_sentence(found.about),
        on_change=_take_choice,
        args=(field, key),
    )


def _take_choice(field: Field, key: str) -> None:
    import streamlit as st

    value = st.session_state[key]
    changes: dict[str, Any] = {field.path: value}
    brief = state.draft().brief
    for choice, needed in field.companions:
        if choice == value:
            changes |= {path: first for path, first in needed if value_at(brief, path) is None}
    state.change(changes, redraw=bool(field.companions))


def _draw_several(field: Field, found: KeyDescription, value: Any, key: str) -> None:
    import streamlit as st

    st.multiselect(
        field.label,
        list(found.choices),
        default=list(value or ()),
        format_func=spoken,
        key=key,
        help=_sentence(found.about),
        on_change=_take_several,
        args=(field.path, key),
    )


def _take_several(path: str, key: str) -> None:
    import streamlit as st

    state.change({path: list(st.session_state[key]) or None})


def _draw_number(field: Field, found: KeyDescription, value: Any, key: str) -> None:
    import streamlit as st

    whole = found.kind is int
    slide = field.slider
    if whole and slide is not None and value is not None and slide[0] <= value <= slide[1]:
        st.slider(field.label, min_value=int(slide[0]), max_value=int(slide[1]), step=1,
                  value=int(value), key=key, help=_sentence(found.about),
                  on_change=_take_plain, args=(field.path, key))  # fmt: skip
        return
    st.number_input(
        field.label,
        value=_clearable(found, value, key),
        step=1 if whole else 1.0,
        format="%d" if whole else "%.6g",
        placeholder=f"empty: {UNKNOWN}" if found.may_be_unknown else None,
        key=key,
        help=_sentence(found.about),
        on_change=_take_plain,
        args=(field.path, key),
    )


def _draw_text(field: Field, found: KeyDescription, value: Any, key: str) -> None:
    import streamlit as st

    many = found.kind is tuple
    accepts = found.quantity
    if many and accepts is not None:
        shown = ", ".join(f"{each:.10g} {found.stored_unit}" for each in value or ())
    else:
        shown = ", ".join(value or ()) if many else value or ""
    about = _sentence(found.about) + (" Several: separate them by commas." if many else "")
    st.text_input(
        field.label,
        value=shown,
        placeholder=f"empty: {UNKNOWN}" if found.may_be_unknown else None,
        key=key,
        help=about,
        max_chars=2000,
        on_change=_take_list if many else _take_plain,
        args=(field.path, key),
    )


def _take_plain(path: str, key: str) -> None:
    import streamlit as st

    value = st.session_state[key]
    state.change({path: None if value == "" else value})


def _take_list(path: str, key: str) -> None:
    import streamlit as st

    items = [each.strip() for each in st.session_state[key].split(",") if each.strip()]
    state.change({path: items or None})


def _step(shown: float | None) -> float:
    """Give a step of the arrows that suits the size of the number."""
    if not shown:
        return 1.0
    size = abs(shown)
    return 0.01 if size < 1 else 0.1 if size < 10 else 1.0


def _sentence(about: str) -> str:
    return readable(f"{about[:1].upper()}{about[1:]}.") if about else ""
