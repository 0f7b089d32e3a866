"""Which column of a log is which, and in what unit, read from its headings."""

from __future__ import annotations

import re
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import Final

from packdesign.foundation.constants import ZERO_CELSIUS_K
from packdesign.foundation.errors import LogError, UnknownNameError

__all__ = ["Column", "find_column", "split_heading"]

_SCALES: Final[Mapping[str, Mapping[str, float]]] = {
    "time": {"s": 1.0, "sec": 1.0, "second": 1.0, "seconds": 1.0, "ms": 1e-3, "us": 1e-6,
             "min": 60.0, "minutes": 60.0, "h": 3600.0, "hr": 3600.0, "hours": 3600.0},
    "current": {"a": 1.0, "amp": 1.0, "amps": 1.0, "ampere": 1.0, "ma": 1e-3, "ua": 1e-6},
    "voltage": {"v": 1.0, "volt": 1.0, "volts": 1.0, "mv": 1e-3},
    "temperature": {"degc": 1.0, "°c": 1.0, "celsius": 1.0, "c": 1.0,
                    "degf": 5 / 9, "°f": 5 / 9, "fahrenheit": 5 / 9, "f": 5 / 9,
                    "kelvin": 1.0, "k": 1.0},
}  # fmt: skip
_ZEROS_DEGC: Final = {
    **dict.fromkeys(("degf", "°f", "fahrenheit", "f"), -32 * 5 / 9),
    **dict.fromkeys(("kelvin", "k"), -ZERO_CELSIUS_K),
}
"""What the zero of a unit of temperature is. [degC]"""
_NAMES: Final[Mapping[str, tuple[str, ...]]] = {
    "time": ("time", "t", "elapsed", "test time", "timestamp"),
    "current": ("current", "i", "amps", "amperage", "pack current"),
    "voltage": ("voltage", "v", "u", "volts", "terminal voltage"),
    "temperature": ("temperature", "temp", "cell", "cell temperature", "surface"),
}
_NEEDS_UNIT: Final = ("cell", "surface")
"""Headings that say a temperature only with its unit behind them."""
_BRACKETED: Final = re.compile(r"^(.*?)\s*[\[(/]\s*([^\])]+?)\s*[\])]?\s*$")


@dataclass(frozen=True, slots=True, kw_only=True)
class Column:
    """A column found: where it stands, and what its numbers are multiplied with."""

    position: int
    heading: str
    scale: float
    zero: float = 0.0
    """What is added after that."""
    has_unit: bool = True
    """Whether its heading, or the brief, names the unit."""


def split_heading(heading: str) -> tuple[str, str]:
    """Split a heading into its name and its unit, both in small letters; no unit is "".

    Parameters
    ----------
    heading : str
        As written in the file.

    Examples
    --------
    >>> split_heading("I (mA)"), split_heading("time_s"), split_heading("Current")
    (('i', 'ma'), ('time', 's'), ('current', ''))
    """
    text = heading.strip().strip('"').lower()
    bracketed = _BRACKETED.match(text)
    if bracketed:
        name, unit = bracketed.groups()
    else:
        words = re.split(r"[_\s]+", text)
        units = {unit for scales in _SCALES.values() for unit in scales}
        has_unit = len(words) > 1 and words[-1] in units
        name = " ".join(words[:-1] if has_unit else words)
        unit = words[-1] if has_unit else ""
    return " ".join(re.split(r"[_\s]+", name.strip())), unit.strip()


def find_column(
    headings: Sequence[str],
    *,
    kind: str,
    wanted: str | None,
    unit: str | None,
    where: str,
    required: bool,
) -> Column | None:
    """Find one column by the name asked for, or by what headings usually say.

    Parameters
    ----------
    headings : sequence of str
        All headings, in order.
    kind : str
        "time", "current", "voltage" or "temperature".
    wanted : str or None
        Heading to use; None looks for a usual one.
    unit : str or None
        Unit where the heading has none.
    where : str
        File and line, for messages.
    required : bool
        Refuse a log without it.

    Returns
    -------
    Column or None
        None only where not required.

    Raises
    ------
    LogError
        If it is missing, or has no unit or one that is not known.
    UnknownNameError
        If the heading asked for does not exist.
    """
    position = _position(headings, kind=kind, wanted=wanted, where=where)
    if position is None:
        if not required:
            return None
        msg = (
            f"{where}: no column of {kind} among {list(headings)}; name it like "
            f"'{_NAMES[kind][0]}_{next(iter(_SCALES[kind]))}', or say which column it is"
        )
        raise LogError(msg)
    _, written = split_heading(headings[position])
    spelled = (written or unit or "").lower()
    has_unit = bool(spelled)
    if not spelled and kind in ("voltage", "temperature"):
        spelled = next(iter(_SCALES[kind]))
    scale = _SCALES[kind].get(spelled)
    if scale is None:
        problem = f"unit '{spelled}' is not known" if spelled else "has no unit"
        msg = (
            f"{where}, column '{headings[position].strip()}': {problem}; write one of "
            f"{sorted(_SCALES[kind])} in the heading, like '{kind} "
            f"({next(iter(_SCALES[kind]))})', or give it in the brief"
        )
        raise LogError(msg)
    return Column(
        position=position,
        heading=headings[position].strip(),
        scale=scale,
        zero=_ZEROS_DEGC.get(spelled, 0.0),
        has_unit=has_unit,
    )


def _position(headings: Sequence[str], *, kind: str, wanted: str | None, where: str) -> int | None:
    plain = [heading.strip().strip('"').lower() for heading in headings]
    if wanted is not None:
        if wanted.strip().lower() not in plain:
            raise UnknownNameError(kind="column", name=wanted, known=headings, where=where)
        return plain.index(wanted.strip().lower())
    split = [split_heading(heading) for heading in headings]
    fits = [
        place
        for place, (name, unit) in enumerate(split)
        if name in _NAMES[kind]
        and (unit in _SCALES[kind] or (not unit and name not in _NEEDS_UNIT))
    ]
    if fits:
        return fits[0]
    begins = [
        place
        for place, (name, unit) in enumerate(split)
        if name.split(" ")[0] == _NAMES[kind][0] and (not unit or unit in _SCALES[kind])
    ]
    return begins[0] if begins else None
