"""Own cells: every bad row is told, with its line, and the good ones are kept."""

from __future__ import annotations

from pathlib import Path

from packdesign.data.own_cells import checked_cells

HEADINGS = "maker,part_number,form,size_code,family,capacity_mah,nominal_v,full_v,cutoff_v"
GOOD = "Own,A1,cylinder,18650,nmc,2500,3.6,4.2,2.5"


def _written(folder: Path, *rows: str) -> Path:
    path = folder / "my_cells.csv"
    path.write_text("\n".join([HEADINGS, *rows]) + "\n")
    return path


def test_a_good_table_has_no_problem(tmp_path: Path) -> None:
    found = checked_cells(_written(tmp_path, GOOD))
    assert [cell.name for cell in found.cells] == ["Own A1"]
    assert found.problems == ()


def test_every_bad_row_is_told_with_its_line(tmp_path: Path) -> None:
    found = checked_cells(
        _written(
            tmp_path,
            "Own,B1,cylinder,18650,nmc,9900,3.6,4.2,2.5",
            GOOD,
            "Own,B2,cylinder,18650,nmc,many,3.6,4.2,2.5",
        )
    )
    assert [cell.name for cell in found.cells] == ["Own A1"]
    assert [problem.line for problem in found.problems] == [2, 4]


def test_a_name_twice_is_told(tmp_path: Path) -> None:
    found = checked_cells(_written(tmp_path, GOOD, GOOD))
    assert [problem.line for problem in found.problems] == [3]


def test_a_table_without_headings_is_one_problem(tmp_path: Path) -> None:
    path = tmp_path / "my_cells.csv"
    path.write_text("no,such,columns\n1,2,3\n")
    found = checked_cells(path)
    assert found.cells == ()
    assert len(found.problems) == 1
