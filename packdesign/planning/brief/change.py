"""Change a few keys of a brief: the way of sliders, what-if questions and ``--set``."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from packdesign.foundation.errors import BriefError
from packdesign.planning.brief.load import brief_from_mapping
from packdesign.planning.brief.schema import Brief
from packdesign.planning.brief.section import Section, section_of

__all__ = ["changed_brief"]


def changed_brief(brief: Brief, changes: Mapping[str, Any], *, name: str = "brief") -> Brief:
    """Give a brief with some keys changed, checked like one just read.

    Parameters
    ----------
    brief : Brief
        The brief; it is not altered.
    changes : mapping
        New values by dotted key: ``{"cavity.bore": "48 mm", "motors.0.drive.ramp_up_s": 0.6}``.
        None takes a key away. A section that is missing is made.
    name : str
        Name of the brief, for messages.

    Returns
    -------
    Brief
        The changed brief.

    Raises
    ------
    BriefError
        If a key does not exist, its value cannot be used, or the whole no longer makes sense.

    Examples
    --------
    >>> changed_brief(Brief(), {"surroundings.ambient": "5 degC"}).surroundings.ambient_degc
    5.0
    """
    data = brief.model_dump(exclude_defaults=True)
    for path, value in changes.items():
        *sections, key = path.split(".")
        table, kind = _table_at(data, sections, path=path, name=name)
        attribute = kind.attribute_of(key) if kind is not None else None
        table.pop(attribute or key, None)
        if value is not None:
            table[key] = value
    return brief_from_mapping(data, name=name)


def _table_at(
    data: dict[str, Any], sections: list[str], *, path: str, name: str
) -> tuple[dict[str, Any], type[Section] | None]:
    """Walk down to the table that holds the key, making what is missing."""
    kind: type[Section] | None = Brief
    here: Any = data
    for part in sections:
        if isinstance(here, list | tuple):
            here = _numbered(here, part, path=path, name=name)
            continue
        field = kind.model_fields.get(part) if kind is not None else None
        kind, many = section_of(field.annotation) if field is not None else (None, False)
        here = here.setdefault(part, [] if many else {})
    if not isinstance(here, dict):
        msg = f"{name}: {path} does not lead to a key; number the table, as in motors.0.count"
        raise BriefError(msg)
    return here, kind


def _numbered(tables: list[Any] | tuple[Any, ...], part: str, *, path: str, name: str) -> Any:
    if not part.isdecimal() or int(part) >= len(tables):
        msg = f"{name}: {path} names number '{part}' of {len(tables)} tables; they count from 0"
        raise BriefError(msg)
    return tables[int(part)]
