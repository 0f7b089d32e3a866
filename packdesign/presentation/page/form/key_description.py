"""What the schema says of one key, found by its dotted path, and what a brief holds under it."""

from __future__ import annotations

import types
import typing
from dataclasses import dataclass
from pathlib import Path
from typing import Any, Literal

from pydantic.fields import FieldInfo

from packdesign.foundation.errors import UnknownNameError
from packdesign.foundation.units import SUFFIX_UNITS, quantity
from packdesign.planning.brief.keys import QuantityKey, quantity_of, split_suffix
from packdesign.planning.brief.schema import Brief
from packdesign.planning.brief.section import Section, section_of

__all__ = ["KeyDescription", "describe", "plain_keys", "shown_value", "value_at"]


@dataclass(frozen=True, slots=True, kw_only=True)
class KeyDescription:
    """One key of the brief as a field on the screen needs it."""

    path: str
    attribute: str
    about: str
    quantity: QuantityKey | None
    stored_unit: str
    """Unit of the number in the brief."""
    choices: tuple[str, ...]
    kind: type
    """What the key holds: float, int, bool, str, tuple or Path."""
    may_be_unknown: bool
    low: float | None
    high: float | None


def describe(path: str) -> KeyDescription:
    """Find the description of a key.

    Parameters
    ----------
    path : str
        Dotted key, tables of a list by number: "loads.0.watts".

    Raises
    ------
    UnknownNameError
        If there is no such key.

    Examples
    --------
    >>> found = describe("cavity.bore")
    >>> found.quantity.unit, found.stored_unit, found.may_be_unknown
    ('mm', 'm', True)
    """
    *parents, key = path.split(".")
    section: type[Section] = Brief
    for part in parents:
        if part.isdecimal():
            continue
        field = section.model_fields.get(part)
        inner = section_of(field.annotation)[0] if field is not None else None
        if inner is None:
            raise UnknownNameError(kind="section", name=part, known=section.model_fields)
        section = inner
    attribute = section.attribute_of(key)
    if attribute is None:
        raise UnknownNameError(kind="key", name=key, known=section.accepted_keys())
    return _described(path, attribute, section.model_fields[attribute])


def value_at(brief: Brief, path: str) -> Any:
    """Give what a brief holds under a key; None where a section on the way is missing.

    Parameters
    ----------
    brief : Brief
        The brief.
    path : str
        Dotted key.
    """
    *parents, key = path.split(".")
    here: Any = brief
    for part in parents:
        if here is None:
            return None
        here = here[int(part)] if part.isdecimal() else getattr(here, part)
    if not isinstance(here, Section):
        return None
    attribute = type(here).attribute_of(key)
    return None if attribute is None else getattr(here, attribute)


def shown_value(value: float, *, stored_unit: str, unit: str) -> float:
    """Turn a stored number into the unit on the screen, without a tail of rounding.

    Parameters
    ----------
    value : float
        The number. [stored_unit]
    stored_unit, unit : str
        Units as pint writes them.

    Examples
    --------
    >>> shown_value(0.046, stored_unit="m", unit="mm")
    46.0
    """
    if stored_unit == unit:
        return value
    return float(f"{quantity(f'{value!r} {stored_unit}', unit=unit, what='value'):.10g}")


def plain_keys(section: type[Section]) -> tuple[str, ...]:
    """Give the keys of a section that are no tables, as a brief writes them.

    Parameters
    ----------
    section : type of Section
        The section.
    """
    keys = []
    for attribute, field in section.model_fields.items():
        if section_of(field.annotation)[0] is None:
            accepts = quantity_of(field)
            keys.append(attribute if accepts is None else accepts.key)
    return tuple(keys)


def _described(path: str, attribute: str, field: FieldInfo) -> KeyDescription:
    accepts = quantity_of(field)
    unit = SUFFIX_UNITS[split_suffix(attribute)[1]] if accepts is not None else ""
    low, high = _limits(field)
    return KeyDescription(
        path=path,
        attribute=attribute,
        about=field.description or "",
        quantity=accepts,
        stored_unit=unit,
        choices=_choices(field.annotation),
        kind=_kind(field.annotation),
        may_be_unknown=_is_optional(field.annotation),
        low=low,
        high=high,
    )


def _parts(annotation: Any) -> tuple[Any, ...]:
    if typing.get_origin(annotation) in (types.UnionType, typing.Union):
        return typing.get_args(annotation)
    return (annotation,)


def _is_optional(annotation: Any) -> bool:
    return type(None) in _parts(annotation)


def _kind(annotation: Any) -> type:
    for part in _parts(annotation):
        if part is type(None):
            continue
        origin = typing.get_origin(part)
        if origin is typing.Annotated:
            return _kind(typing.get_args(part)[0])
        if origin is tuple:
            return tuple
        if origin is Literal:
            return str
        if part in (float, int, bool, str, Path):
            return typing.cast(type, part)
    return str


def _choices(annotation: Any) -> tuple[str, ...]:
    for part in _parts(annotation):
        if typing.get_origin(part) is Literal:
            return tuple(str(choice) for choice in typing.get_args(part))
        if typing.get_origin(part) is tuple:
            return _choices(typing.get_args(part)[0])
    return ()


def _limits(field: FieldInfo) -> tuple[float | None, float | None]:
    low: float | None = None
    high: float | None = None
    for rule in field.metadata:
        low = getattr(rule, "ge", getattr(rule, "gt", low))
        high = getattr(rule, "le", getattr(rule, "lt", high))
    return low, high
