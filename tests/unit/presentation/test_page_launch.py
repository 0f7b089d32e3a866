"""A page started from an installed package has the same settings as one from the checkout."""

from __future__ import annotations

import tomllib
from pathlib import Path

from packdesign.presentation.page.launch import SETTINGS, page_command

PROJECT = Path(__file__).resolve().parents[3]


def test_the_settings_of_the_checkout_are_the_same() -> None:
    written = tomllib.loads((PROJECT / ".streamlit" / "config.toml").read_text())
    flat = {
        f"{table}.{key}": value for table, keys in written.items() for key, value in keys.items()
    }
    assert flat == SETTINGS


def test_nothing_is_counted_or_sent() -> None:
    assert "--browser.gatherUsageStats=false" in page_command()
    assert "--server.address=localhost" in page_command()


def test_the_entry_is_a_file_of_the_package() -> None:
    entry = next(word for word in page_command() if word.endswith(".py"))
    assert Path(entry).is_file()
    assert Path(entry).name == "entry.py"
