"""Tables that may stand several times: loads, lights, rails, actions; add one, take one away."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any

from packdesign.planning.brief.schema import Brief
from packdesign.planning.brief.section import Section
from packdesign.presentation.page import state
from packdesign.presentation.page.form.field import Field, draw_field
from packdesign.presentation.page.form.key_description import value_at

__all__ = ["Repeated", "draw_repeated"]


@dataclass(frozen=True, slots=True, kw_only=True)
class Repeated:
    """One kind of table that may stand several times."""

    path: str
    """Dotted key of the list: "mission.actions"."""
    word: str
    """What one of them is called: "load"."""
    fields: tuple[tuple[str, str], ...]
    """Key and label of each field."""
    first: Mapping[str, Any]
    """What a new one holds."""
    name_key: str = "name"
    """Key that tells one from another in the heading."""


def draw_repeated(table: Repeated) -> None:
    """Draw every table of the kind, and the buttons that add and take away.

    Parameters
    ----------
    table : Repeated
        The kind.
    """
    import streamlit as st

    items = _items(state.draft().brief, table.path)
    for number, item in enumerate(items):
        name = str(getattr(item, table.name_key))
        with st.expander(f"{table.word} {number + 1}: {name}", expanded=len(items) == 1):
            for key, label in table.fields:
                draw_field(Field(path=f"{table.path}.{number}.{key}", label=label))
            st.button(
                f"Take {table.word} {number + 1} away",
                key=state.fields_key(f"{table.path}.{number}", "remove"),
                on_click=_remove,
                args=(table.path, number),
            )
    st.button(
        f"Add a {table.word}",
        key=state.fields_key(table.path, "add"),
        on_click=_add,
        args=(table,),
    )


def _items(brief: Brief, path: str) -> tuple[Section, ...]:
    found = value_at(brief, path)
    return found if isinstance(found, tuple) else ()


def _dumped(brief: Brief, path: str) -> list[dict[str, Any]]:
    return [item.model_dump(exclude_defaults=True) for item in _items(brief, path)]


def _add(table: Repeated) -> None:
    brief = state.draft().brief
    first = dict(table.first)
    taken = {getattr(each, table.name_key) for each in _items(brief, table.path)}
    if table.name_key in first and table.name_key == "name":
        name = first["name"]
        number = 2
        while first["name"] in taken:
            first["name"] = f"{name} {number}"
            number += 1
    state.change({table.path: [*_dumped(brief, table.path), first]}, redraw=True)


def _remove(path: str, number: int) -> None:
    kept = _dumped(state.draft().brief, path)
    del kept[number]
    state.change({path: kept or None}, redraw=True)
