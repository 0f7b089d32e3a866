"""The pack: what it is, how the cells sit, what is left of the room."""

from __future__ import annotations

import math
from typing import Final

from packdesign.engineering.geometry.arrangement import Arrangement
from packdesign.planning.needs.cavity import cavity_of
from packdesign.presentation.drawing.pack_drawing import drawing_facts, pack_svg
from packdesign.presentation.sheet.blocks import Block, Bullets, Cell, Picture, Section, Table
from packdesign.presentation.sheet.facts import SheetFacts
from packdesign.presentation.sheet.words import NOT_KNOWN, count_words, known

__all__ = ["pack_section"]

_MM: Final = 1e3
_DRAWING_PX: Final = 700
"""Width at which the letters of the drawing are 2.6 mm high on paper. [px]"""


def pack_section(facts: SheetFacts) -> Section:
    """Write the section.

    Parameters
    ----------
    facts : SheetFacts
        What was found.
    """
    arrangement, cavity = facts.judged.design.arrangement, cavity_of(facts.judged.brief)
    drawing = pack_svg(arrangement, cavity, width_px=_DRAWING_PX, with_facts=False)
    blocks: list[Block] = [
        Table(name="The pack", heads=(), rows=_rows(facts)),
        Picture(svg=drawing, caption="To scale."),
        Bullets((*drawing_facts(arrangement), *_reasons(arrangement))),
    ]
    return Section(id="pack", title="The pack", blocks=tuple(blocks))


def _reasons(arrangement: Arrangement) -> tuple[str, ...]:
    """What was assumed of sizes; why it does not fit is among the facts of the drawing already."""
    return arrangement.reasons if arrangement.fits else ()


def _rows(facts: SheetFacts) -> tuple[tuple[Cell, ...], ...]:
    figures, arrangement = facts.figures, facts.judged.design.arrangement
    cells = count_words(figures.series * figures.parallel, "cell")
    about = " (cells estimated from others alike)" if figures.mass_is_estimated else ""
    edges = " x ".join(f"{edge * _MM:.1f}" for edge in arrangement.envelope_size_m)
    return (
        ("cells", f"{figures.series}S{figures.parallel}P of {figures.cell} ({cells})"),
        ("arrangement", figures.arrangement + ("" if figures.fits else "\nDOES NOT FIT")),
        ("wrapped pack", f"{edges} mm"),
        ("room left", _room(arrangement)),
        ("full, nominal, cut-off", ", ".join(
            known(volts, "V", digits=4)
            for volts in (figures.full_v, figures.nominal_v, figures.cutoff_v)
        )),
        ("capacity, energy", _capacity(facts)),
        ("resistance at the terminals", f"{known(figures.resistance_ohm * 1e3, 'mohm')} "
                                        "(half charged, 25 \u00b0C, after 10 s at 1C)"),
        ("mass of cells and strips", known(figures.mass_g, "g") + about
                                     + "; board, wires and shell are not in it"),
    )  # fmt: skip


def _capacity(facts: SheetFacts) -> str:
    """Nominal, and the least that the maker promises, by which the label counts."""
    figures = facts.figures
    nominal = f"{known(figures.capacity_ah, 'Ah')}, {known(figures.energy_wh, 'Wh')} nominal"
    least = f"{known(figures.least_capacity_ah, 'Ah')}, {known(figures.least_energy_wh, 'Wh')}"
    if f"{least} nominal" == nominal:
        return nominal
    return f"{nominal}\n{least} at least, as its maker promises: label and carrying count by it"


def _room(arrangement: Arrangement) -> str:
    left_m = arrangement.length_left_m
    if not math.isfinite(left_m):
        return "free air: no wall around it"
    if not arrangement.fits:
        short = "; ".join(
            f"{name} lacks {lack * _MM:.1f} mm" for name, lack in arrangement.shortfall_m.items()
        )
        return short or NOT_KNOWN
    wall_m = arrangement.wall_clearance_m
    wall = f"; {wall_m * _MM:.2f} mm to the wall" if math.isfinite(wall_m) else ""
    return f"{left_m * _MM:.1f} mm of length{wall}"
