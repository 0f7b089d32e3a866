"""Dangers, cautions and verdicts on the terminal: the gravest first, every status in words."""

from __future__ import annotations

from collections.abc import Sequence
from typing import TYPE_CHECKING, Final

from rich.text import Text

from packdesign.presentation.cli.screen import (
    heading,
    indented,
    plain_table,
    show_table,
    status_text,
)
from packdesign.presentation.cli.words import amount, duration

if TYPE_CHECKING:
    from rich.console import Console

    from packdesign.planning.verdicts.verdict import Status, Verdict

__all__ = ["show_dangers", "show_overall", "show_part", "show_verdicts"]

_GRAVEST_FIRST: Final = ("stop", "caution", "unknown", "ok")
_DIGITS: Final = 4
_WHEN_STOP: Final = "do not build or use it like this; each STOP says why, and what to do"
_ONLY_A_PART: Final = (
    "The whole design is judged by 'packdesign assess' alone: it may say stop for what is not "
    "checked here."
)


def show_dangers(console: Console, hazards: Sequence[Verdict], cautions: Sequence[str]) -> None:
    """Show what can hurt before anything else.

    Parameters
    ----------
    console : Console
        Where.
    hazards : sequence of Verdict
        Of the gate.
    cautions : sequence of str
        Said with every result, and for this pack.
    """
    bar = Text("#" * min(console.width, 100), style="bold red")
    console.print(bar)
    console.print(Text("READ THIS FIRST. A lithium pack can burn, burst and poison.", "bold red"))
    for caution in cautions:
        console.print()
        indented(console, Text.assemble(("! ", "bold red"), caution), by=2)
    if hazards:
        console.print()
        console.print(Text("Dangers found in this brief, and what is not known:", "bold red"))
        for verdict in _by_gravity(hazards):
            _show_one(console, verdict)
    console.print(bar)


def show_overall(console: Console, verdicts: Sequence[Verdict], overall: Status) -> None:
    """Show the verdict on the whole in one line.

    Parameters
    ----------
    console : Console
        Where.
    verdicts : sequence of Verdict
        All of them.
    overall : Status
        Status of the whole.
    """
    meaning = {
        "stop": _WHEN_STOP,
        "caution": "nothing says stop, but read every caution and find out what is not known",
        "ok": "nothing was found against it",
    }
    heading(console, "Verdict on the whole")
    _show_status(console, verdicts, overall, meaning[str(overall)])


def show_part(console: Console, verdicts: Sequence[Verdict]) -> None:
    """Show in one line what a command found that checks a part of a design, not all of it.

    Parameters
    ----------
    console : Console
        Where.
    verdicts : sequence of Verdict
        Those of this part.
    """
    from packdesign.planning.verdicts.verdict import overall_status

    meaning = {
        "stop": _WHEN_STOP,
        "caution": "nothing in this part says stop, but read every caution and find out what is "
        "not known",
        "ok": "nothing was found against this part",
    }
    status = overall_status(verdicts)
    heading(console, "Verdict on what this command checks")
    _show_status(console, verdicts, status, meaning[str(status)])
    indented(console, _ONLY_A_PART)


def _show_status(
    console: Console, verdicts: Sequence[Verdict], status: Status, meaning: str
) -> None:
    counts = {name: sum(str(each.status) == name for each in verdicts) for name in _GRAVEST_FIRST}
    said = ", ".join(f"{count} {name}" for name, count in counts.items() if count)
    console.print(Text.assemble(status_text(status), f": {meaning}"))
    indented(console, said)


def show_verdicts(console: Console, verdicts: Sequence[Verdict]) -> None:
    """Show verdicts, the worst in full and first, those that passed as a table.

    Parameters
    ----------
    console : Console
        Where.
    verdicts : sequence of Verdict
        The verdicts, without those of the gate.
    """
    heading(console, "Verdicts")
    for verdict in _by_gravity(verdicts):
        if str(verdict.status) != "ok":
            _show_one(console, verdict)
    passed = [verdict for verdict in verdicts if str(verdict.status) == "ok"]
    if not passed:
        return
    table = plain_table("passed", "value", "limit", "room", "basis", numbers=3)
    for verdict in passed:
        room = "" if verdict.margin is None else f"{verdict.margin * 100:.0f} %"
        table.add_row(
            Text.assemble(status_text(verdict.status), f"  {verdict.id}"),
            _figure(verdict.value, verdict.unit),
            _figure(verdict.limit, verdict.unit),
            room,
            str(verdict.basis),
        )
    console.print()
    show_table(console, table)
    for verdict in passed:
        if verdict.note:
            indented(console, f"{verdict.id}: {verdict.note}")


def _figure(value: float | None, unit: str) -> str:
    if value is None:
        return ""
    if unit == "degC":
        value = round(value, 1)
    return duration(value) if unit == "s" else amount(value, unit, digits=_DIGITS)


def _show_one(console: Console, verdict: Verdict) -> None:
    """Show one verdict in full."""
    room = ""
    if verdict.value is not None and verdict.limit is not None:
        value, limit = _figure(verdict.value, verdict.unit), _figure(verdict.limit, verdict.unit)
        room = f"  [{value} against {limit}]"
    console.print()
    console.print(Text.assemble(status_text(verdict.status), f"  {verdict.id}{room}"))
    indented(console, verdict.reason)
    if verdict.fix:
        indented(console, Text.assemble(("Do: ", "bold"), verdict.fix))
    if verdict.source:
        indented(console, Text(f"({verdict.basis}: {verdict.source})", style="dim"))


def _by_gravity(verdicts: Sequence[Verdict]) -> list[Verdict]:
    return sorted(verdicts, key=lambda verdict: _GRAVEST_FIRST.index(str(verdict.status)))
