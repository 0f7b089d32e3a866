"""What the label of an owned pack claims, and what a reading says of it, on the terminal."""

from __future__ import annotations

from typing import TYPE_CHECKING

from packdesign.presentation.cli.screen import heading, indented
from packdesign.presentation.cli.show_verdicts import show_verdicts

if TYPE_CHECKING:
    from rich.console import Console

    from packdesign.planning.owned.service import OwnedPack

__all__ = ["show_owned"]

_MILLI = 1000


def show_owned(console: Console, found: OwnedPack) -> None:
    """Show label and reading, before the assessment that follows from them.

    Parameters
    ----------
    console : Console
        Where.
    found : OwnedPack
        The pack.
    """
    heading(console, "The pack in hand")
    reading = found.reading
    if reading is None:
        indented(
            console,
            "No two-load reading: all that follows rests on the label. Measure the voltage at a "
            "light and at a heavy load and write both into [measured.two_load].",
        )
    else:
        ohm = reading.resistance_ohm
        indented(
            console,
            f"From the reading: {ohm.mid * _MILLI:.0f} mohm "
            f"({ohm.low * _MILLI:.0f} to {ohm.high * _MILLI:.0f}) after {reading.pulse_s:g} s at "
            f"{reading.temperature_degc:g} degC, {reading.at_rest_v:.2f} V at rest.",
        )
    show_verdicts(console, found.claims)
