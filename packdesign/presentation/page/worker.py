"""What a process in the background does: a brief on its input, JSON lines on its output."""

from __future__ import annotations

import json
import sys
import tempfile
from collections.abc import Callable
from dataclasses import asdict
from functools import partial
from pathlib import Path
from typing import Any, Final, TextIO

from packdesign.foundation.errors import PackDesignError
from packdesign.planning.assess.discharge import Engine
from packdesign.planning.assess.parts import judged_discharge
from packdesign.planning.brief.schema import Brief
from packdesign.planning.shortlist.service import shortlist
from packdesign.presentation.page.draft import Draft, placed_brief
from packdesign.presentation.page.shortlist_rows import shortlist_rows

__all__ = ["JOBS", "main"]

Tell = Callable[[str, float], None]
_ARRAYS: Final = ("time_s", "current_a", "voltage_v", "soc", "cell_degc", "surface_degc")


def _discharge(brief: Brief, tell: Tell, *, engine: Engine) -> dict[str, Any]:
    outcome = judged_discharge(brief, engine=engine, progress=tell).outcome.as_it_ends
    trace, summary = outcome.trace, asdict(outcome.summary)
    return {
        "trace": {name: getattr(trace, name).tolist() for name in _ARRAYS},
        "ends_by": str(trace.ends_by),
        "summary": {name: value for name, value in summary.items() if name != "ends_by"},
    }


def _shortlist(brief: Brief, tell: Tell) -> dict[str, Any]:
    return shortlist_rows(shortlist(brief, progress=tell))


JOBS: Final[dict[str, Callable[[Brief, Tell], dict[str, Any]]]] = {
    "full_engine": partial(_discharge, engine=Engine.PYBAMM),
    "particle_model": partial(_discharge, engine=Engine.PHYSICS),
    "shortlist": _shortlist,
}
"""Each kind of work by its name."""


def main(job: str, source: TextIO, target: TextIO, problems: TextIO) -> int:
    """Do one piece of work.

    Parameters
    ----------
    job : str
        One of ``JOBS``.
    source : TextIO
        JSON with brief and files.
    target : TextIO
        Where progress and result go.
    problems : TextIO
        Where a message goes if there is no result.

    Returns
    -------
    int
        Exit status: 0 done, 2 not possible.
    """

    def say(told: dict[str, Any]) -> None:
        target.write(json.dumps(told) + "\n")
        target.flush()

    def tell(what: str, share: float) -> None:
        say({"what": what, "share": share})

    content = json.load(source)
    files = tuple((name, bytes.fromhex(raw)) for name, raw in content["files"].items())
    try:
        with tempfile.TemporaryDirectory(prefix="packdesign-") as folder:
            brief = placed_brief(Draft(text=content["brief"], files=files), Path(folder))
            say({"result": JOBS[job](brief, tell)})
    except PackDesignError as error:
        problems.write(f"{error}\n")
        return 2
    return 0


if __name__ == "__main__":
    sys.exit(main(sys.argv[1], sys.stdin, sys.stdout, sys.stderr))
