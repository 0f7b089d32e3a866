"""How a run ends: exit status, and one clear message where the input cannot be used."""

from __future__ import annotations

import sys
import traceback
from collections.abc import Iterable
from typing import TYPE_CHECKING, Final

import typer

from packdesign.presentation.cli.screen import messages

if TYPE_CHECKING:
    from packdesign.planning.verdicts.verdict import Verdict

__all__ = ["DONE", "SAYS_STOP", "UNUSABLE", "end_with", "fail", "fail_unexpectedly"]

DONE: Final = 0
"""Done, and nothing says stop."""
SAYS_STOP: Final = 1
"""Done, and at least one verdict says stop."""
UNUSABLE: Final = 2
"""The input cannot be used."""


def end_with(verdicts: Iterable[Verdict]) -> None:
    """End with the status that the verdicts call for.

    Parameters
    ----------
    verdicts : iterable of Verdict
        All verdicts of the run.

    Raises
    ------
    typer.Exit
        Always; 1 where any says stop, else 0.
    """
    stops = any(str(verdict.status) == "stop" for verdict in verdicts)
    raise typer.Exit(SAYS_STOP if stops else DONE)


def fail(message: str) -> int:
    """Say in one message why the input cannot be used.

    Parameters
    ----------
    message : str
        What, got, allowed, where, remedy.

    Returns
    -------
    int
        The exit status for it.
    """
    line = " ".join(message.split())
    sys.stderr.write(f"packdesign: {line}\n")
    return UNUSABLE


def fail_unexpectedly(error: BaseException, *, debug: bool) -> int:
    """Say that something broke which should not; with the trace only if it was asked for.

    Parameters
    ----------
    error : BaseException
        What was raised.
    debug : bool
        Whether to show the trace.

    Returns
    -------
    int
        The exit status for it.
    """
    if debug:
        messages().print("".join(traceback.format_exception(error)), soft_wrap=True)
    hint = "" if debug else "; 'packdesign --debug ...' shows where, and is what a report needs"
    return fail(f"this is a fault of the program ({type(error).__name__}: {error}){hint}")
