"""What cannot be used: one clear message, exit status 2, no traceback, nothing written over."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path

import pytest

from tests.conftest import Ran
from tests.journeys.conftest import OWN_CELLS

Run = Callable[..., Ran]


def _refused(ran: Ran, *words: str) -> None:
    assert ran.status == 2
    assert ran.out == ""
    assert "Traceback" not in ran.err
    lines = ran.err.strip().splitlines()
    assert len(lines) == 1, ran.err
    assert lines[0].startswith("packdesign: ")
    assert "fault of the program" not in ran.err
    for word in words:
        assert word in ran.err


def test_a_missing_file(packdesign: Run, tmp_path: Path) -> None:
    _refused(packdesign("assess", tmp_path / "nothing.toml"), "nothing.toml", "packdesign brief")


def test_a_folder(packdesign: Run, tmp_path: Path) -> None:
    _refused(packdesign("assess", tmp_path), "is a folder")


@pytest.mark.parametrize(
    ("written", "instead", "words"),
    [
        ('"22.8 degC"', '"22.8 mm"', ("ambient", "mm", "degC")),
        ('"22.8 degC"', '"22.8"', ("ambient", "no unit")),
        ('"0.07 W/K"', '"-0.07 W/K"', ("heat_loss",)),
        ('"1.5 A"', '"-1.5 A"', ("current",)),
        ('"1.5 A"', '"15 parsec"', ("current", "parsec")),
        ("series = 1", "series = -1", ("series", "-1")),
        ("series = 1", "series = 0", ("series", "0")),
        ("series = 1", "series = 1000000", ("series",)),
        ("soc = 1.0", "soc = nan", ("soc",)),
        ("soc = 1.0", "soc = 1.5", ("soc",)),
        ("ambient =", "ambiant =", ("ambiant", "nearest", "ambient")),
        ("[charger]", "[chager]", ("chager", "charger")),
        ('shape = "open"', 'shape = "opne"', ("shape", "open")),
        ("INR18650-30Q", "INR18650-30QX", ("no cell named", "INR18650-30Q")),
        ('"log.csv"', '"other.csv"', ("other.csv", "no such file")),
        ('"my_cells.csv"', '"other.csv"', ("other.csv", "no such file")),
        ("[pack]", "[pack", ("not valid TOML",)),
    ],
)
def test_a_brief_with_a_mistake(
    packdesign: Run, bench: Path, written: str, instead: str, words: tuple[str, ...]
) -> None:
    text = bench.read_text()
    assert written in text
    bench.write_text(text.replace(written, instead, 1))
    _refused(packdesign("discharge", bench, "--engine", "fast"), *words)


@pytest.mark.parametrize("command", ["assess", "discharge", "charge", "gauge"])
def test_every_command_refuses_alike(packdesign: Run, bench: Path, command: str) -> None:
    bench.write_text(bench.read_text().replace('"22.8 degC"', '"22.8 mm"'))
    _refused(packdesign(command, bench, "--json"), "ambient")


def test_a_cell_beyond_physics(packdesign: Run, bench: Path) -> None:
    table = bench.parent / "my_cells.csv"
    table.write_text(OWN_CELLS.format(capacity_mah=9900))
    for words in (("assess", bench), ("cells", "--table", table)):
        _refused(packdesign(*words), "my_cells.csv line 2", "capacity_mah", "9900", "18650")


def test_a_negative_figure_of_a_cell(packdesign: Run, bench: Path) -> None:
    table = bench.parent / "my_cells.csv"
    table.write_text(OWN_CELLS.format(capacity_mah=-3000))
    _refused(packdesign("cells", "--table", table), "my_cells.csv line 2", "capacity_mah")


@pytest.mark.parametrize(
    ("rows", "words"),
    [
        (["0,1", "1,strong", "2,1"], ("line 3", "current_a", "strong")),
        (["0,1", "1,nan", "2,1"], ("line 3", "nan")),
        (["0,1", "1,1e999", "2,1"], ("line 3", "1e999")),
        (["0,1", "5,1", "3,1"], ("line 4", "backwards")),
        ([], ("log.csv",)),
        ([f"{second},1.0" for second in range(1_000_000)], ("1,000,00", "rows")),
    ],
    ids=["text", "NaN", "infinite", "backwards", "empty", "a million rows"],
)
def test_a_log_that_cannot_be_used(
    packdesign: Run, bench: Path, rows: list[str], words: tuple[str, ...]
) -> None:
    (bench.parent / "log.csv").write_text("\n".join(["time_s,current_a", *rows, ""]))
    _refused(packdesign("discharge", bench, "--engine", "fast"), "log.csv", *words)


def test_a_start_charge_beyond_full(packdesign: Run, bench: Path) -> None:
    _refused(packdesign("charge", bench, "--start-soc", "1.2"), "--start-soc", "1.2")


@pytest.mark.parametrize("target", ["bench.toml", "log.csv", "my_cells.csv"])
def test_a_trace_never_replaces_what_the_job_is_made_from(
    packdesign: Run, bench: Path, target: str
) -> None:
    path = bench.parent / target
    before = path.read_bytes()
    _refused(packdesign("discharge", bench, "--trace", path), "will not write over")
    assert path.read_bytes() == before


@pytest.mark.parametrize("command", [("discharge", "--engine", "fast"), ("charge",)])
def test_a_trace_replaces_an_old_file_only_when_told(
    packdesign: Run, bench: Path, command: tuple[str, ...]
) -> None:
    name, *options = command
    old = bench.parent / "old.csv"
    old.write_text("kept")
    _refused(packdesign(name, bench, *options, "--trace", old), "is there already", "--overwrite")
    assert old.read_text() == "kept"
    assert packdesign(name, bench, *options, "--trace", old, "--overwrite").status in (0, 1)
    assert old.read_text().startswith("time_s,")


def test_a_trace_into_a_folder_that_is_not_there(packdesign: Run, bench: Path) -> None:
    _refused(packdesign("discharge", bench, "--trace", bench.parent / "no" / "x.csv"), "no folder")


def test_a_failed_run_leaves_an_old_trace_alone(packdesign: Run, bench: Path) -> None:
    old = bench.parent / "old.csv"
    old.write_text("kept")
    (bench.parent / "log.csv").write_text("time_s,current_a\n0,1\n1,what\n")
    _refused(packdesign("discharge", bench, "--trace", old, "--overwrite"))
    assert old.read_text() == "kept"
    assert not list(bench.parent.glob("*.part"))


def test_a_brief_is_not_written_over(packdesign: Run, tmp_path: Path) -> None:
    mine = tmp_path / "mine.toml"
    mine.write_text("kept")
    _refused(packdesign("brief", mine), "is there already", "--overwrite")
    assert mine.read_text() == "kept"
    assert packdesign("brief", mine, "--overwrite").status == 0
    assert mine.read_text() != "kept"


def test_an_unknown_example(packdesign: Run) -> None:
    _refused(packdesign("brief", "--example", "soil_coror"), "soil_coror", "soil_corer")


def test_words_that_are_no_command(packdesign: Run, bench: Path) -> None:
    for words in (("asses", bench), ("assess",), ("assess", bench, "--jsn")):
        ran = packdesign(*words)
        assert ran.status == 2
        assert ran.out == ""
        assert "Error: " in ran.err
        assert "Traceback" not in ran.err


def test_a_fault_of_the_program_shows_no_trace_unless_asked(
    packdesign: Run, bench: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    def break_down(*_: object) -> None:
        msg = "the floor gave way"
        raise ZeroDivisionError(msg)

    monkeypatch.setattr("packdesign.planning.brief.load.load_brief", break_down)
    ran = packdesign("assess", bench)
    assert ran.status == 2
    assert "ZeroDivisionError: the floor gave way" in ran.err
    assert "Traceback" not in ran.err
    assert "Traceback" in packdesign("--debug", "assess", bench).err


@pytest.mark.parametrize("words", [("assess", ""), ("refit", "brief.toml", ""), ("",)])
def test_an_empty_word_is_not_taken_for_the_folder_one_stands_in(
    packdesign: Run, words: tuple[str, ...]
) -> None:
    before = " ".join(["packdesign", *words[:-1]])
    _refused(packdesign(*words), f"the word after '{before}' is empty", "name the file")
