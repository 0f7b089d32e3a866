"""Every verdict in one table: figure, limit, room, basis, source, what to do."""

from __future__ import annotations

from typing import Final

from packdesign.planning.verdicts.verdict import Status, Verdict
from packdesign.presentation.page.wording import checked, ordered, title_of
from packdesign.presentation.sheet.blocks import Cell, Note, Section, Table
from packdesign.presentation.sheet.facts import SheetFacts
from packdesign.presentation.sheet.words import count_words

__all__ = ["basis_words", "checks_section", "counts_words", "source_numbers"]

_SHORT_LETTERS: Final = 40
"""A source up to this long is written out beside its check. [-]"""


def checks_section(facts: SheetFacts) -> Section:
    """Write the section.

    Parameters
    ----------
    facts : SheetFacts
        What was found.
    """
    numbers = source_numbers(facts.told)
    return Section(
        id="checks",
        title="All checks",
        blocks=(
            Note(
                f"{counts_words(facts.told)}. Room is what is left before the limit, as a "
                "share of it; below zero it is beyond. In order means: within the limit as far as "
                "these figures go, no more. Numbered sources stand at the end of the sheet."
            ),
            Table(
                name="Checks",
                heads=("Status", "Check", "Figure", "Limit", "Room", "Basis, source"),
                rows=tuple(_row(each, numbers) for each in ordered(facts.told)),
                figures=(2, 3, 4),
                widths_percent=(14, 41, 11, 11, 8, 15),
            ),
        ),
    )


def source_numbers(verdicts: tuple[Verdict, ...]) -> dict[str, int]:
    """Number the sources that are too long to stand beside their checks.

    Parameters
    ----------
    verdicts : tuple of Verdict
        The verdicts.

    Returns
    -------
    dict
        Number by source, in the order in which the table of checks names them.
    """
    long = (each.source for each in ordered(verdicts) if len(each.source) > _SHORT_LETTERS)
    return {source: number for number, source in enumerate(dict.fromkeys(long), start=1)}


def counts_words(verdicts: tuple[Verdict, ...]) -> str:
    """Count verdicts by status, gravest first, in words.

    Parameters
    ----------
    verdicts : tuple of Verdict
        The verdicts.

    Examples
    --------
    >>> counts_words((Verdict(id="a", status=Status.STOP), Verdict(id="b", status=Status.OK)))
    '1 stop, 1 in order'
    """
    names = {
        Status.STOP: ("stop", "stops"),
        Status.CAUTION: ("caution", "cautions"),
        Status.UNKNOWN: ("not known", "not known"),
        Status.OK: ("in order", "in order"),
    }
    counts = {status: sum(each.status is status for each in verdicts) for status in names}
    return (
        ", ".join(count_words(count, *names[status]) for status, count in counts.items() if count)
        or "no checks"
    )


def basis_words(verdict: Verdict, numbers: dict[str, int]) -> str:
    """Say what a verdict rests on: its basis, and its source or the number of it.

    Parameters
    ----------
    verdict : Verdict
        The verdict.
    numbers : dict
        Number by source, of those that are too long to stand there.
    """
    source, number = verdict.source, numbers.get(verdict.source)
    told = (source or "no source") if number is None else f"source\N{NO-BREAK SPACE}{number}"
    return f"{verdict.basis.value}: {told}"


def _row(verdict: Verdict, numbers: dict[str, int]) -> tuple[Cell, ...]:
    lines = [title_of(verdict)]
    if verdict.reason:
        lines.append(verdict.reason)
    if verdict.fix:
        lines.append(f"Do: {verdict.fix}")
    return (
        verdict.status,
        "\n".join(lines),
        _figure(verdict.value, verdict.unit),
        _figure(verdict.limit, verdict.unit),
        "" if verdict.margin is None else f"{verdict.margin * 100:.0f} %",
        basis_words(verdict, numbers),
    )


def _figure(value: float | None, unit: str) -> str:
    return "" if value is None else checked(value, unit, digits=4)
