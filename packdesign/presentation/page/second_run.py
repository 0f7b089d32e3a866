"""A second run of the discharge by the full engine, in a process of its own that can be ended.

The solver of PyBaMM cannot be interrupted from within; a process can. Brief and result pass as text
and JSON.
"""

from __future__ import annotations

import contextlib
import json
import subprocess
import sys
import time
from collections.abc import Callable, Sequence
from dataclasses import dataclass
from typing import Any, Final

import numpy as np

from packdesign.engineering.discharge.run import EndReason, Trace
from packdesign.planning.assess.record import Assessment
from packdesign.presentation.page import state
from packdesign.presentation.page.draft import Draft
from packdesign.presentation.page.wording import duration, figure

__all__ = ["BackgroundRun", "Others", "begin_run", "draw"]

Others = Sequence[tuple[str, Trace]]
"""Runs of other engines, with the name of each."""
Chart = Callable[[Draft, Assessment, Others], None]

_WORKER: Final = "packdesign.presentation.page.second_run_worker"
_RUN: Final = "second_run"
_POLL_S: Final = 0.5


@dataclass(slots=True, kw_only=True)
class BackgroundRun:
    """One run under way or done."""

    text: str
    """The brief it is for."""
    process: subprocess.Popen[str] | None
    began_s: float
    result: dict[str, Any] | None = None
    problem: str = ""

    def look(self) -> bool:
        """See whether it has ended, take its result, and tell whether it still runs."""
        if self.process is None:
            return False
        try:
            out, err = self.process.communicate(timeout=0.01)
        except subprocess.TimeoutExpired:
            return True
        code, self.process = self.process.returncode, None
        if code == 0:
            self.result = json.loads(out)
        else:
            self.problem = err.strip().splitlines()[-1] if err.strip() else "it ended by itself"
        return False

    def end(self) -> None:
        """End it now."""
        if self.process is not None:
            self.process.kill()
            with contextlib.suppress(subprocess.TimeoutExpired):
                self.process.communicate(timeout=5)
            self.process = None
        self.problem = "you ended it"


def begin_run(draft: Draft) -> BackgroundRun:
    """Start the full engine on a draft.

    Parameters
    ----------
    draft : Draft
        Brief and files.
    """
    process = subprocess.Popen(
        [sys.executable, "-m", _WORKER],
        stdin=subprocess.PIPE, stdout=subprocess.PIPE, stderr=subprocess.PIPE, text=True,
    )  # fmt: skip
    run = BackgroundRun(text=draft.text, process=process, began_s=time.monotonic())
    content = {"brief": draft.text, "files": {name: raw.hex() for name, raw in draft.files}}
    if process.stdin is not None:
        process.stdin.write(json.dumps(content))
        process.stdin.close()
        process.stdin = None
    return run


def draw(draft: Draft, judged: Assessment, *, chart: Chart) -> None:
    """Draw the chart, the button that starts the run, its progress, and its result.

    Parameters
    ----------
    draft : Draft
        Brief and files.
    judged : Assessment
        The judged pack.
    chart : callable
        Draws the chart with the other runs laid over it.
    """
    import streamlit as st

    run = _run_of(draft)
    running = run is not None and run.look()
    others: Others = ()
    if run is not None and run.result is not None:
        others = (("full engine", _trace(run.result)),)
    chart(draft, judged, others)
    if running:
        st.fragment(_progress, run_every=_POLL_S)(draft)
        return
    if run is not None and run.problem:
        st.warning(f"The full engine gave no result: {run.problem}")
    if run is not None and run.result is not None:
        _compare(judged, run.result)
        return
    st.button(
        "Check it with the full engine (PyBaMM)",
        key=state.RUN_ENGINE,
        on_click=_start,
        args=(draft,),
        help="The curves above come from the fast engine. This runs PyBaMM on the same pack, "
        "from seconds to a few minutes, and lays its curves over them.",
    )


def _progress(draft: Draft) -> None:
    import streamlit as st

    run = _run_of(draft)
    if run is None or not run.look():
        st.rerun()
        return
    passed_s = time.monotonic() - run.began_s
    st.progress(min(passed_s / (passed_s + 20.0), 0.95),
                text=f"The full engine has worked for {passed_s:.0f} s")  # fmt: skip
    if st.button("End it", key=state.CANCEL):
        run.end()
        st.rerun()


def _start(draft: Draft) -> None:
    old = state.store().get(_RUN)
    if isinstance(old, BackgroundRun):
        old.end()
    state.store()[_RUN] = begin_run(draft)


def _run_of(draft: Draft) -> BackgroundRun | None:
    """Give the run for this very brief; one for an older brief is ended."""
    found = state.store().get(_RUN)
    if not isinstance(found, BackgroundRun):
        return None
    if found.text != draft.text:
        found.end()
        del state.store()[_RUN]
        return None
    return found


def _trace(result: dict[str, Any]) -> Trace:
    arrays = {name: np.asarray(values, dtype=float) for name, values in result["trace"].items()}
    return Trace(
        time_s=arrays["time_s"],
        current_a=arrays["current_a"],
        voltage_v=arrays["voltage_v"],
        soc=arrays["soc"],
        cell_degc=arrays["cell_degc"],
        surface_degc=arrays["surface_degc"],
        ends_by=EndReason(result["ends_by"]),
    )


def _compare(judged: Assessment, result: dict[str, Any]) -> None:
    import streamlit as st

    fast, full = judged.discharge.summary, result["summary"]
    st.markdown(
        "| | fast engine | full engine (PyBaMM) |\n|---|---|---|\n"
        f"| It runs for | {duration(fast.run_time_s)} | {duration(full['run_time_s'])} |\n"
        f"| Lowest voltage | {figure(fast.min_voltage_v, 'V', digits=4)} | "
        f"{figure(full['min_voltage_v'], 'V', digits=4)} |\n"
        f"| Hottest cell | {figure(fast.peak_cell_degc, 'degC')} | "
        f"{figure(full['peak_cell_degc'], 'degC')} |\n"
    )
