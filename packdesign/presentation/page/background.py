"""Long work in a process of its own, so that it can be watched and ended at any time.

A solver in compiled code cannot be interrupted from within; a process can. Brief and result pass as
text and JSON lines, one object each: the share of the work done, at last the result.
"""

from __future__ import annotations

import atexit
import json
import subprocess
import sys
import threading
import time
import weakref
from typing import Any, Final

from packdesign.presentation.page.draft import Draft

__all__ = ["BackgroundWork"]

_WORKER: Final = "packdesign.presentation.page.worker"
_UNDER_WAY: Final[weakref.WeakSet[BackgroundWork]] = weakref.WeakSet()


class BackgroundWork:
    """One piece of work under way or done.

    Parameters
    ----------
    job : str
        Name of the work, as :mod:`packdesign.presentation.page.worker` knows it.
    draft : Draft
        Brief and files.
    """

    def __init__(self, job: str, draft: Draft) -> None:
        self.text = draft.text
        self.what, self.share = "starting", 0.0
        self.result: dict[str, Any] | None = None
        self.problem = ""
        self._began_s = time.monotonic()
        self._process = subprocess.Popen(
            [sys.executable, "-m", _WORKER, job],
            stdin=subprocess.PIPE,
            stdout=subprocess.PIPE,
            stderr=subprocess.PIPE,
            text=True,
        )
        content = {"brief": draft.text, "files": {name: raw.hex() for name, raw in draft.files}}
        self._reader = threading.Thread(
            target=self._converse, args=(json.dumps(content),), daemon=True
        )
        self._reader.start()
        _UNDER_WAY.add(self)

    @property
    def passed_s(self) -> float:
        """Time since it began. [s]"""
        return time.monotonic() - self._began_s

    @property
    def is_running(self) -> bool:
        """Whether it still works."""
        return self._reader.is_alive()

    def end(self) -> None:
        """End it now."""
        if self.is_running:
            self.problem = "you ended it"
            self._process.kill()
            self._reader.join(timeout=5)

    def _converse(self, content: str) -> None:
        process = self._process
        if process.stdin is None or process.stdout is None or process.stderr is None:
            return
        try:
            process.stdin.write(content)
            process.stdin.close()
            for line in process.stdout:
                self._take(json.loads(line))
            problem = process.stderr.read().strip()
        except (OSError, ValueError):
            problem = "it broke off"
        if process.wait() != 0 and not self.problem:
            self.problem = problem.splitlines()[-1] if problem else "it broke off"

    def _take(self, told: dict[str, Any]) -> None:
        if "result" in told:
            self.result = told["result"]
        else:
            self.what, self.share = str(told["what"]), float(told["share"])


@atexit.register
def _end_all() -> None:
    for work in list(_UNDER_WAY):
        work.end()
