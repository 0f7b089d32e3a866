"""Every other key of a section, drawn from the schema, so that nothing is out of reach."""

from __future__ import annotations

from collections.abc import Collection, Sequence

from packdesign.planning.brief.schema import Brief
from packdesign.planning.brief.section import Section, section_of
from packdesign.presentation.page import state
from packdesign.presentation.page.form.field import Field, draw_field
from packdesign.presentation.page.form.key_description import plain_keys
from packdesign.presentation.page.wording import spoken

__all__ = ["draw_more"]


def draw_more(heading: str, paths: Sequence[str], *, shown: Collection[str] = ()) -> None:
    """Draw the keys of sections that a step has not drawn itself, behind a switch.

    Parameters
    ----------
    heading : str
        What they are about.
    paths : sequence of str
        Sections by dotted path, such as "pack.fuse" or "motors.0".
    shown : collection of str
        Dotted keys that are on the screen already.
    """
    import streamlit as st

    if not st.toggle(heading, key=state.fields_key(paths[0], "more")):
        return
    for path in paths:
        section = _section_at(path)
        if len(paths) > 1:
            st.markdown(f"**{_words(path.split('.')[-1])}**")
        for key in plain_keys(section):
            dotted = f"{path}.{key}"
            if dotted not in shown:
                draw_field(Field(path=dotted, label=_words(key)))


def _words(key: str) -> str:
    text = spoken(key)
    return text[:1].upper() + text[1:]


def _section_at(path: str) -> type[Section]:
    section: type[Section] = Brief
    for part in path.split("."):
        if part.isdecimal():
            continue
        inner = section_of(section.model_fields[part].annotation)[0]
        section = inner if inner is not None else section
    return section
