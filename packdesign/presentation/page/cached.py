"""The services of planning, each remembered by what it was asked: text in, frozen records out.

All sessions share what is remembered, for the same brief has the same answer; the keys are the text
of the brief and the contents of its files, so nothing of one session shows in another.
"""

from __future__ import annotations

import functools
import tempfile
import threading
from collections.abc import Sequence
from pathlib import Path
from typing import Final

from packdesign.data.cell_table import CellTable, load_cells
from packdesign.data.own_cells import CheckedCells, checked_cells
from packdesign.planning.assess.likely import LikelyRun, likely_run
from packdesign.planning.assess.log_fit import LogFit, fit_log
from packdesign.planning.assess.record import Assessment
from packdesign.planning.assess.service import assess, charge_of, design_of, gate_of
from packdesign.planning.assess.start_report import StartReport, start_reports
from packdesign.planning.brief.dump import brief_to_toml
from packdesign.planning.brief.schema import Brief
from packdesign.planning.charge_plan.plan import ChargePlan
from packdesign.planning.hazards.gate import gate
from packdesign.planning.verdicts.verdict import Verdict
from packdesign.presentation.page.draft import Draft, placed_brief
from packdesign.presentation.page.settling import Settling

__all__ = [
    "assessed",
    "begin_assessing",
    "brief_in_place",
    "cells_of",
    "charged",
    "hazards_of",
    "is_assessed",
    "likely",
    "logs_fitted",
    "own_cells",
    "starts_of",
]

_ENTRIES: Final = 48
_NOT_FOR_CHARGING: Final = (
    "title", "notes", "motor", "motors", "rails", "loads", "lights", "mission", "load", "start",
    "monitor", "preferences", "storage", "carrying", "retirement",
)  # fmt: skip


_remembered: Final = functools.lru_cache(maxsize=_ENTRIES)
"""Keeps answers as they are: frozen records, which need no copy for each session."""


_ONE_CHARGE: Final = threading.Lock()
"""PyBaMM's model of the charge is built once and shared: two threads must not solve it together."""


@functools.cache
def _workshop() -> tempfile.TemporaryDirectory[str]:
    return tempfile.TemporaryDirectory(prefix="packdesign-")


def brief_in_place(draft: Draft) -> Brief:
    """Read the brief of a draft with its files lying beside it.

    Parameters
    ----------
    draft : Draft
        The draft.

    Raises
    ------
    BriefError
        If the brief cannot be used or a file is missing.
    """
    return placed_brief(draft, _folder_of(draft))


def assessed(draft: Draft) -> Assessment:
    """Judge the pack of a draft with the fast engine; waits until it is done.

    Parameters
    ----------
    draft : Draft
        The draft.

    Raises
    ------
    InputError
        If it cannot be used.
    """
    return _ASSESSMENTS.answer((draft.text, draft.files))


def is_assessed(draft: Draft) -> bool:
    """Tell whether the pack of a draft is judged already, so that it can be had at once.

    Parameters
    ----------
    draft : Draft
        The draft.
    """
    return _ASSESSMENTS.is_there((draft.text, draft.files))


def begin_assessing(draft: Draft, *, instead_of: Draft | None) -> None:
    """Have a draft judged in the background.

    Parameters
    ----------
    draft : Draft
        The draft.
    instead_of : Draft or None
        An older draft of the same session, which nobody waits for any more.
    """
    if instead_of is not None and instead_of != draft:
        _ASSESSMENTS.leave((instead_of.text, instead_of.files))
    _ASSESSMENTS.begin((draft.text, draft.files))


def likely(draft: Draft) -> LikelyRun:
    """Run the pack of a draft once, with the likely value of everything.

    Parameters
    ----------
    draft : Draft
        The draft.

    Raises
    ------
    InputError
        If it cannot be used.
    """
    return _likely(draft.text, draft.files)


