"""After the build: years, storing, carrying, the label to cut out, damage and the end."""

from __future__ import annotations

from itertools import zip_longest

from packdesign.foundation.basis import Band
from packdesign.planning.assess.keeping import KeptPack
from packdesign.planning.upkeep.aged_burst import AgedBurst
from packdesign.planning.upkeep.label import label_warning
from packdesign.planning.upkeep.life import LifeYear, part_charge_words
from packdesign.planning.upkeep.retire import Occasion, advice_for
from packdesign.planning.verdicts.verdict import Status
from packdesign.presentation.drawing.label_drawing import label_svg
from packdesign.presentation.page.wording import readable
from packdesign.presentation.sheet.blocks import (
    Block,
    Bullets,
    Cell,
    Note,
    Picture,
    Section,
    Subhead,
    Table,
)
from packdesign.presentation.sheet.facts import SheetFacts
from packdesign.presentation.sheet.words import NOT_KNOWN, known

__all__ = ["keeping_section"]


def keeping_section(facts: SheetFacts) -> Section:
    """Write the section.

    Parameters
    ----------
    facts : SheetFacts
        What was found.
    """
    blocks: list[Block] = []
    if facts.kept is None:
        blocks.append(Note(f"The years, storing, carrying and label: {facts.not_kept_because}."))
    else:
        blocks += _after(facts.kept)
        blocks += _label(facts.kept, is_stop=facts.overall is Status.STOP)
        blocks += [Subhead("Retire it when"), Bullets(facts.kept.plan.retire)]
    for occasion in Occasion:
        words = occasion.value
        blocks.append(Subhead(words[:1].upper() + words[1:]))
        blocks.append(
            Bullets(tuple(f"{each.text} ({each.source})" for each in advice_for(occasion)))
        )
    return Section(
        id="keeping", title="Storing, carrying, label, end of life", blocks=tuple(blocks),
    )  # fmt: skip


def _after(kept: KeptPack) -> list[Block]:
    storage, carrying, plan = kept.plan.storage, kept.plan.carrying, kept.plan
    blocks: list[Block] = []
    if kept.retire_now:
        blocks.append(Note(f"Retire it now: {'; '.join(kept.retire_now)}.", is_grave=True))
    blocks += [
        Subhead("Storing"),
        Table(
            name="Storing",
            heads=(),
            rows=(
                ("put it away at", f"{storage.target_soc * 100:.0f} % charge, "
                                   f"{known(kept.storage_v, 'V')} at rest"),
                ("look at it again", f"{storage.next_check.isoformat()}, set by the "
                                     f"{storage.set_by}"),
                ("it loses", f"{storage.leak.fraction_per_month * 100:.1f} % a month "
                             f"({storage.leak.basis})"),
                ("board and device draw", f"{known(storage.drain_mah_per_day, 'mAh')} a day, as "
                                          "far as known"),
            ),
        ),
        Bullets(tuple(storage.notes)),
        Subhead("The years ahead"),
        _years(kept),
        Note(part_charge_words(plan.life[0])),
    ]  # fmt: skip
    notes = tuple(dict.fromkeys(text for year in plan.life for text in year.estimate.cautions))
    if notes:
        blocks.append(Bullets(notes))
    blocks += [
        Subhead(f"Carrying: {known(carrying.energy_wh, 'Wh')}, {carrying.cargo.value}"),
        Note(
            f"{carrying.passenger.sentence}; what stands below on this pack comes first. 100 Wh "
            f"are {known(kept.free_ah, 'Ah')} at this voltage."
        ),
        Bullets(
            (
                *carrying.notes,
                *(f"{rule.text} (since {rule.since}: {rule.source})" for rule in plan.rules),
            )
        ),
    ]
    return blocks


def _years(kept: KeptPack) -> Table:
    rows: list[tuple[Cell, ...]] = [
        _year(year, burst) for year, burst in zip_longest(kept.plan.life, kept.plan.bursts)
    ]
    charges = f"Charges of {kept.plan.life[0].depth_fraction * 100:.0f} %"
    return Table(
        name="The years ahead; the range is 5 to 95 %",
        heads=(
            "Years",
            charges,
            "Capacity left",
            "Resistance",
            "Starts down to",
            "Ends",
        ),
        rows=tuple(rows),
        figures=(0, 1),
    )


def _year(year: LifeYear, burst: AgedBurst | None) -> tuple[Cell, ...]:
    starts = NOT_KNOWN
    if burst is not None:
        starts = "never" if burst.fails_everywhere else _cold(burst)
    return (
        f"{year.years:g}",
        f"{year.cycles:.0f}",
        _range(year.estimate.capacity_fraction, times=100, after=" %"),
        _range(year.estimate.resistance_ratio, before="x ", digits=2),
        starts,
        f"worn by its {year.ends_by}" if year.ends_by else "",
    )


def _cold(burst: AgedBurst) -> str:
    if burst.aged_degc is None:
        return f"{burst.coldest_degc:.0f} \u00b0C or colder"
    return f"{burst.aged_degc:.0f} \u00b0C"


def _range(
    band: Band | None, *, times: float = 1, before: str = "", after: str = "", digits: int = 0
) -> str:
    if band is None:
        return NOT_KNOWN
    low, mid, high = (f"{each * times:.{digits}f}" for each in (band.low, band.mid, band.high))
    return f"{before}{mid}{after} ({low} to {high})"


def _label(kept: KeptPack, *, is_stop: bool) -> list[Block]:
    longest_m, wide_m, _ = sorted(kept.design.arrangement.envelope_size_m, reverse=True)
    face_mm = (longest_m * 1e3, wide_m * 1e3)
    gaps = " and ".join(kept.plan.label_gaps)
    warning = label_warning(kept.plan.label_gaps, is_stop=is_stop)
    drawn = label_svg(tuple(map(readable, kept.plan.label)), room_mm=face_mm, warning=warning)
    face = f"the pack's face of {face_mm[0]:.0f} x {face_mm[1]:.0f} mm"
    place = (
        f"glue it on {face}"
        if drawn.fits_face
        else f"it is larger than {face}: fold it round, or glue it beside the pack"
    )
    words = (
        f"Print at 100 %: {drawn.width_mm:.0f} x {drawn.height_mm:.0f} mm, letters "
        f"{drawn.text_mm:g} mm high. Cut along the dashes; {place}. Cover it with clear film, and "
        "never wrap it over a vent. The figures are those of this sheet: a pack built otherwise "
        "needs another label. Write the day of the build and your name in before you cover it."
    )
    blocks: list[Block] = [Subhead("Label to cut out")]
    if gaps:
        told = f"This label is not complete: {gaps}. Settle that, and print the sheet again."
        blocks.append(Note(told, is_grave=True))
    blocks.append(Picture(svg=drawn.svg, caption=words, is_to_size=True))
    return blocks
