"""Verdict on cells that are not new: what is reckoned with until they are measured."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Final

from packdesign.foundation.constants import SECONDS_PER_YEAR
from packdesign.planning.assess.design import PackDesign
from packdesign.planning.assess.measured_capacity import has_measured_capacity
from packdesign.planning.assess.worn_cells import is_worn, wear_of
from packdesign.planning.brief.pack_section import Pack
from packdesign.planning.brief.schema import Brief
from packdesign.planning.upkeep.life import END_OF_LIFE_CAPACITY
from packdesign.planning.verdicts.verdict import Status, Verdict

__all__ = ["judge_worn"]

_MEASURE: Final = (
    "Measure capacity and resistance of every cell and write the least and the most into the brief "
    "(measured.cell_capacity, measured.cell_resistance)."
)
_WORN_OUT: Final = "Take new cells: these are past the usual end of their life. Or else: "


def judge_worn(brief: Brief, design: PackDesign) -> Iterator[Verdict]:
    """Judge cells by the age and the cycles behind them, where their capacity is not measured.

    Parameters
    ----------
    brief : Brief
        The brief.
    design : PackDesign
        The pack.

    Yields
    ------
    Verdict
        "cells_worn", where the brief gives its cells an age or cycles.
    """
    is_measured = has_measured_capacity(design.model.cell)
    pack = brief.pack
    if pack is None or not is_worn(pack) or is_measured:
        return
    wear = wear_of(pack, design.cell)
    left, ratio = wear.capacity_fraction, wear.resistance_ratio
    if left is None or ratio is None:
        why = "; ".join(wear.cautions)
        yield Verdict(
            id="cells_worn",
            status=Status.UNKNOWN,
            reason=f"What {_behind(pack)} took from the cells is not known ({why}): they are "
            "reckoned as new.",
            fix=_MEASURE,
            basis=wear.basis,
        )
        return
    is_over = left.mid < END_OF_LIFE_CAPACITY
    is_fresh = left.low >= END_OF_LIFE_CAPACITY
    yield Verdict(
        id="cells_worn",
        status=Status.OK if is_fresh else Status.CAUTION,
        value=100 * left.mid,
        limit=100 * END_OF_LIFE_CAPACITY,
        unit="%",
        reason=f"With {_behind(pack)} behind them the cells are reckoned with {100 * left.mid:.0f} "
        f"% of their capacity ({100 * left.low:.0f} to {100 * left.high:.0f} %) and "
        f"{ratio.mid:.2f} times their resistance.",
        fix="" if is_fresh else (_WORN_OUT if is_over else "") + _MEASURE,
        basis=wear.basis,
        source=f"{wear.source}; kept at 20 degC, half full, worked at 1C: own choice",
    )


def _behind(pack: Pack) -> str:
    parts = []
    if pack.age_s:
        parts.append(_years(pack.age_s))
    if pack.cycles_done:
        parts.append(f"{pack.cycles_done} cycle{'s' if pack.cycles_done > 1 else ''}")
    return " and ".join(parts)


def _years(age_s: float) -> str:
    years = f"{age_s / SECONDS_PER_YEAR:.2g}"
    return f"{years} year{'' if years == '1' else 's'}"
