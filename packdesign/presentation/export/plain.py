"""Values as JSON can hold them: plain, finite, without the noise of binary fractions."""

from __future__ import annotations

import json
import math
from collections.abc import Mapping
from typing import Any, Final

from packdesign.foundation.basis import Band

__all__ = ["band", "number", "object_text"]

_DIGITS: Final = 9


def number(value: float | None) -> float | None:
    """Give a number of nine digits, or None where there is none or it is not finite.

    Parameters
    ----------
    value : float or None
        Any number.

    Examples
    --------
    >>> number(12.600000000000001), number(float("inf")), number(None)
    (12.6, None, None)
    """
    if value is None or not math.isfinite(value):
        return None
    return float(f"{float(value):.{_DIGITS}g}")


def band(value: Band) -> dict[str, float | None]:
    """Give the three figures of a band by name.

    Parameters
    ----------
    value : Band
        The band.
    """
    return {"low": number(value.low), "mid": number(value.mid), "high": number(value.high)}


def object_text(value: Mapping[str, Any]) -> str:
    """Write one JSON object; what JSON cannot hold is an error, not a word of its own.

    Parameters
    ----------
    value : mapping
        The object.
    """
    return json.dumps(value, allow_nan=False, ensure_ascii=False, indent=1)
