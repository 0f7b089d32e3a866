"""How one key of a brief is described: its unit, the range it may lie in, what it means.

A quantity is written with its unit ("46 mm") or as a plain number behind a key that names the unit
(``bore_mm = 46``), and is stored as a plain float in the unit that ends the attribute's name. The
ranges are plausibility limits: they were chosen to catch slips of the pen, have no source, and say
nothing about safety.
"""

from __future__ import annotations

import functools
from dataclasses import dataclass
from typing import Any, Final

from pydantic import Field
from pydantic.fields import FieldInfo

from packdesign.foundation.errors import UnitError
from packdesign.foundation.units import SUFFIX_UNITS, quantity

__all__ = [
    "QuantityKey",
    "Written",
    "entry",
    "example_of",
    "quantity_key",
    "quantity_of",
    "read_quantity",
    "split_suffix",
]

_QUANTITY: Final = "quantity"
_EXAMPLE: Final = "example"
_DIMENSIONLESS: Final = "dimensionless"
_LARGEST: Final = 1e300


@dataclass(frozen=True, slots=True, kw_only=True)
class QuantityKey:
    """What a key that holds a quantity accepts."""

    key: str
    """The key as a brief writes it, without a unit."""
    unit: str
    """Unit used for examples, limits and, where ``unit_in_name``, plain numbers."""
    low: float
    """Least value accepted, in ``unit``."""
    high: float
    """Greatest value accepted, in ``unit``."""
    many: bool = False
    """True where a list of them is wanted."""
    unit_in_name: bool = False
    """True where the key itself names the unit: ``watts = 3``."""

    @property
    def is_plain(self) -> bool:
        """True where a number needs no unit."""
        return self.unit == _DIMENSIONLESS

    @property
    def allowed(self) -> str:
        """The range in words."""
        unit = "" if self.is_plain else f" {self.unit}"
        return f"{self.low:g} to {self.high:g}{unit}"


@dataclass(frozen=True, slots=True)
class Written:
    """A value with the key it was written under, as it stood in the brief."""

    key: str
    value: Any
    suffix_unit: str | None = None
    """Unit named by the ending of the key, if it had one."""


def quantity_key(  # noqa: PLR0913 - a field is declared in one readable line
    key: str,
    *,
    unit: str,
    low: float,
    high: float,
    about: str,
    example: float | str | list[str] = "",
    unit_in_name: bool = False,
    many: bool = False,
    default: float | None = None,
) -> Any:
    """Describe a key that holds a quantity; stands for a value of the field's own type.

    Parameters
    ----------
    key : str
        The key as a brief writes it.
    unit : str
        Unit of the limits and of the example, as pint writes it.
    low, high : float
        Plausible range, both ends included. [unit]
    about : str
        One line for the builder.
    example : float, str or list of str
        Shown in the starting brief; a plain number is given ``unit``.
    unit_in_name : bool
        True where the key names the unit, so that a plain number is enough.
    many : bool
        True where a list is wanted.
    default : float or None
        Value where the key is absent, in the unit stored.
    """
    described = QuantityKey(
        key=key, unit=unit, low=low, high=high, many=many, unit_in_name=unit_in_name
    )
    return Field(
        default=() if many else default,
        description=about,
        json_schema_extra={_QUANTITY: described, _EXAMPLE: example},  # type: ignore[dict-item]
    )


def entry(about: str, *, example: Any = None, default: Any = None, **limits: Any) -> Any:
    """Describe a key that holds a word, a count, a yes or no, or a list.

    Parameters
    ----------
    about : str
        One line for the builder.
    example
        Shown in the starting brief.
    default
        Value where the key is absent.
    **limits
        Limits as pydantic names them (``ge``, ``le``, ``max_length``).
    """
    extra: dict[str, Any] = {_EXAMPLE: example}
    return Field(default=default, description=about, json_schema_extra=extra, **limits)


def quantity_of(field: FieldInfo) -> QuantityKey | None:
    """Give what a field accepts as a quantity, None where it is not one."""
    extra = field.json_schema_extra
    found = extra.get(_QUANTITY) if isinstance(extra, dict) else None
    return found if isinstance(found, QuantityKey) else None


def example_of(field: FieldInfo) -> Any:
    """Give the value shown for a field in the starting brief."""
    extra = field.json_schema_extra
    return extra.get(_EXAMPLE) if isinstance(extra, dict) else None


@functools.cache
def split_suffix(name: str) -> tuple[str, str]:
    """Split a name into its stem and the longest ending that names a unit.

    Examples
    --------
    >>> split_suffix("heat_loss_w_per_k")
    ('heat_loss', 'w_per_k')
    >>> split_suffix("shape")
    ('shape', '')
    """
    fitting = [suffix for suffix in SUFFIX_UNITS if name.endswith(f"_{suffix}")]
    if not fitting:
        return name, ""
    suffix = max(fitting, key=len)
    return name.removesuffix(f"_{suffix}"), suffix


def read_quantity(written: Written, *, accepts: QuantityKey, stored_unit: str) -> float:
    """Read one quantity and hold it against its range.

    Parameters
    ----------
    written : Written
        What stood in the brief.
    accepts : QuantityKey
        What the key accepts.
    stored_unit : str
        Unit of the result, as pint writes it.

    Returns
    -------
    float
        The value, in ``stored_unit``.

    Raises
    ------
    UnitError
        If it is no quantity, has no unit or a wrong one, or lies outside the range.
    """
    number = quantity(_with_unit(written, accepts=accepts), unit=stored_unit, what=written.key)
    low, high = _limits(accepts, stored_unit)
    if not low <= number <= high:
        msg = f"{written.key} is {_shown(written)}; allowed: {accepts.allowed}"
        raise UnitError(msg)
    return number


def _with_unit(written: Written, *, accepts: QuantityKey) -> str | float:
    value = written.value
    if isinstance(value, bool) or not isinstance(value, str | int | float):
        sample = f"{accepts.high:g} {accepts.unit}"
        msg = f"{written.key} is {value!r}; write a number with its unit, such as '{sample}'"
        raise UnitError(msg)
    if isinstance(value, str):
        if written.suffix_unit is None:
            return value
        msg = (
            f"{written.key} is '{value}'; its ending names the unit already, "
            "so write a plain number without quotes"
        )
        raise UnitError(msg)
    if not abs(value) < _LARGEST:
        msg = f"{written.key} is not a finite number; allowed: {accepts.allowed}"
        raise UnitError(msg)
    unit = written.suffix_unit or (accepts.unit if accepts.unit_in_name else None)
    if unit is not None and unit != _DIMENSIONLESS:
        return f"{value!r} {unit}"
    if accepts.is_plain:
        return value
    msg = f'{written.key} is {value} with no unit; write {accepts.key} = "{value} {accepts.unit}"'
    raise UnitError(msg)


def _shown(written: Written) -> str:
    return f"'{written.value}'" if isinstance(written.value, str) else str(written.value)


@functools.cache
def _limits(accepts: QuantityKey, stored_unit: str) -> tuple[float, float]:
    ends = [
        quantity(
            number if accepts.is_plain else f"{number!r} {accepts.unit}",
            unit=stored_unit,
            what=accepts.key,
        )
        for number in (float(accepts.low), float(accepts.high))
    ]
    return ends[0], ends[1]
