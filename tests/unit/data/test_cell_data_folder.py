"""The folder as a whole: its README names every table and column, its sources are used."""

from __future__ import annotations

import csv
from pathlib import Path

import pytest

from packdesign.data import folder
from packdesign.data.cell_columns import CELL_COLUMNS
from packdesign.data.cell_limits import HIGHEST_C_RATE, HIGHEST_WH_PER_KG, HIGHEST_WH_PER_L
from packdesign.data.cell_table import load_cells
from packdesign.data.folder import table_path

FOLDER = table_path("cells.csv").parent
TABLES = sorted(FOLDER.rglob("*.csv"))


def _readme_part(name: str) -> str:
    text = (FOLDER / "README.md").read_text(encoding="utf-8")
    start = text.index("## cells.csv") if name == "cells.csv" else text.index(f"**{name}**")
    following = [end for mark in ("\n**", "\n## ") if (end := text.find(mark, start + 3)) > 0]
    return text[start : min(following, default=len(text))]


@pytest.mark.parametrize("path", TABLES, ids=[path.stem for path in TABLES])
def test_the_readme_names_each_table_and_column(path: Path) -> None:
    with path.open(encoding="utf-8", newline="") as file:
        heading = next(csv.reader(file))
    part = _readme_part(path.relative_to(FOLDER).as_posix())
    for column in heading:
        assert f"`{column}`" in part, column


def test_the_example_of_the_readme_is_a_good_table(tmp_path: Path) -> None:
    text = (FOLDER / "README.md").read_text(encoding="utf-8")
    path = tmp_path / "mine.csv"
    path.write_text(text.split("```csv\n")[1].split("```")[0], encoding="utf-8")
    assert load_cells(path).find("Own Bench cell 1").continuous_a == 10


def test_the_readme_gives_the_bounds_of_the_code() -> None:
    text = " ".join((FOLDER / "README.md").read_text(encoding="utf-8").split())
    for bound in (
        f"more than {HIGHEST_WH_PER_L:g} Wh per litre",
        f"{HIGHEST_WH_PER_KG:g} Wh/kg",
        f"more than {HIGHEST_C_RATE:g} times the capacity",
        f"One row per cell: {len(load_cells())} of them",
    ):
        assert bound in text
    for column in CELL_COLUMNS.required:
        assert f"| `{column}` (needed) |" in text


def test_every_source_is_named_by_some_row() -> None:
    everything = "".join(
        path.read_text(encoding="utf-8") for path in TABLES if path.name != "sources.csv"
    )
    with (FOLDER / "sources.csv").open(encoding="utf-8", newline="") as file:
        for row in csv.DictReader(file):
            assert row["named_as"] in everything, row["named_as"]
            assert row["how_read"]


def test_an_installed_package_finds_its_own_copy_first(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    inside = tmp_path / "packdesign" / "cell_data"
    inside.mkdir(parents=True)
    (inside / "cells.csv").write_text("maker\n", encoding="utf-8")
    monkeypatch.setattr(folder, "_PACKAGE", tmp_path / "packdesign")
    assert table_path("cells.csv") == inside / "cells.csv"
