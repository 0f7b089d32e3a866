"""What the process of a second run does: a brief on its input, a trace as JSON on its output."""

from __future__ import annotations

import json
import sys
import tempfile
from dataclasses import asdict
from pathlib import Path
from typing import Any, TextIO

from packdesign.foundation.errors import PackDesignError
from packdesign.planning.assess.discharge import Engine
from packdesign.planning.assess.service import discharge_of
from packdesign.presentation.page.draft import Draft, placed_brief

__all__ = ["main"]

_ARRAYS = ("time_s", "current_a", "voltage_v", "soc", "cell_degc", "surface_degc")


def main(source: TextIO, target: TextIO, problems: TextIO) -> int:
    """Run the full engine on the brief given.

    Parameters
    ----------
    source : TextIO
        JSON with brief and files.
    target : TextIO
        Where the result goes, as JSON.
    problems : TextIO
        Where a message goes if there is no result.

    Returns
    -------
    int
        Exit status: 0 done, 2 not possible.
    """
    content = json.load(source)
    files = tuple((name, bytes.fromhex(raw)) for name, raw in content["files"].items())
    try:
        with tempfile.TemporaryDirectory(prefix="packdesign-") as folder:
            brief = placed_brief(Draft(text=content["brief"], files=files), Path(folder))
            _, _, outcome = discharge_of(brief, engine=Engine.PYBAMM)
    except PackDesignError as error:
        problems.write(f"{error}\n")
        return 2
    trace, summary = outcome.trace, asdict(outcome.summary)
    result: dict[str, Any] = {
        "trace": {name: getattr(trace, name).tolist() for name in _ARRAYS},
        "ends_by": str(trace.ends_by),
        "summary": {name: value for name, value in summary.items() if name != "ends_by"},
    }
    json.dump(result, target)
    return 0


if __name__ == "__main__":
    sys.exit(main(sys.stdin, sys.stdout, sys.stderr))
