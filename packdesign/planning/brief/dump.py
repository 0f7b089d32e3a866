"""Write a brief as TOML that reads back to the last digit.

A quantity is written in the unit a builder would use where that reads back exactly, else in SI.
"""

from __future__ import annotations

import json
from pathlib import Path
from typing import Any

from packdesign.foundation.units import SUFFIX_UNITS, quantity
from packdesign.planning.brief.keys import QuantityKey, quantity_of, split_suffix
from packdesign.planning.brief.schema import Brief
from packdesign.planning.brief.section import Section

__all__ = ["brief_to_toml", "toml_value"]


def brief_to_toml(brief: Brief) -> str:
    r"""Write a brief as TOML.

    Parameters
    ----------
    brief : Brief
        What to write. Keys that hold their default are left out.

    Returns
    -------
    str
        TOML that loads as an equal brief. Files are written as they were resolved.

    Examples
    --------
    >>> brief = Brief.model_validate({"cavity": {"wall_thickness_mm": 2}})
    >>> brief_to_toml(brief)
    '[cavity]\nwall_thickness = "2 mm"\n'
    """
    return "\n".join(_table(brief, path="")).lstrip("\n") + "\n"


def _table(section: Section, *, path: str) -> list[str]:
    plain: list[str] = []
    tables: list[str] = []
    for attribute, field in type(section).model_fields.items():
        value = getattr(section, attribute)
        if value == field.get_default() and not isinstance(value, Section):
            continue
        accepts = quantity_of(field)
        if isinstance(value, Section):
            inner = f"{path}{attribute}"
            tables += ["", f"[{inner}]", *_table(value, path=f"{inner}.")]
        elif isinstance(value, tuple) and value and isinstance(value[0], Section):
            for item in value:
                inner = f"{path}{attribute}"
                tables += ["", f"[[{inner}]]", *_table(item, path=f"{inner}.")]
        elif accepts is not None:
            plain.append(
                f"{accepts.key} = {_quantity(value, attribute=attribute, accepts=accepts)}"
            )
        else:
            plain.append(f"{attribute} = {toml_value(value)}")
    return plain + tables


def _quantity(value: float | tuple[float, ...], *, attribute: str, accepts: QuantityKey) -> str:
    if isinstance(value, tuple):
        items = [_quantity(item, attribute=attribute, accepts=accepts) for item in value]
        return f"[{', '.join(items)}]"
    stored = SUFFIX_UNITS[split_suffix(attribute)[1]]
    if stored == "dimensionless":
        return repr(value)
    try:
        shown = quantity(f"{value!r} {stored}", unit=accepts.unit, what=attribute)
    except OverflowError:
        return f'"{value!r} {stored}"'
    for number in (f"{shown:.10g}", repr(shown)):
        text = f"{number} {accepts.unit}"
        if quantity(text, unit=stored, what=attribute) == value:
            return f'"{text}"'
    return f'"{value!r} {stored}"'


def toml_value(value: Any) -> str:
    """Write words, a number, yes or no, a file name or a tuple of those as a TOML value.

    Examples
    --------
    >>> toml_value(("a", True, 2))
    '["a", true, 2]'
    """
    if isinstance(value, tuple):
        return f"[{', '.join(toml_value(item) for item in value)}]"
    if isinstance(value, bool):
        return "true" if value else "false"
    if isinstance(value, float | int):
        return repr(value)
    text = value.as_posix() if isinstance(value, Path) else str(value)
    return json.dumps(text, ensure_ascii=False).replace("\x7f", "\\u007f")
