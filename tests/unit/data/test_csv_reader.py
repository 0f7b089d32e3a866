"""The reader shared by all tables: delimiters, encodings, headings, cells."""

from __future__ import annotations

from pathlib import Path

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from packdesign.data.csv_reader import Columns, Row, read_rows
from packdesign.data.folder import table_path
from packdesign.foundation.errors import InputError, TableError

_COLUMNS = Columns(("name", "size_mm"), ("notes",))


def _write(folder: Path, text: str) -> Path:
    path = folder / "table.csv"
    path.write_text(text, encoding="utf-8")
    return path


@pytest.mark.parametrize("sign", [",", ";", "\t"])
def test_comma_semicolon_and_tab_are_all_read(tmp_path: Path, sign: str) -> None:
    rows = read_rows(_write(tmp_path, f"name{sign}size_mm\na{sign}1.5\n"), _COLUMNS)
    assert [row.number("size_mm") for row in rows] == [1.5]


def test_decimal_comma_is_understood_between_semicolons_only(tmp_path: Path) -> None:
    rows = read_rows(_write(tmp_path, "name;size_mm\na;1,5\n"), _COLUMNS)
    assert rows[0].number("size_mm") == 1.5
    quoted = read_rows(_write(tmp_path, 'name,size_mm\na,"1,5"\n'), _COLUMNS)
    with pytest.raises(TableError, match="'1,5' is not a number"):
        quoted[0].number("size_mm")


def test_blank_lines_and_comments_do_not_shift_the_line_numbers(tmp_path: Path) -> None:
    rows = read_rows(_write(tmp_path, "# own cells\n\nname,size_mm\n\na,1\n,\nb,x\n"), _COLUMNS)
    assert [(row.text("name"), row.line) for row in rows] == [("a", 5), ("b", 7)]
    with pytest.raises(TableError, match="line 7, column size_mm"):
        rows[1].number("size_mm")


def test_a_line_break_inside_quotes_is_one_row(tmp_path: Path) -> None:
    rows = read_rows(_write(tmp_path, 'name,size_mm,notes\na,1,"one\ntwo"\nb,2,\n'), _COLUMNS)
    assert [(row.line, row.text("notes")) for row in rows] == [(2, "one\ntwo"), (4, "")]


def test_a_short_row_has_blank_cells(tmp_path: Path) -> None:
    rows = read_rows(_write(tmp_path, "name,size_mm,notes\na,1\n"), _COLUMNS)
    assert rows[0].text("notes") == ""


def test_a_missing_file_is_said_with_its_path(tmp_path: Path) -> None:
    with pytest.raises(TableError, match=r"no such file \(.*nowhere\.csv\)"):
        read_rows(tmp_path / "nowhere.csv", _COLUMNS)


def test_a_folder_is_no_table(tmp_path: Path) -> None:
    with pytest.raises(TableError, match="cannot be read"):
        read_rows(tmp_path, _COLUMNS)


def test_bounds_are_inclusive_and_named(tmp_path: Path) -> None:
    row = Row({"size_mm": "10"}, file="t.csv", line=2)
    assert row.number("size_mm", low=0, high=10) == 10
    with pytest.raises(TableError, match="is 10; accepted: 0 to 9"):
        row.number("size_mm", low=0, high=9)
    with pytest.raises(TableError, match="accepted: 11 or more"):
        row.number("size_mm", low=11)


def test_a_needed_number_must_be_there() -> None:
    row = Row({"size_mm": ""}, file="t.csv", line=3)
    assert row.number("size_mm") is None
    with pytest.raises(TableError, match=r"t\.csv line 3, column size_mm: is empty"):
        row.needed("size_mm")


@pytest.mark.parametrize(("word", "meaning"), [("yes", True), ("No", False), ("", None)])
def test_yes_no_and_blank(word: str, meaning: bool | None) -> None:
    assert Row({"flag": word}, file="t.csv", line=2).yes_no("flag") is meaning


@given(value=st.floats(min_value=-1e6, max_value=1e6, allow_nan=False))
def test_each_finite_number_comes_back(value: float) -> None:
    assert Row({"x": repr(value)}, file="t.csv", line=2).number("x") == value


@pytest.mark.parametrize("text", ["1_000", "٣", "1 000", "0x10", "ten", "1,5", "--1", "1e"])
def test_what_is_no_plain_number_is_refused(text: str) -> None:
    with pytest.raises(TableError, match="is not a number; write a plain number"):
        Row({"x": text}, file="t.csv", line=2).number("x")


def _outcome(path: Path) -> list[Row] | TableError:
    try:
        return read_rows(path, _COLUMNS)
    except TableError as error:
        return error


@settings(max_examples=50)
@given(content=st.binary(max_size=300))
def test_any_bytes_give_rows_or_one_clear_error(
    content: bytes, tmp_path_factory: pytest.TempPathFactory
) -> None:
    path = tmp_path_factory.mktemp("bytes") / "table.csv"
    path.write_bytes(b"name,size_mm\n" + content)
    outcome = _outcome(path)
    if isinstance(outcome, TableError):
        assert outcome.line >= 1
        assert str(outcome).startswith("table.csv line ")
    else:
        assert all(row.line >= 2 for row in outcome)


@settings(max_examples=50)
@given(text=st.text(max_size=200))
def test_any_text_gives_rows_or_one_clear_error(
    text: str, tmp_path_factory: pytest.TempPathFactory
) -> None:
    path = tmp_path_factory.mktemp("text") / "table.csv"
    path.write_text(text, encoding="utf-8", errors="replace")
    outcome = _outcome(path)
    assert isinstance(outcome, list) or str(outcome).startswith("table.csv line ")


def test_each_table_path_is_a_file_and_an_unknown_one_says_where_it_looked() -> None:
    assert table_path("chemistries/ocv.csv").is_file()
    with pytest.raises(InputError, match=r"'nothing\.csv' is missing; looked in"):
        table_path("nothing.csv")
