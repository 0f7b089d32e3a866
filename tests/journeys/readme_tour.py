"""The tour in the README, made by running its commands; ``python -m tests.journeys.readme_tour``.

Above each block of output stands an HTML comment ``tour | command | sections``: the sections, by
their heads, that are shown of what the command prints; none means all of it.
"""

from __future__ import annotations

import contextlib
import io
import os
import re
import shlex
import sys
import tempfile
from pathlib import Path

from packdesign.planning.brief.examples import example_names, example_text
from packdesign.presentation.cli.main import run

README = Path(__file__).resolve().parents[2] / "README.md"
_BLOCK = re.compile(
    r"(?P<mark><!-- tour \| (?P<command>[^|]+?) \|(?P<sections>[^|]*?)-->\n)```text\n.*?```",
    re.DOTALL,
)
_HEAD = re.compile(r"^[A-Z][A-Z ,:]{5,}")
_CUT = "[...]"


def printed(command: str, folder: Path) -> str:
    """Run one command in a folder that holds the example briefs, and give what it prints."""
    for name in example_names():
        (folder / f"{name}.toml").write_text(example_text(name), encoding="utf-8")
    program, *words = shlex.split(command)
    if program != "packdesign":
        msg = f"the tour runs packdesign only, not {program}"
        raise ValueError(msg)
    out = io.StringIO()
    with contextlib.redirect_stdout(out), contextlib.chdir(folder), contextlib.suppress(SystemExit):
        run(words)
    return out.getvalue()


def shown(text: str, sections: str) -> str:
    """Keep the sections asked for, and say where something is left out."""
    lines = [line.rstrip() for line in text.splitlines()]
    if not sections.strip():
        return "\n".join(lines).strip("\n")
    wanted = [each.strip() for each in sections.split(";")]
    kept: list[str] = []
    keeping = False
    for line in lines:
        if _HEAD.match(line) or line.startswith("####"):
            keeping = any(line.startswith(head) for head in wanted)
            if not keeping and (not kept or kept[-1] != _CUT):
                kept.append(_CUT)
        if keeping:
            kept.append(line)
    return re.sub(r"\n{3,}", "\n\n", "\n".join(kept)).replace(f"\n\n{_CUT}", f"\n{_CUT}").strip()


def toured(readme: str) -> str:
    """Give the README with the output of every command of its tour as it is now."""
    outputs: dict[str, str] = {}
    with tempfile.TemporaryDirectory() as folder:

        def again(block: re.Match[str]) -> str:
            command = block["command"]
            if command not in outputs:
                outputs[command] = printed(command, Path(folder))
            body = shown(outputs[command], block["sections"])
            return f"{block['mark']}```text\n$ {command}\n{body}\n```"

        return _BLOCK.sub(again, readme)


if __name__ == "__main__":
    os.environ.setdefault("PYBAMM_DISABLE_TELEMETRY", "true")
    README.write_text(toured(README.read_text(encoding="utf-8")), encoding="utf-8")
    sys.exit(0)
