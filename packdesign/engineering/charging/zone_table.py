"""Charge bands that makers print: current against temperature, part by part.

Read from specification texts on 2026-11-25; the key is the part number in capitals without
punctuation. Cells that are not here get the published zones of
:mod:`packdesign.engineering.charging.zones`.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Final

__all__ = ["PRINTED_BANDS", "PrintedBand", "PrintedBands"]


@dataclass(frozen=True, slots=True, kw_only=True)
class PrintedBand:
    """Charge rate that is allowed between two cell temperatures."""

    low_degc: float
    high_degc: float
    crate: float
    """Charge current as a multiple of capacity per hour. [1/h]"""


@dataclass(frozen=True, slots=True, kw_only=True)
class PrintedBands:
    """The bands of one part number with their source."""

    bands: tuple[PrintedBand, ...]
    source: str


def _bands(source: str, *rows: tuple[float, float, float]) -> PrintedBands:
    return PrintedBands(
        bands=tuple(PrintedBand(low_degc=a, high_degc=b, crate=c) for a, b, c in rows),
        source=source,
    )


_M50T: Final = "LG LRB-PS-CY18.2Wh-M50T Rev 0 (2018-07-16): 1.455 A at 0-25 degC, 3.395 A at 25-45"
_M50LT: Final = "LG 2021-LSD-MBD-b00002 Rev 1 and 2020-LSD-MBD-b00082: 0.3C at 0-25, 0.7C at 25-45"

PRINTED_BANDS: Final[dict[str, PrintedBands]] = {
    "INR21700M50T": _bands(_M50T, (0, 25, 0.3), (25, 45, 0.7)),
    "INR21700M50LT": _bands(_M50LT, (0, 25, 0.3), (25, 45, 0.7)),
    "INR1865026003C": _bands(
        "INR18650-2600 pack specification, machineu.com",
        (0, 5, 0.1), (5, 15, 0.2), (15, 55, 0.5),
    ),
    "IFR266504000": _bands(
        "IFR26650-4000 specification, machineu.com",
        (0, 5, 0.2), (5, 15, 0.5), (15, 55, 1.0),
    ),
    "LR2170SA": _bands(
        "Lishen LR2170SA specification",
        (0, 10, 0.1), (10, 20, 0.2), (20, 45, 0.5),
    ),
    "INR21700D40JH": _bands(
        "INR21700D40JH specification: 3 A at 0-15 degC, 6 A at 15-45, surface up to 50 degC",
        (0, 15, 0.75), (15, 45, 1.5),
    ),
    "INR18650MH1": _bands(
        "LG INR18650 MH1 specification (2021): 0.5C at 0-10, 1C at 10-50",
        (0, 10, 0.5), (10, 50, 1.0),
    ),
    "NCR18650B": _bands(
        "Panasonic NCR18650B specification: 0.25C below 10 degC, 0.5C at 10-45; 0 degC from memory",
        (0, 10, 0.25), (10, 45, 0.5),
    ),
    "GMB371042": _bands(
        "GMB371042 specification: below 0 degC prohibited",
        (0, 10, 0.1), (10, 15, 0.2), (15, 45, 0.5),
    ),
}  # fmt: skip
