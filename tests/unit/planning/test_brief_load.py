"""Reading a brief from a file: what can go wrong with the file itself."""

from __future__ import annotations

from pathlib import Path

import pytest

from packdesign.foundation.errors import BriefError
from packdesign.planning.brief.load import LARGEST_BYTES, brief_from_text, load_brief


def test_files_are_looked_for_beside_the_brief(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    (tmp_path / "log.csv").write_text("time_s,current_a\n0,1\n")
    (tmp_path / "b.toml").write_text('[load]\nlog = "log.csv"\n')
    monkeypatch.chdir("/")
    brief = load_brief(tmp_path / "b.toml")
    assert brief.load is not None
    assert brief.load.log == tmp_path / "log.csv"


@pytest.mark.parametrize(
    ("section", "key"), [("load", "log"), ("cavity", "mesh"), ("measured", "cells")]
)
def test_a_file_that_is_not_there_is_named(tmp_path: Path, section: str, key: str) -> None:
    path = tmp_path / "b.toml"
    path.write_text(f'[{section}]\n{key} = "gone.csv"\n')
    with pytest.raises(
        BriefError, match=rf"\[{section}\]: {key} names 'gone.csv', but there is no"
    ):
        load_brief(path)


def test_without_a_folder_file_names_stay_as_written() -> None:
    brief = brief_from_text('cell_table = "mine.csv"')
    assert brief.cell_table == Path("mine.csv")


def test_a_missing_brief_is_named(tmp_path: Path) -> None:
    with pytest.raises(BriefError, match=r"there is no file .*gone\.toml; 'packdesign brief'"):
        load_brief(tmp_path / "gone.toml")


def test_a_folder_is_refused(tmp_path: Path) -> None:
    with pytest.raises(BriefError, match="is a folder; name the TOML file in it"):
        load_brief(tmp_path)


def test_a_huge_file_is_refused(tmp_path: Path) -> None:
    path = tmp_path / "b.toml"
    path.write_bytes(b"#" * (LARGEST_BYTES + 1))
    with pytest.raises(BriefError, match="has 1000001 bytes; a brief has 1000000 at most"):
        load_brief(path)


def test_another_encoding_is_refused(tmp_path: Path) -> None:
    path = tmp_path / "b.toml"
    path.write_bytes('title = "Gerät"'.encode("latin-1"))
    with pytest.raises(BriefError, match=r"is not UTF-8 text \(byte 12\); save it as UTF-8"):
        load_brief(path)


def test_a_byte_order_mark_does_no_harm(tmp_path: Path) -> None:
    path = tmp_path / "b.toml"
    path.write_bytes(b"\xef\xbb\xbftitle = 'x'\r\n")
    assert load_brief(path).title == "x"


def test_a_file_name_too_long_is_refused() -> None:
    with pytest.raises(BriefError, match="cannot be read: File name too long"):
        load_brief("x" * 5000)


def test_what_is_no_plain_file_is_refused() -> None:
    with pytest.raises(BriefError, match="is no plain file; name a TOML file"):
        load_brief("/dev/null")


def test_a_name_with_a_null_byte_is_refused() -> None:
    with pytest.raises(BriefError, match="a file name cannot hold a null character"):
        load_brief("x\0y")


@pytest.mark.parametrize(
    ("text", "message"),
    [
        ("title = mine", r"not valid TOML: .*line 1"),
        ("[cavity]\nbore = 46 mm\n", r"not valid TOML: .*line 2"),
        ("[cavity]\n[cavity]\n", r"not valid TOML: .*line 2"),
        ("x = " + "9" * 5000, "a value is nested too deep or has too many digits"),
        ("x = " + "[" * 20000, "a value is nested too deep or has too many digits"),
    ],
)
def test_what_is_not_toml_is_refused_with_its_line(text: str, message: str) -> None:
    with pytest.raises(BriefError, match=message):
        brief_from_text(text, name="mine.toml")


def test_an_empty_brief_is_a_brief() -> None:
    assert brief_from_text("").all_motors == ()
