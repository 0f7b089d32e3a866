"""Read "46 mm", "1.2 in", "2.2 Ah" or "22.8 degC" into a plain number of a stated unit.

Outside input passes through :func:`quantity` once, and everything behind it computes with plain
floats in SI. pint does the conversion, and only here, but for the units that most briefs are
written in.
"""

from __future__ import annotations

import functools
import math
import re
from typing import TYPE_CHECKING, Final

from packdesign.foundation.errors import UnitError, nearest_names
from packdesign.foundation.plain_units import PLAIN_UNITS, plain_conversion

if TYPE_CHECKING:
    import pint

__all__ = ["SUFFIX_UNITS", "quantity"]

SUFFIX_UNITS: Final[dict[str, str]] = {
    "mm": "mm", "cm": "cm", "m": "m", "in": "inch", "mm2": "mm**2", "l": "liter",
    "v": "V", "mv": "mV", "a": "A", "ma": "mA", "ua": "uA",
    "w": "W", "mw": "mW", "ah": "A*h", "mah": "mA*h", "wh": "W*h", "a2s": "A**2*s",
    "ohm": "ohm", "milliohm": "mohm", "uf": "uF", "uh": "uH", "mh": "mH", "henry": "H", "f": "F",
    "degc": "degC", "degf": "degF", "k": "kelvin", "k_per_s": "K/s",
    "s": "s", "ms": "ms", "min": "minute", "h": "hour", "days": "day",
    "g": "g", "kg": "kg", "gcm2": "g*cm**2", "kgm2": "kg*m**2",
    "nm": "N*m", "mnm": "mN*m", "n": "N", "rpm": "rpm", "rad_per_s": "rad/s",
    "nm_per_a": "N*m/A", "rad_per_s_per_v": "rad/s/V", "k_per_w": "K/W",
    "hz": "Hz", "khz": "kHz", "m2": "m**2", "m3": "m**3", "m_per_s": "m/s", "w_per_m": "W/m",
    "w_per_k": "W/K", "j_per_k": "J/K", "v_per_k": "V/K", "mv_per_k": "mV/K",
    "rpm_per_v": "rpm/V", "mnm_per_a": "mN*m/A",
    "percent": "percent", "fraction": "dimensionless",
}  # fmt: skip
"""What the ending of a key says of the plain number behind it: ``bore_mm = 46``."""

_SPELLINGS: Final = (
    (re.compile(r"\bmOhms?\b|\bmilliohms?\b|\bmΩ"), "milliohm"),
    (re.compile(r"\b[kK]Ohms?\b"), "kiloohm"),
    (re.compile(r"\bMOhms?\b"), "megaohm"),
    (re.compile(r"\bOhms?\b"), "ohm"),
    (re.compile(r"°C|℃"), "degC"),
    (re.compile(r"°F|℉"), "degF"),
    (re.compile(r"\bmilliamps?\b"), "mA"),
    (re.compile(r"\bAmps?\b"), "A"),
    (re.compile(r"²"), "**2"),
    (re.compile(r"cm2\b"), "cm**2"),
    (re.compile(r"mm2\b"), "mm**2"),
    (re.compile(r"\bm2\b"), "m**2"),
)
_QUANTITY: Final = re.compile(r"^\s*([-+]?(?:\d+\.?\d*|\.\d+)(?:[eE][-+]?\d+)?)\s*(.*?)\s*$")

_FACTOR: Final = r"[A-Za-zµμΩ°%_]+(?:(?:\*\*|\^)-?\d)?"
_UNIT_TEXT: Final = re.compile(rf"^(?:1\s*/\s*)?{_FACTOR}(?:\s*[*/·]\s*{_FACTOR}|\s+{_FACTOR})*$")
"""Products and quotients of names with small powers; nothing that could be a sum to work out."""


_WRITTEN_UNITS: Final = tuple(each for each in PLAIN_UNITS if "*" not in each)


@functools.cache
def _registry() -> pint.UnitRegistry[float]:
    import pint

    registry: pint.UnitRegistry[float] = pint.UnitRegistry(cache_folder=None)
    return registry


def quantity(value: str | float, *, unit: str, what: str) -> float:
    """Turn a written quantity into a float of the unit asked for.

    Parameters
    ----------
    value : str or float
        "46 mm", "1.2 in", "20 %". A bare number is accepted only where ``unit`` is dimensionless.
    unit : str
        The unit wanted, as pint writes it ("mm", "V", "A*h", "degC", "dimensionless").
    what : str
        Name of the quantity, for the message.

    Returns
    -------
    float
        The number, in ``unit``.

    Raises
    ------
    UnitError
        If there is no number, no unit, an unknown unit or one of another kind, or the number is not
        finite.

    Examples
    --------
    >>> round(quantity("1.2 in", unit="mm", what="bore"), 6)
    30.48
    >>> quantity("22.8 degC", unit="degC", what="ambient")
    22.8
    """
    if isinstance(value, bool) or not isinstance(value, str | int | float):
        msg = f"{what} is {value!r}; write a number with its unit, such as '10 {unit}'"
        raise UnitError(msg)
    if isinstance(value, int | float):
        number, written_unit = float(value), ""
    else:
        number, written_unit = _split(value, unit=unit, what=what)
    if not math.isfinite(number):
        msg = f"{what} is {value}; it must be a finite number"
        raise UnitError(msg)
    if not written_unit and unit != "dimensionless":
        msg = f"{what} is {value} with no unit; write it like '{number:g} {unit}'"
        raise UnitError(msg)
    written_unit = written_unit or "dimensionless"
    plain = plain_conversion(number, written_unit, unit=unit)
    return _converted(number, written_unit, unit=unit, what=what) if plain is None else plain


def _split(text: str, *, unit: str, what: str) -> tuple[float, str]:
    found = _QUANTITY.match(text)
    if found is None:
        msg = f"{what} is '{text}'; write a number with its unit, such as '10 {unit}'"
        raise UnitError(msg)
    written_unit = found.group(2)
    for pattern, plain in _SPELLINGS:
        written_unit = pattern.sub(plain, written_unit)
    return float(found.group(1)), written_unit


def _converted(number: float, written_unit: str, *, unit: str, what: str) -> float:
    import pint

    if "rad" in unit and "hz" in written_unit.lower():
        msg = f"{what} is in '{written_unit}', which may mean turns or radians; write it in rpm"
        raise UnitError(msg)
    registry = _registry()
    try:
        if not _UNIT_TEXT.match(written_unit):
            raise pint.UndefinedUnitError(written_unit)
        converted = registry.Quantity(number, written_unit).to(unit)
    except pint.DimensionalityError:
        hint = f"; write it like '{number:g} {unit}'" if written_unit in ("C", "F") else ""
        msg = f"{what} is in '{written_unit}', which is not convertible to {unit}{hint}"
        raise UnitError(msg) from None
    except Exception:  # pint raises a wide family on text that is no unit at all
        alike = nearest_names(written_unit, _WRITTEN_UNITS, count=2)
        near = f"; nearest: {', '.join(alike)}" if alike else ""
        msg = f"{what}: '{written_unit}' is not a unit; write it like '{number:g} {unit}'{near}"
        raise UnitError(msg) from None
    return float(converted.magnitude)
