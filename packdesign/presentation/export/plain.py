"""Values as JSON can hold them: plain, finite, without the noise of binary fractions."""

from __future__ import annotations

import json
import math
from collections.abc import Mapping
from typing import Any, Final

from packdesign.foundation.basis import Band

__all__ = ["DUST", "band", "number", "numbers_in", "object_text"]

_DIGITS: Final = 9
DUST: Final = 1e-12
"""What is left of a difference of equal numbers: nothing that is shown is as small. [-]"""


def number(value: float | None) -> float | None:
    """Give a number of nine digits, or None where there is none or it is not finite.

    Parameters
    ----------
    value : float or None
        Any number.

    Examples
    --------
    >>> number(12.600000000000001), number(float("inf")), number(None), number(-1e-16)
    (12.6, None, None, 0.0)
    """
    if value is None or not math.isfinite(value):
        return None
    return 0.0 if abs(value) < DUST else float(f"{float(value):.{_DIGITS}g}")


def numbers_in(value: Any) -> Any:
    """Give lists and mappings with every number in them as :func:`number` gives it.

    Parameters
    ----------
    value : object
        Plain values.

    Examples
    --------
    >>> numbers_in({"full_v": 8.399999999999999, "counts": [1, 2], "name": "stop"})
    {'full_v': 8.4, 'counts': [1, 2], 'name': 'stop'}
    """
    if isinstance(value, Mapping):
        return {key: numbers_in(each) for key, each in value.items()}
    if isinstance(value, list):
        return [numbers_in(each) for each in value]
    return number(value) if isinstance(value, float) else value


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
