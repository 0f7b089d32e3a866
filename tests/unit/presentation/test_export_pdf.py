"""Printing to PDF: found, refused, given up on, each with one message."""

from __future__ import annotations

import stat
import time
from pathlib import Path

import pytest

from packdesign.foundation.errors import InputError
from packdesign.presentation.export.pdf import CHROMIUM_VARIABLE, chromium_for_pdf, pdf_of


def program(folder: Path, script: str) -> str:
    path = folder / "printer"
    path.write_text(f"#!/bin/sh\n{script}\n")
    path.chmod(path.stat().st_mode | stat.S_IXUSR)
    return str(path)


def test_without_chromium_the_html_is_offered(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.delenv(CHROMIUM_VARIABLE, raising=False)
    monkeypatch.setenv("PATH", str(tmp_path))
    with pytest.raises(InputError, match=r"no Chromium on this machine.*\.html and print it"):
        chromium_for_pdf()


def test_one_named_but_missing_is_told_by_name(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv(CHROMIUM_VARIABLE, "no-such-browser")
    with pytest.raises(InputError, match="no no-such-browser, which PACKDESIGN_CHROMIUM names"):
        pdf_of("<p>x</p>")


def test_a_printer_that_gives_nothing_is_no_pdf(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setenv(CHROMIUM_VARIABLE, program(tmp_path, "exit 0"))
    with pytest.raises(InputError, match="gave no PDF: it ended without one"):
        pdf_of("<p>x</p>")


def test_a_printer_that_hangs_is_ended_with_all_it_started(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    mark = tmp_path / "child"
    script = f"(sleep 1; touch {mark}) & sleep 60"
    monkeypatch.setenv(CHROMIUM_VARIABLE, program(tmp_path, script))
    with pytest.raises(InputError, match=r"it took more than 0\.3 s"):
        pdf_of("<p>x</p>", longest_s=0.3)
    time.sleep(1.2)
    assert not mark.exists()


def test_the_document_goes_in_and_the_pdf_comes_out(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    script = """
for word in "$@"; do
  case "$word" in
    --print-to-pdf=*) made=${word#--print-to-pdf=};;
    file://*) source=${word#file://};;
  esac
done
{ printf '%%PDF-1.4 '; cat "$source"; } > "$made"
"""
    monkeypatch.setenv(CHROMIUM_VARIABLE, program(tmp_path, script))
    assert pdf_of("<p>bore 46 mm, \u03a9</p>") == "%PDF-1.4 <p>bore 46 mm, \u03a9</p>".encode()
