"""The gauge: voltages at which the device acts, divider, constants for the firmware."""

from __future__ import annotations

from packdesign.planning.gauge.service import Gauge, drain_days
from packdesign.planning.gauge.words import gauge_notes
from packdesign.presentation.sheet.blocks import Block, Note, Section, Table
from packdesign.presentation.sheet.facts import SheetFacts
from packdesign.presentation.sheet.words import known, time_words

__all__ = ["gauge_section"]


def gauge_section(facts: SheetFacts) -> Section:
    """Write the section.

    Parameters
    ----------
    facts : SheetFacts
        What was found.
    """
    found = facts.judged.gauge
    blocks: list[Block] = []
    if facts.judged.brief.monitor is None:
        blocks.append(
            Note(
                "The brief has no [monitor]: nothing is known to watch this pack in the device. "
                "These are the voltages and a divider that would go with it.",
                is_grave=True,
            )
        )
    blocks += [_levels(found), _divider(found, capacity_ah=facts.judged.design.capacity_ah)]
    blocks += map(Note, gauge_notes(found))
    blocks.append(
        Note(
            "Voltages of the thresholds: own design; 3.3 and 3.0 V per cell are common practice, "
            "no source. Act when the reading stays below the counts for the time to hold."
        )
    )
    return Section(id="gauge", title="Gauge: when the device acts", blocks=tuple(blocks))


def _levels(found: Gauge) -> Table:
    rows = [
        (
            level.name.replace("_", " "),
            known(level.loaded_v, "V", digits=4),
            known(level.resting_v, "V", digits=4),
            f"{level.soc_fraction * 100:.0f} %",
            f"{constant.counts}",
            f"{constant.plain_counts}",
            "stays" if constant.release_counts is None else f"{constant.release_counts}",
            f"{constant.hold_ms} ms",
        )
        for level, constant in zip(found.thresholds.in_order, found.firmware, strict=True)
    ]
    full = ("full", "", known(found.thresholds.full_v, "V", digits=4), "100 %", "", "", "", "")
    return Table(
        name="Thresholds",
        heads=("When", "Under load", "At rest", "Charge left", "Counts", "Counts, calibrated",
               "Taken back at", "Hold"),
        rows=(full, *rows),
        figures=(1, 2, 3, 4, 5, 6, 7),
    )  # fmt: skip


def _divider(found: Gauge, *, capacity_ah: float) -> Table:
    divider, error, adc = found.divider, found.error, found.adc
    full_v = found.thresholds.full_v
    drain = known(divider.drain_mah_per_day(pack_v=full_v), "mAh")
    days = drain_days(found, capacity_ah=capacity_ah)
    return Table(
        name="Divider and constants",
        heads=(),
        rows=(
            ("controller", f"{adc.name}; a count is {adc.count_words}"),
            ("resistor above, below", f"{known(divider.r_top_ohm, 'ohm')}, "
                                      f"{known(divider.r_bottom_ohm, 'ohm')}"),
            ("at the pin when full", known(divider.pin_v(pack_v=full_v), "V", digits=4)),
            ("microvolt of the pack per count", f"{found.microvolt_per_count}"),
            ("a reading may be off by", f"{known(error.worst_v, 'V')} at worst, "
                                        f"{known(error.rss_v, 'V')} as root sum square"),
            ("the divider draws", f"{drain} a day: 5 % of the pack in "
                                  f"{time_words(days * 86400)}"),
        ),
    )  # fmt: skip
