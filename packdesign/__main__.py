"""``python -m packdesign``: the same as the command of that name."""

from __future__ import annotations

from packdesign.presentation.cli.main import run

if __name__ == "__main__":
    run()
