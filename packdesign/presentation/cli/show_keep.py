"""The time after the build on the terminal: years, storing, carrying, label, end."""

from __future__ import annotations

from itertools import zip_longest
from typing import TYPE_CHECKING

from rich.text import Text

from packdesign.presentation.cli.screen import heading, indented, plain_table, show_table
from packdesign.presentation.cli.show_run import opening
from packdesign.presentation.cli.words import amount

if TYPE_CHECKING:
    from rich.console import Console

    from packdesign.foundation.basis import Band
    from packdesign.planning.assess.keeping import KeptPack
    from packdesign.planning.upkeep.aged_burst import AgedBurst
    from packdesign.planning.upkeep.retire import Occasion

__all__ = ["show_keep"]

_UNKNOWN = "not known"
_LABEL_COUNTS = (
    "This label counts only once 'packdesign assess' does not say stop: the rest of the design is "
    "not judged here."
)


def show_keep(console: Console, found: KeptPack, *, emergency: bool = False) -> None:
    """Show the time after the build with all that belongs to it.

    Parameters
    ----------
    console : Console
        Where.
    found : KeptPack
        The pack.
    emergency : bool
        Whether to show too what to do about damage, fire and injury.
    """
    from packdesign.planning.upkeep.retire import Occasion

    opening(console, found)
    _years(console, found)
    _storing(console, found)
    _carrying(console, found)
    _label(console, found)
    heading(console, "Retire it when")
    for line in found.plan.retire:
        indented(console, f"- {line}")
    last = (Occasion.MAKE_SAFE, Occasion.HAND_IN)
    for occasion in Occasion if emergency else last:
        _advice(console, occasion)


def _years(console: Console, found: KeptPack) -> None:
    from packdesign.planning.upkeep.life import part_charge_words

    heading(console, "The years ahead (range: 5 to 95 %)")
    part = f"{found.plan.life[0].depth_fraction * 100:.0f} %"
    table = plain_table(
        "after", f"charges of {part}", "capacity left", "resistance", "starts down to", "ends"
    )
    for year, burst in zip_longest(found.plan.life, found.plan.bursts):
        estimate = year.estimate
        starts = "-"
        if burst is not None:
            starts = "never" if burst.fails_everywhere else _degc(burst)
        table.add_row(
            f"{year.years:g} year{'' if year.years == 1 else 's'}",
            f"{year.cycles:.0f}",
            _share(estimate.capacity_fraction),
            _ratio(estimate.resistance_ratio),
            starts,
            year.ends_by and f"worn by its {year.ends_by}",
        )
    show_table(console, table)
    indented(console, part_charge_words(found.plan.life[0]))
    for caution in dict.fromkeys(
        text for year in found.plan.life for text in year.estimate.cautions
    ):
        indented(console, Text.assemble(("! ", "bold yellow"), caution))


def _degc(burst: AgedBurst) -> str:
    if burst.aged_degc is None:
        return f"{burst.coldest_degc:.0f} degC or colder"
    return f"{burst.aged_degc:.0f} degC"


def _share(band: Band | None) -> str:
    if band is None:
        return _UNKNOWN
    low, mid, high = (each * 100 for each in (band.low, band.mid, band.high))
    return f"{mid:.0f} % ({low:.0f} to {high:.0f})"


def _ratio(band: Band | None) -> str:
    if band is None:
        return _UNKNOWN
    return f"x {band.mid:.2f} ({band.low:.2f} to {band.high:.2f})"


def _storing(console: Console, found: KeptPack) -> None:
    storage = found.plan.storage
    heading(console, "Storing")
    table = plain_table("what", "figure", head=False)
    leak = storage.leak
    for what, figure in (
        ("put it away at", f"{storage.target_soc * 100:.0f} %, {amount(found.storage_v, 'V')}"),
        ("look at it again", f"{storage.next_check.isoformat()}, set by the {storage.set_by}"),
        ("it loses", f"{leak.fraction_per_month * 100:.1f} % a month ({leak.basis})"),
    ):
        table.add_row(what, figure)
    drain_mah = storage.drain_mah_per_day
    if drain_mah > 0:
        table.add_row("board and device draw", f"{amount(drain_mah, 'mAh')} a day, as far as known")
    show_table(console, table)
    for note in storage.notes:
        indented(console, f"- {note}")


def _carrying(console: Console, found: KeptPack) -> None:
    carrying = found.plan.carrying
    heading(console, f"Carrying: {amount(carrying.energy_wh, 'Wh')}, {carrying.cargo.value}")
    indented(
        console,
        f"{carrying.passenger.sentence}; what stands below on this pack comes first. 100 Wh are "
        f"{amount(found.free_ah, 'Ah')} at this voltage.",
    )
    for note in carrying.notes:
        indented(console, f"- {note}")
    for rule in found.plan.rules:
        indented(console, f"- {rule.text} (since {rule.since}: {rule.source})")


def _label(console: Console, found: KeptPack) -> None:
    """Show the label; what must not be used must not look like one that may."""
    from packdesign.planning.upkeep.label import label_warning
    from packdesign.planning.verdicts.verdict import Status, overall_status

    heading(console, "Label")
    stops = overall_status(found.verdicts) is Status.STOP
    warning = label_warning(found.plan.label_gaps, is_stop=stops)
    if warning:
        indented(console, Text(warning, style="bold red"))
    for line in found.plan.label:
        indented(console, line)
    for gap in found.plan.label_gaps:
        indented(console, f"Not complete: {gap}. Settle that before it goes on the pack.")
    indented(console, _LABEL_COUNTS)


def _advice(console: Console, occasion: Occasion) -> None:
    from packdesign.planning.upkeep.retire import advice_for

    heading(console, occasion.value)
    for each in advice_for(occasion):
        indented(console, f"- {each.text} ({each.source})")
