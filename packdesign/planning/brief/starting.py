"""The commented brief to start from: every key there is, written out of the schema itself.

A line that begins with ``#`` and a key is switched on by deleting the ``#``; lines that begin with
``##`` only explain.
"""

from __future__ import annotations

import typing
from typing import Any, Final, Literal

from pydantic.fields import FieldInfo

from packdesign.planning.brief.dump import toml_value
from packdesign.planning.brief.keys import QuantityKey, example_of, quantity_of
from packdesign.planning.brief.schema import Brief
from packdesign.planning.brief.section import Section, section_of

__all__ = ["starting_brief"]

_WRITTEN_OUT: Final = {
    "": ("title",),
    "cavity": ("shape", "bore", "length"),
    "surroundings": ("ambient", "ambient_min", "ambient_max"),
    "loads": ("name", "watts", "duty"),
    "mission": ("run_time",),
}
_VALUE_WIDTH: Final = 44
_LINE_WIDTH: Final = 110
_HEAD: Final = """\
## A brief: what your pack must fit in, what it must drive, and how it is charged.
## Keep what you know and leave out the rest; nothing here is needed for its own sake.
##
## Lines that begin with '##' explain. A line that begins with '#' and a key is switched off:
## delete the '#' (and the '#' before the [section] it stands under) to use it.
## The values are examples, not advice.
##
## Quantities stand in quotes with their unit ("46 mm", "1.2 in", "2200 mAh", "20 degC"), or as a
## plain number behind a key that names the unit (bore_mm = 46, ambient_degc = 20).
"""


def starting_brief() -> str:
    """Write a brief with every key explained, which loads as it stands.

    Returns
    -------
    str
        TOML: a small brief of one load in a tube; all else is there, switched off.
    """
    return (
        _HEAD + "\n".join(_keys(Brief, path="")) + "\n" + "\n".join(_tables(Brief, path="")) + "\n"
    )


def _keys(section: type[Section], *, path: str) -> list[str]:
    lines = []
    for attribute, field in section.model_fields.items():
        if section_of(field.annotation)[0] is not None:
            continue
        accepts = quantity_of(field)
        key = attribute if accepts is None else accepts.key
        off = "" if key in _WRITTEN_OUT.get(path, ()) else "#"
        setting = f"{off}{key} = {_example(field, accepts)}"
        about = _explained(field, accepts)
        beside = f"{setting:<{_VALUE_WIDTH}} # {about}"
        lines += [beside] if len(beside) <= _LINE_WIDTH else [f"## {about}", setting]
    return lines


def _tables(section: type[Section], *, path: str) -> list[str]:
    lines: list[str] = []
    for attribute, field in section.model_fields.items():
        inner, many = section_of(field.annotation)
        if inner is None:
            continue
        where = f"{path}.{attribute}" if path else attribute
        if where == "motors":
            lines += [
                "",
                "## [[motors]]: several different motors; each takes the keys of [motor].",
            ]
            continue
        header = f"[[{where}]]" if many else f"[{where}]"
        off = "" if where in _WRITTEN_OUT else "#"
        several = "; may stand several times" if many else ""
        lines += ["", f"## {field.description}{several}", f"{off}{header}"]
        lines += _keys(inner, path=where)
        lines += _tables(inner, path=where)
    return lines


def _example(field: FieldInfo, accepts: QuantityKey | None) -> str:
    example = example_of(field)
    plain_number = isinstance(example, int | float) and not isinstance(example, bool)
    if accepts is not None and plain_number and not accepts.unit_in_name:
        return f"{example}" if accepts.is_plain else f'"{example:g} {accepts.unit}"'
    return toml_value(tuple(example) if isinstance(example, list) else example)


def _explained(field: FieldInfo, accepts: QuantityKey | None) -> str:
    about = field.description or ""
    if accepts is not None:
        return f"{about} ({accepts.allowed})"
    choices = _choices(field.annotation)
    if choices and not all(choice in about for choice in choices):
        return f"{about}: {', '.join(choices)}"
    return about


def _choices(annotation: Any) -> list[str]:
    if typing.get_origin(annotation) is Literal:
        return [str(choice) for choice in typing.get_args(annotation)]
    return [choice for part in typing.get_args(annotation) for choice in _choices(part)]
