"""Verdicts on the room for a pack, and on its heat."""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import replace
from typing import Final

from packdesign.engineering.geometry.arrangement import Arrangement
from packdesign.engineering.thermal.touch import HELD_S
from packdesign.foundation.basis import Band, Basis
from packdesign.planning.assess.design import PackDesign
from packdesign.planning.assess.discharge import DischargeOutcome
from packdesign.planning.brief.schema import Brief
from packdesign.planning.needs.cavity import places_not_kept
from packdesign.planning.needs.heat import ambient_degc, hottest_day_k
from packdesign.planning.verdicts import fit, temperature
from packdesign.planning.verdicts.judge import relative_margin, spoken
from packdesign.planning.verdicts.verdict import Status, Verdict

__all__ = ["judge_fit", "judge_heat", "judge_reserved"]

_SHEET_SIZE: Final = "size on the cell's sheet and allowances around it"
_ROUNDING_K: Final = 1e-6
_SURFACES: Final = {"glass": "glass", "wood": "wood", "plastic": "plastic"}
"""Everything else counts as metal, the strictest."""


def judge_fit(arrangement: Arrangement) -> Iterator[Verdict]:
    """Judge whether the cells go in, with what clearance and room to grow.

    Parameters
    ----------
    arrangement : Arrangement
        Where the cells sit.
    """
    needed_mm = max(arrangement.shortfall_m.values(), default=0.0) * 1000
    basis = arrangement.cell.basis_of("length_m")
    if arrangement.fits:
        left_m = arrangement.length_left_m
        left = f" {left_m * 1000:.1f} mm are left over." if left_m < 10 else ""
        reason = f"The cells fit: {arrangement.name}.{left}"
    else:
        missing = ", ".join(
            f"{value * 1000:.1f} mm of {name}" for name, value in arrangement.shortfall_m.items()
        )
        why = "; ".join(arrangement.reasons)
        reason = f"The cells do not fit ({arrangement.name}): missing {missing or why}."
    yield Verdict(
        id="fit",
        status=Status.OK if arrangement.fits else Status.STOP,
        value=needed_mm,
        limit=0.0,
        unit="mm",
        margin=None,
        reason=reason,
        fix="" if arrangement.fits else "Use smaller or fewer cells, or a larger cavity.",
        basis=basis,
        source=_SHEET_SIZE,
    )
    if arrangement.fits and arrangement.wall_clearance_m < 10:
        yield fit.clearance(
            gap_m=round(arrangement.wall_clearance_m, 7),
            required_m=arrangement.allowances.wall_gap_m,
            basis=basis,
            source=_SHEET_SIZE,
        )
    room = arrangement.free_thickness_fraction
    if room is not None and math.isfinite(room):  # in the open there is room without end
        yield fit.swelling_room(free_fraction=room)


def judge_reserved(brief: Brief) -> Iterator[Verdict]:
    """Say where reserved room does not lie where the brief wants it.

    Parameters
    ----------
    brief : Brief
        The brief.
    """
    for number, words in enumerate(places_not_kept(brief), start=1):
        yield Verdict(
            id=f"reserved_place_{number}",
            status=Status.CAUTION,
            reason=words,
            fix="Check by hand that cells, part and wires go together where the part really is.",
            basis=Basis.ASSUMED,
            source="cavity.reserved.place of the brief",
        )


def judge_heat(brief: Brief, design: PackDesign, outcome: DischargeOutcome) -> Iterator[Verdict]:
    """Judge cells against their limits, and the touched surface.

    The likely and the low figure are those of an ordinary day, the high one that of the hottest.

    Parameters
    ----------
    brief : Brief
        The brief.
    design : PackDesign
        The pack.
    outcome : DischargeOutcome
        What it does.
    """
    cell = design.cell
    around = brief.surroundings
    hotter_k = hottest_day_k(brief)
    peak = outcome.peak_cell_degc
    when = temperature.RunAir(
        usual_degc=ambient_degc(brief),
        hottest_degc=ambient_degc(brief) + hotter_k,
        run_s=outcome.run_time_s.mid,
    )
    ordinary = temperature.cell_temperature(
        peak_degc=Band(peak.low, peak.mid, peak.high + hotter_k),
        maximum_degc=cell.discharge_max_degc,
        when=when,
        basis=cell.basis_of("discharge_max_degc"),
        source=cell.source,
    )
    yield _on_the_hottest_day(ordinary, likely_degc=peak.mid + hotter_k)
    coldest = around.ambient_min_degc if around is not None else None
    if coldest is not None:
        yield temperature.cell_cold(
            start_degc=coldest,
            minimum_degc=cell.discharge_min_degc,
            basis=cell.basis_of("discharge_min_degc"),
            source=cell.source,
        )
    if around is not None and around.hand_held:
        surface = outcome.bands.peak_surface_degc
        held = temperature.surface_temperature(
            peak_degc=Band(surface.low, surface.mid, surface.high + hotter_k),
            material=_SURFACES.get(around.touch_material or "", "metal"),
            contact_s=HELD_S if around.touch_time_s is None else around.touch_time_s,
            when=when,
        )
        yield _on_the_hottest_day(held, likely_degc=surface.mid + hotter_k)


def _on_the_hottest_day(found: Verdict, *, likely_degc: float) -> Verdict:
    """Stop where the likely figure of the hottest day is too hot: that day is no doubt of a model.

    Cells and hand alike, and the same line as the danger of a hot grip draws.
    """
    limit = found.limit
    if limit is None or likely_degc <= limit + _ROUNDING_K:
        return found
    return replace(
        found,
        status=Status.STOP,
        value=likely_degc,
        margin=relative_margin(limit - likely_degc, limit=limit),
        reason=f"{found.reason} On the hottest day {spoken(likely_degc, 'degC')} is likely.",
    )
