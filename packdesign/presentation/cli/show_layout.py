"""A layout on the terminal: how the cells sit, what is left, what would let in one more."""

from __future__ import annotations

import math
from typing import TYPE_CHECKING, Final

from packdesign.presentation.cli.screen import heading, indented, plain_table, show_table
from packdesign.presentation.cli.show_verdicts import show_part, show_verdicts
from packdesign.presentation.cli.words import amount

if TYPE_CHECKING:
    from rich.console import Console

    from packdesign.engineering.geometry.arrangement import Arrangement
    from packdesign.engineering.geometry.fill import OneMore
    from packdesign.engineering.geometry.swelling import PouchRoom
    from packdesign.planning.layout.service import Layout

__all__ = ["show_layout"]

_MM_PER_M: Final = 1000.0
_MOST_STRIPS: Final = 12
_MOST_OTHERS: Final = 5


def show_layout(console: Console, found: Layout, *, with_all: bool) -> None:
    """Show a layout.

    Parameters
    ----------
    console : Console
        Where.
    found : Layout
        The layout.
    with_all : bool
        Whether every other way that fits is listed.
    """
    chosen = found.chosen
    heading(console, "How the cells sit")
    why = "" if found.is_counted else ", the most that go in: the brief gives no counts"
    indented(console, f"{chosen.series}S{chosen.parallel}P of {found.cell.name}{why}")
    table = plain_table("what", "figure", head=False)
    for what, figure in _figures(chosen):
        table.add_row(what, figure)
    show_table(console, table)
    for reason in chosen.reasons:
        indented(console, reason)
    _show_others(console, found, with_all=with_all)
    if found.pouch is not None:
        _show_pouch(console, found.pouch)
    if found.one_more is not None:
        _show_one_more(console, found.one_more)
    show_verdicts(console, found.verdicts)
    show_part(console, found.verdicts)


def _mm(value_m: float, *, digits: int = 4) -> str:
    return amount(value_m * _MM_PER_M, "mm", digits=digits)


def _figures(each: Arrangement) -> list[tuple[str, str]]:
    rows = [
        ("arrangement", each.name + ("" if each.fits else "  (DOES NOT FIT)")),
        ("wrapped pack", " x ".join(_mm(edge) for edge in each.envelope_size_m)),
        ("clearance between cells", _clearance(each.between_cells_m, "one cell")),
        ("asked for between cells", _mm(each.allowances.gap_m)),
        ("clearance to the wall", _clearance(each.wall_clearance_m, "no wall")),
        ("asked for to the wall", _mm(each.allowances.wall_gap_m)),
        ("length left over", _clearance(each.length_left_m, "no end")),
    ]
    if each.length_stack is not None:
        stack = each.length_stack
        rows.append(
            (
                "length with tolerances",
                f"{_mm(stack.nominal_m)}, seldom over {_mm(stack.root_sum_square_m)}, "
                f"at worst {_mm(stack.worst_case_m)}",
            )
        )
    strips = each.series_strip_m
    if strips:
        more = " ..." if len(strips) > _MOST_STRIPS else ""
        shown = ", ".join(f"{length * _MM_PER_M:.0f}" for length in strips[:_MOST_STRIPS])
        rows.append(("strips between groups", f"{shown}{more} mm"))
    if each.parallel > 1:
        rows.append(("strips inside groups", _mm(each.parallel_strip_m)))
    leads = ", ".join(f"{length * _MM_PER_M:.0f}" for length in each.tap_lead_m[: _MOST_STRIPS + 1])
    rows.append(("taps to where wires leave", f"{leads} mm straight; add slack"))
    mass_kg = each.mass_kg
    rows.append(
        ("mass with strips", "not known" if mass_kg is None else amount(mass_kg * 1000, "g"))
    )
    middle = ", ".join(
        f"{round(value * _MM_PER_M, 1) + 0.0:.1f}" for value in each.centre_of_mass_m
    )
    rows.append(("centre of mass of the cells", f"{middle} mm (x, y, z of the cavity)"))
    rows.append(("nominal energy", amount(each.energy_wh, "Wh")))
    if each.energy_wh_per_l is not None:
        rows.append(("energy in the cavity", f"{amount(each.energy_wh_per_l, 'Wh')} per litre"))
    return rows


def _clearance(value_m: float, endless: str) -> str:
    return _mm(value_m) if math.isfinite(value_m) else endless


def _show_others(console: Console, found: Layout, *, with_all: bool) -> None:
    shown = found.others if with_all else found.others[:_MOST_OTHERS]
    if not shown and found.nearest is None:
        return
    heading(console, "Other ways")
    table = plain_table("arrangement", "least clearance", "length left", "strips", numbers=3)
    for each in shown:
        strips_m = sum(each.series_strip_m) + each.parallel_strip_m
        table.add_row(
            each.name,
            _clearance(each.least_clearance_m, "-"),
            _clearance(each.length_left_m, "-"),
            _mm(strips_m),
        )
    if shown:
        show_table(console, table)
    hidden = len(found.others) - len(shown)
    if hidden:
        indented(console, f"and {hidden} more; --all lists them")
    if found.nearest is not None:
        why = "; ".join(found.nearest.reasons)
        indented(console, f"nearest of those that do not fit: {found.nearest.name} ({why})")


def _show_pouch(console: Console, room: PouchRoom) -> None:
    heading(console, "Room to swell")
    swelling = room.swelling
    free = amount(room.free_fraction * 100, "%") if math.isfinite(room.free_fraction) else "no end"
    table = plain_table("what", "figure", head=False)
    for what, figure in (
        ("room across the thickness, of a new cell's", free),
        ("asked by normal service", amount(swelling.service_fraction * 100, "%")),
        ("asked by the end of life", amount(swelling.end_of_life_fraction * 100, "%")),
        ("counts as swollen, out of use, beyond", amount(swelling.fault_fraction * 100, "%")),
        ("clearance at sealed edges", _clearance(room.edge_clearance_m, "no wall")),
        ("foam kept when fully pressed", _mm(room.soft_backing_m)),
    ):
        table.add_row(what, figure)
    show_table(console, table)
    if room.is_trapped:
        indented(console, "The wall is rigid and sealed: gas and growth have no way out.")


def _show_one_more(console: Console, room: OneMore) -> None:
    heading(console, "One more cell")
    ways = " or ".join(f"{_mm(more_m)} more {name}" for name, more_m in room.more_m.items())
    indented(
        console,
        f"Of this cell {room.count} go in at most. "
        + (f"At least one more would need {ways}." if ways else "No one size alone lets in more."),
    )
