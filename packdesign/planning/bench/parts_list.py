"""The parts of a pack, as far as brief and layout know them; what they do not is unknown."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Final

from packdesign.data.cells import CellForm
from packdesign.engineering.electrical.conductors import wire_area_m2
from packdesign.planning.assess.record import Assessment
from packdesign.planning.bench.part_line import PartLine, fitted, sized, told
from packdesign.planning.brief.joint_sections import Lead, Protection, Strips
from packdesign.planning.brief.pack_section import Pack
from packdesign.planning.needs.fuse_parts import fuse_of, has_fuse
from packdesign.planning.needs.parts import board_of, connector_of, switch_of
from packdesign.planning.needs.wiring import wiring_of

__all__ = ["ASSUMED_HERE", "parts_of"]

_BRIEF: Final = "the brief"
_LAYOUT: Final = "the layout"
ASSUMED_HERE: Final = "not in the brief: the figures of this sheet assume it"
"""Where a part is known from that the brief leaves out and the figures need."""
_UNKNOWN: Final = "not known: the brief does not say"
_MM: Final = 1e3
_MM2: Final = 1e6


def parts_of(judged: Assessment) -> tuple[PartLine, ...]:
    """List the parts of a judged pack, in the order of the current.

    Parameters
    ----------
    judged : Assessment
        The judged pack.

    Returns
    -------
    tuple of PartLine
        What is not known stands there too, and says so.
    """
    pack = judged.brief.pack or Pack()
    return (
        _cells(judged),
        *_strips(judged, pack.strips),
        *_wires(judged, pack),
        _fuse(pack),
        _board(judged, board_of(pack)),
        _connector(pack),
        _switch(pack),
        *_insulation(judged, pack),
        *_watching(judged, pack),
        *_charging(judged),
    )


def _cells(judged: Assessment) -> PartLine:
    cell = judged.design.cell
    form = f"{cell.form} {cell.size_code}".strip()
    return PartLine(
        part="cells",
        count=judged.design.series * judged.design.parallel,
        what=f"{cell.name}, {form}, {cell.chemistry or cell.family}; new, one model, one batch",
        known_from=f"the cell table (trust in its row: {cell.confidence})",
    )


def _strips(judged: Assessment, given: Strips | None) -> Iterator[PartLine]:
    arrangement = judged.design.arrangement
    wiring = wiring_of(judged.brief, arrangement)
    lengths_m = arrangement.series_strip_m
    section_m2 = wiring.strip_width_m * wiring.strip_thickness_m * wiring.strip_layers
    layers = "" if wiring.strip_layers == 1 else f", {wiring.strip_layers} layers"
    what = (
        f"{wiring.strip_metal}, {wiring.strip_width_m * _MM:g} x "
        f"{wiring.strip_thickness_m * _MM:g} mm{layers} ({section_m2 * _MM2:.3g} mm2)"
    )
    said = given is not None and None not in (given.material, given.width_m, given.thickness_m)
    source = _BRIEF if said else ASSUMED_HERE
    joint = "" if given is None or given.joint is None else f"; {given.joint.replace('_', ' ')}"
    if lengths_m:
        each = ", ".join(f"{length * _MM:.0f}" for length in lengths_m)
        yield PartLine(
            part="strips between groups",
            count=len(lengths_m) * wiring.parallel,
            what=f"{what}{joint}; from minus to plus {each} mm, a strip for each cell of a group",
            known_from=f"{source}; lengths from {_LAYOUT}",
            area_m2=section_m2,
            length_m=sum(lengths_m) * wiring.parallel,
        )
    if wiring.parallel > 1:
        yield PartLine(
            part="strips inside groups",
            count=None,
            what=f"{what}{joint}; both sides of every group together",
            known_from=f"{source}; length from {_LAYOUT}",
            area_m2=section_m2,
            length_m=arrangement.parallel_strip_m,
        )


def _wires(judged: Assessment, pack: Pack) -> Iterator[PartLine]:
    wiring = wiring_of(judged.brief, judged.design.arrangement)
    lead = pack.lead or Lead()
    awg = wiring.lead_awg
    if awg is not None:
        insulation = lead.insulation or "insulation not known"
        said = lead.awg is not None or lead.area_m2 is not None
        area_m2 = wire_area_m2(awg=awg)
        yield PartLine(
            part="leads, minus and plus",
            count=2,
            what=f"AWG {awg} ({area_m2 * _MM2:.3g} mm2), {insulation}, "
            f"{wiring.lead_length_m * _MM:.0f} mm each",
            known_from=_BRIEF if said and lead.length_m is not None else ASSUMED_HERE,
            area_m2=area_m2,
            length_m=2 * wiring.lead_length_m,
        )
    series = judged.design.series
    if series > 1:
        gauge = pack.balance_lead_awg
        straight_m = judged.design.arrangement.tap_lead_m
        each = ", ".join(f"{length * _MM:.0f}" for length in straight_m)
        if pack.balance_leads is False:
            what = "the brief says there are none"
        else:
            what = "gauge not known" if gauge is None else f"AWG {gauge}"
            what += f"; straight to where the wires leave, B0 first: {each} mm; add slack"
        yield PartLine(
            part="balance wires",
            count=0 if pack.balance_leads is False else series + 1,
            what=what,
            known_from=_UNKNOWN if gauge is None else f"{_BRIEF}; lengths from {_LAYOUT}",
            area_m2=None if gauge is None else wire_area_m2(awg=gauge),
            length_m=None if pack.balance_leads is False else sum(straight_m),
        )


def _fuse(pack: Pack) -> PartLine:
    found = fuse_of(pack)
    if found is None:
        none = pack.fuse is not None and not has_fuse(pack)
        return PartLine(
            part="fuse",
            count=0 if none else None,
            what="the brief says there is none" if none else "not known",
            known_from=_BRIEF if none else _UNKNOWN,
        )
    where = told(
        found.at_positive_terminal,
        "near the positive terminal",
        "NOT near the positive terminal",
        "where it sits is not known",
    )
    kind, rating = found.part or found.kind or "kind not known", sized(found.rating_a, "A")
    named = kind if kind.endswith(rating) else f"{kind}, {rating}"
    return PartLine(
        part="fuse",
        count=1,
        what=f"{named}, rated {sized(found.rated_v, 'V')} at direct current, breaks "
        f"{sized(found.breaking_capacity_a, 'A')}; {where}",
        known_from=_BRIEF,
    )


def _board(judged: Assessment, found: Protection | None) -> PartLine:
    if found is None or found.kind != "board":
        words = {"in_cell": "only what is inside the cells", "none": "none"}
        kind = None if found is None else found.kind
        return PartLine(
            part="protection board",
            count=None if kind is None else 0,
            what="not known" if kind is None else f"the brief says: {words[kind]}",
            known_from=_UNKNOWN if kind is None else _BRIEF,
        )
    watch = told(
        found.watches_each_group,
        "watches each group",
        "does NOT watch each group",
        "whether it watches each group is not known",
    )
    return PartLine(
        part="protection board",
        count=1,
        what=f"{found.board or 'name not known'}, for {found.series or 'an unknown number'} in "
        f"series ({judged.design.series} are here), {sized(found.continuous_a, 'A')} on and on; "
        f"trips at {sized(found.overcharge_trip_v, 'V')} and "
        f"{sized(found.undervoltage_trip_v, 'V')} per cell and at "
        f"{sized(found.overcurrent_trip_a, 'A')}; {watch}",
        known_from=_BRIEF,
    )


def _connector(pack: Pack) -> PartLine:
    found = connector_of(pack)
    if found is None:
        return PartLine(part="connector", count=None, what="not known", known_from=_UNKNOWN)
    key = told(found.polarised, "keyed", "NOT keyed", "whether it is keyed is not known")
    return PartLine(
        part="connector",
        count=1,
        what=f"{found.name or 'name not known'}, rated {sized(found.rating_a, 'A')}; {key}",
        known_from=_BRIEF,
    )


def _switch(pack: Pack) -> PartLine:
    found = switch_of(pack)
    if found is None or found.kind == "none":
        none = found is not None
        return PartLine(
            part="switch",
            count=0 if none else None,
            what="the brief says there is none" if none else "not known",
            known_from=_BRIEF if none else _UNKNOWN,
        )
    return PartLine(
        part="switch",
        count=1,
        what=f"{found.name or found.kind or 'kind not known'}, {sized(found.rating_a, 'A')} and "
        f"{sized(found.rated_v, 'V')} at direct current",
        known_from=_BRIEF,
    )


def _insulation(judged: Assessment, pack: Pack) -> Iterator[PartLine]:
    many = judged.design.series * judged.design.parallel
    asked = [("holder that keeps cells apart", pack.holder, 1)]
    if judged.design.cell.form is CellForm.CYLINDER:
        asked.insert(0, ("insulating rings on positive ends", pack.insulating_rings, many))
    for part, has, count in asked:
        yield PartLine(
            part=part,
            count=count if has else (None if has is None else 0),
            what=fitted(has),
            known_from=_UNKNOWN if has is None else _BRIEF,
        )
    allowances = judged.design.arrangement.allowances
    for part, count, given_m, used_m in (
        ("sleeve round the pack", 1, pack.wrap_thickness_m, allowances.pack_wrap_m),
        ("insulators at the ends", 2, pack.end_insulation_m, allowances.end_insulator_m),
    ):
        yield PartLine(
            part=part,
            count=count,
            what=f"{used_m * _MM:g} mm thick; material not known",
            known_from=_BRIEF if given_m is not None else ASSUMED_HERE,
        )


def _watching(judged: Assessment, pack: Pack) -> Iterator[PartLine]:
    has = pack.temperature_sensor
    yield PartLine(
        part="temperature sensor on a cell",
        count=1 if has else (None if has is None else 0),
        what=fitted(has),
        known_from=_UNKNOWN if has is None else _BRIEF,
    )
    if judged.brief.monitor is not None:
        divider = judged.gauge.divider
        yield PartLine(
            part="divider resistors",
            count=2,
            what=f"{divider.r_top_ohm / 1e3:g} kohm above, {divider.r_bottom_ohm / 1e3:g} kohm "
            f"below, for {judged.gauge.adc.name}",
            known_from="the gauge of this sheet",
        )


def _charging(judged: Assessment) -> Iterator[PartLine]:
    settings, charger = judged.charge.settings, judged.brief.charger
    series = judged.design.series
    yield PartLine(
        part="charger",
        count=1,
        what=f"{(charger.name if charger is not None else None) or 'not named'}: "
        f"{settings.end_v_per_cell * series:.4g} V ({series} x {settings.end_v_per_cell:g} V), "
        f"{settings.charge_a:.3g} A, ends at {settings.end_a:.3g} A",
        known_from=ASSUMED_HERE if charger is None else "the brief and the charge plan",
    )
    port = judged.charge.supply.port
    if port.fuse_a is not None:
        yield PartLine(
            part="fuse of the charge port",
            count=1,
            what=f"{port.fuse_a:g} A",
            known_from="the charge plan",
        )
