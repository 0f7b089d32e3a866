"""The base of every section of a brief: reads keys with units, refuses unknown ones by name."""

from __future__ import annotations

import functools
import types
import typing
from collections.abc import Mapping
from pathlib import Path
from typing import Annotated, Any, Final, LiteralString, NoReturn

from pydantic import (
    BaseModel,
    BeforeValidator,
    ConfigDict,
    Field,
    ValidationInfo,
    field_validator,
    model_validator,
)
from pydantic_core import PydanticCustomError

from packdesign.foundation.errors import UnitError, nearest_names
from packdesign.foundation.units import SUFFIX_UNITS
from packdesign.planning.brief.keys import Written, quantity_of, read_quantity, split_suffix

__all__ = [
    "BASE_FOLDER",
    "OWN_FIELD",
    "OWN_KEY",
    "OWN_SECTION",
    "Count",
    "FilePath",
    "Flag",
    "Section",
    "Text",
    "reject",
    "section_of",
]

BASE_FOLDER: Final = "base_folder"
OWN_SECTION: Final[LiteralString] = "brief_section"
OWN_KEY: Final[LiteralString] = "brief_key"
OWN_FIELD: Final[LiteralString] = "brief_field"
_TEXT_ONLY: Final[LiteralString] = "{text}"

Text = Annotated[str, Field(min_length=1, max_length=2000)]
"""Some words, not empty."""
Count = Annotated[int, Field(strict=True)]
"""A whole number, written without quotes."""
Flag = Annotated[bool, Field(strict=True)]
"""``true`` or ``false``, written without quotes."""


def _resolved(value: Any, info: ValidationInfo) -> Any:
    if isinstance(value, str | Path):
        if not str(value) or "\0" in str(value):
            raise PydanticCustomError(OWN_FIELD, _TEXT_ONLY, {"text": "is not a file name"})
        base_folder = (info.context or {}).get(BASE_FOLDER)
        return Path(value) if base_folder is None else Path(base_folder) / value
    return value


FilePath = Annotated[Path, BeforeValidator(_resolved)]
"""A file, looked for beside the brief."""


def reject(text: str) -> NoReturn:
    """Refuse a section whose values contradict each other."""
    raise PydanticCustomError(OWN_SECTION, _TEXT_ONLY, {"text": text})


class Section(BaseModel):
    """One table of a brief. Frozen; attribute names end in their unit, keys need not."""

    model_config = ConfigDict(frozen=True, extra="forbid", allow_inf_nan=False)

    @classmethod
    def accepted_keys(cls) -> dict[str, str]:
        """Give each key of the section, with the attribute it fills."""
        quantities = {name: quantity_of(field) for name, field in cls.model_fields.items()}
        return {name if q is None else q.key: name for name, q in quantities.items()}

    @model_validator(mode="before")
    @classmethod
    def _fold_keys(cls, data: Any) -> Any:
        if not isinstance(data, Mapping):
            return data
        folded: dict[str, Any] = {}
        origin: dict[str, str] = {}
        for key, value in data.items():
            attribute, written = cls._recognise(str(key), value)
            if attribute in folded:
                reject(f"'{key}' and '{origin[attribute]}' say the same; keep one of them")
            folded[attribute], origin[attribute] = written, str(key)
        return folded

    @classmethod
    def attribute_of(cls, key: str) -> str | None:
        """Give the attribute that a key fills, however its unit is written; None if none."""
        known = cls.accepted_keys()
        if key in known:
            return known[key]
        stem, suffix = split_suffix(key)
        attribute = key if key in cls.model_fields else known.get(stem, "")
        is_quantity = bool(attribute) and quantity_of(cls.model_fields[attribute]) is not None
        return attribute if suffix and is_quantity else None

    @classmethod
    def _recognise(cls, key: str, value: Any) -> tuple[str, Any]:
        attribute = cls.attribute_of(key)
        if attribute is None:
            places = _places(cls)
            nearest = nearest_names(key, places) or nearest_names(split_suffix(key)[0], places)
            offer = f"known: {', '.join(cls.accepted_keys())}"
            if nearest:
                offer = f"nearest: {', '.join(places[each] for each in nearest)}"
            reject(f"there is no key '{key}' here; {offer}")
        accepts = quantity_of(cls.model_fields[attribute])
        if accepts is None:
            return attribute, value
        if key == accepts.key:
            return attribute, Written(key, value)
        return attribute, Written(key, value, SUFFIX_UNITS[split_suffix(key)[1]])

    @field_validator("*", mode="before")
    @classmethod
    def _read_quantities(cls, value: Any, info: ValidationInfo) -> Any:
        if not isinstance(value, Written) or info.field_name is None:
            return value
        if value.value is None:
            return None
        accepts = quantity_of(cls.model_fields[info.field_name])
        if accepts is None:
            return value.value
        stored_unit = SUFFIX_UNITS[split_suffix(info.field_name)[1]]
        items = value.value if accepts.many and isinstance(value.value, list | tuple) else None
        try:
            if accepts.many and items is None:
                msg = f"{value.key} is {value.value}; write a list, in square brackets"
                raise UnitError(msg)
            if items is None:
                return read_quantity(value, accepts=accepts, stored_unit=stored_unit)
            return tuple(
                read_quantity(
                    Written(value.key, item, value.suffix_unit),
                    accepts=accepts,
                    stored_unit=stored_unit,
                )
                for item in items
            )
        except UnitError as error:
            raise PydanticCustomError(OWN_KEY, _TEXT_ONLY, {"text": str(error)}) from None


@functools.cache
def _places(section: type[Section]) -> dict[str, str]:
    """Give each key of a section and of those inside it, with the way there, the nearest first."""
    found: dict[str, str] = {}
    waiting, seen = [("", section)], {section}
    while waiting:
        way, here = waiting.pop(0)
        for key, attribute in here.accepted_keys().items():
            found.setdefault(key, f"{way}{key}")
            inner, _ = section_of(here.model_fields[attribute].annotation)
            if inner is not None and inner not in seen:
                seen.add(inner)
                waiting.append((f"{way}{key}.", inner))
    return found


def section_of(annotation: Any) -> tuple[type[Section] | None, bool]:
    """Find the section a field holds, and whether it holds several of them.

    Parameters
    ----------
    annotation
        Type of the field: ``Motor | None`` or ``tuple[Motor, ...]``.

    Returns
    -------
    tuple
        The class, None where the field is a plain key; and whether it is a list of tables.
    """
    if isinstance(annotation, type) and issubclass(annotation, Section):
        return annotation, False
    origin = typing.get_origin(annotation)
    if origin in (types.UnionType, typing.Union, tuple):
        for part in typing.get_args(annotation):
            found, _ = section_of(part)
            if found is not None:
                return found, origin is tuple
    return None, False
