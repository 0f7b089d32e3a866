"""A pack on the terminal: what it is, and where the volts go."""

from __future__ import annotations

from typing import TYPE_CHECKING

from packdesign.presentation.cli.screen import heading, indented, plain_table, show_table
from packdesign.presentation.cli.words import amount

if TYPE_CHECKING:
    from rich.console import Console

    from packdesign.planning.assess.pack_figures import PackFigures

__all__ = ["show_pack"]


def show_pack(console: Console, figures: PackFigures) -> None:
    """Show a pack.

    Parameters
    ----------
    console : Console
        Where.
    figures : PackFigures
        The pack.
    """
    heading(console, "The pack")
    count = figures.series * figures.parallel
    cells = "cell" if count == 1 else "cells"
    named = f"{figures.series}S{figures.parallel}P of {figures.cell} ({count} {cells})"
    indented(console, named)
    volts = " / ".join(
        amount(value, "V", digits=4)
        for value in (figures.full_v, figures.nominal_v, figures.cutoff_v)
    )
    about_mass = ", cells estimated from others alike" if figures.mass_is_estimated else ""
    table = plain_table("what", "figure", head=False)
    for what, figure in (
        ("arrangement", figures.arrangement + ("" if figures.fits else "  (DOES NOT FIT)")),
        ("capacity, energy", f"{amount(figures.capacity_ah, 'Ah')}, "
                             f"{amount(figures.energy_wh, 'Wh')}"),
        ("full / nominal / cut-off", volts),
        ("resistance at the terminals", f"{amount(figures.resistance_ohm * 1000, 'mohm')} "
                                        "(half charged, 25 degC, after 10 s at 1C)"),
        ("mass of cells and strips", amount(figures.mass_g, "g") + about_mass),
    ):  # fmt: skip
        table.add_row(what, figure)
    show_table(console, table)
