"""Every way in which the cells of a brief go into its cavity, in one call.

Shapes and rooms come from geometry; here they are asked for a brief, chosen among and judged.
"""

from __future__ import annotations

from dataclasses import dataclass, replace
from typing import Final

from packdesign.data.cells import Cell
from packdesign.engineering.geometry.allowances import Allowances
from packdesign.engineering.geometry.arrange import (
    OneMore,
    arrangements,
    most_cells,
    room_for_one_more,
)
from packdesign.engineering.geometry.arrangement import Arrangement
from packdesign.engineering.geometry.cavities import Cavity, OpenCavity
from packdesign.engineering.geometry.swelling import PouchRoom, pouch_room
from packdesign.foundation.errors import BriefError
from packdesign.planning.assess.design import laid_out
from packdesign.planning.assess.judge_place import judge_fit, judge_reserved
from packdesign.planning.brief.pack_section import Pack
from packdesign.planning.brief.schema import Brief
from packdesign.planning.hazards.gate import gate
from packdesign.planning.needs.cavity import allowances_of, cavity_of
from packdesign.planning.needs.cells import cell_table_of, named_cell
from packdesign.planning.needs.situation import situation_of_brief
from packdesign.planning.verdicts.verdict import Verdict

__all__ = ["Layout", "layout_of"]

_OF_THE_CAVITY: Final = frozenset({"sealed_rigid_cavity", "pouch_without_growth_room"})
"""Hazards of the gate that a cavity alone brings about."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Layout:
    """How one cell goes into one cavity."""

    title: str
    cell: Cell
    cavity: Cavity
    is_counted: bool
    """Whether the brief says how many cells; else as many as go in are shown."""
    chosen: Arrangement
    """The one that the rest of the job uses."""
    others: tuple[Arrangement, ...]
    """The other ways that fit, shortest strips first."""
    nearest: Arrangement | None
    """The way that misses by least, where one misses."""
    one_more: OneMore | None
    """None in free air, which has no end."""
    pouch: PouchRoom | None
    """None for cylinders."""
    verdicts: tuple[Verdict, ...]


def layout_of(brief: Brief) -> Layout:
    """Find the ways in which the cells of a brief go into its cavity.

    Parameters
    ----------
    brief : Brief
        The brief. It names the cell; where it gives no counts, as many as go in are laid out, all
        in series.

    Raises
    ------
    BriefError
        If it names no cell, or gives no counts and no cavity that ends.
    InputError
        If the cavity or the size of the cell cannot be used.
    """
    cell = named_cell(brief, cell_table_of(brief))
    if cell is None:
        msg = "the brief names no cell, so nothing can be laid out; add [pack] cell"
        raise BriefError(msg)
    cavity, allowances = cavity_of(brief), allowances_of(brief, cell)
    pack = brief.pack or Pack()
    if pack.series is None:
        chosen, found = _fullest(cell, cavity, allowances)
    else:
        parallel = pack.parallel or 1
        chosen = laid_out(brief, cell, series=pack.series, parallel=parallel)
        found = arrangements(
            cell, cavity, series=pack.series, parallel=parallel, allowances=allowances
        )
    is_open = isinstance(cavity, OpenCavity)
    return Layout(
        title=brief.title or "",
        cell=cell,
        cavity=cavity,
        is_counted=pack.series is not None,
        chosen=chosen,
        others=tuple(each for each in found if each.fits and each.name != chosen.name),
        nearest=next((each for each in found if not each.fits and each.name != chosen.name), None),
        one_more=None if is_open else room_for_one_more(cell, cavity, allowances),
        pouch=pouch_room(chosen, cavity),
        verdicts=(
            *_of_the_cavity(brief, cell, chosen),
            *judge_fit(chosen),
            *judge_reserved(brief),
        ),
    )


def _fullest(
    cell: Cell, cavity: Cavity, allowances: Allowances
) -> tuple[Arrangement, list[Arrangement]]:
    """Lay out as many as go in; where none goes in, the one that misses by least."""
    if isinstance(cavity, OpenCavity):
        msg = "the brief has neither a number of cells nor a cavity; add [pack] series or [cavity]"
        raise BriefError(msg)
    count, full = most_cells(cell, cavity, allowances)
    wanted = arrangements(cell, cavity, series=max(count, 1), parallel=1, allowances=allowances)
    return (wanted[0] if full is None else full), wanted


def _of_the_cavity(brief: Brief, cell: Cell, chosen: Arrangement) -> tuple[Verdict, ...]:
    known = situation_of_brief(brief, cell, series=chosen.series, parallel=chosen.parallel)
    if known.pouch_free_thickness_fraction is None:
        known = replace(known, pouch_free_thickness_fraction=chosen.free_thickness_fraction)
    return tuple(each for each in gate(known) if each.id in _OF_THE_CAVITY)