def charged(draft: Draft, *, start_soc: float | None = None) -> ChargePlan:
    """Plan the charge of a draft's pack.

    Parameters
    ----------
    draft : Draft
        The draft.
    start_soc : float or None
        Charge at the start; None is what a full use leaves. [-]
    """
    left_out = {name: type(draft.brief).model_fields[name].get_default()
                for name in _NOT_FOR_CHARGING}  # fmt: skip
    text = brief_to_toml(draft.brief.model_copy(update=left_out))
    return _charged(text, draft.files, start_soc)


def starts_of(draft: Draft) -> tuple[StartReport, ...]:
    """Report on the start of every motor of a draft.

    Parameters
    ----------
    draft : Draft
        The draft.
    """
    return _starts_of(draft.text, draft.files)


def logs_fitted(draft: Draft, logs: Sequence[tuple[str, bytes]]) -> LogFit:
    """Replay logs through the pack of a draft, and fit the model to them together.

    Parameters
    ----------
    draft : Draft
        The draft.
    logs : sequence of tuple
        Name, for messages, and content of each.

    Raises
    ------
    LogError
        If a log cannot be used.
    """
    named = tuple((Path(name).name, content) for name, content in logs)
    return _logs_fitted(draft.text, draft.files, named)


def own_cells(content: bytes) -> CheckedCells:
    """Check every row of a table of the builder's own cells.

    Parameters
    ----------
    content : bytes
        The table.
    """
    draft = Draft(text="", files=(("my_cells.csv", content),))
    folder = _folder_of(draft)
    path = folder / "my_cells.csv"
    path.write_bytes(content)
    return checked_cells(path)


def hazards_of(draft: Draft) -> tuple[Verdict, ...]:
    """Hold the hazards against what the brief alone tells, where no pack is chosen yet.

    Parameters
    ----------
    draft : Draft
        The draft.
    """
    return _hazards_of(draft.text, draft.files)


def cells_of(draft: Draft) -> CellTable:
    """Give the shipped cells and the builder's own.

    Parameters
    ----------
    draft : Draft
        The draft.

    Raises
    ------
    TableError
        If a row of the builder's table cannot be used.
    """
    return load_cells(brief_in_place(draft).cell_table)


@_remembered
def _likely(text: str, files: tuple[tuple[str, bytes], ...]) -> LikelyRun:
    return likely_run(brief_in_place(Draft(text=text, files=files)))


def _assessed(text: str, files: tuple[tuple[str, bytes], ...]) -> Assessment:
    draft = Draft(text=text, files=files)
    return assess(brief_in_place(draft), charge=charged(draft))


@_remembered
def _charged(
    text: str, files: tuple[tuple[str, bytes], ...], start_soc: float | None
) -> ChargePlan:
    brief = brief_in_place(Draft(text=text, files=files))
    with _ONE_CHARGE:
        return charge_of(brief, design_of(brief), start_soc=start_soc)


@_remembered
def _starts_of(text: str, files: tuple[tuple[str, bytes], ...]) -> tuple[StartReport, ...]:
    draft = Draft(text=text, files=files)
    judged = assessed(draft)
    return start_reports(brief_in_place(draft), judged.design, judged.loading)


@_remembered
def _logs_fitted(
    text: str, files: tuple[tuple[str, bytes], ...], logs: tuple[tuple[str, bytes], ...]
) -> LogFit:
    draft = Draft(text=text, files=files)
    brief = brief_in_place(draft)
    folder = _folder_of(Draft(text="", files=logs))
    paths = [folder / str(number) / name for number, (name, _) in enumerate(logs)]
    for path, (_, content) in zip(paths, logs, strict=True):
        path.parent.mkdir(exist_ok=True)
        path.write_bytes(content)
    return fit_log(brief, design_of(brief), paths)


def _folder_of(draft: Draft) -> Path:
    folder = Path(_workshop().name) / draft.digest
    folder.mkdir(exist_ok=True)
    return folder


@_remembered
def _hazards_of(text: str, files: tuple[tuple[str, bytes], ...]) -> tuple[Verdict, ...]:
    return gate(gate_of(brief_in_place(Draft(text=text, files=files))))


_ASSESSMENTS: Final = Settling(_assessed, most=_ENTRIES)
