"""How long a shortlist takes: the whole table for each example, and a table of 5,000 own cells."""

from __future__ import annotations

import csv
import subprocess
import sys
import time
from pathlib import Path

import pytest

from packdesign.data.folder import table_path
from packdesign.planning.brief.change import changed_brief
from packdesign.planning.brief.examples import example_names, example_text
from packdesign.planning.brief.load import brief_from_text
from packdesign.planning.shortlist.service import shortlist

TARGET_S = 2.0
"""Issue 6: the whole table, on two cores."""
COMMAND_S = 6.0
"""Pin: the least of three runs took 3.7 to 4.5 s on two cores that others used too. [s]"""
MOST_MB = 500
"""Issue 6: memory with 5,000 own cells."""

MEMORY = """
import resource, sys
from pathlib import Path
from packdesign.planning.brief.change import changed_brief
from packdesign.planning.brief.examples import example_text
from packdesign.planning.brief.load import brief_from_text
from packdesign.planning.shortlist.service import shortlist
brief = brief_from_text(example_text("soil_corer"))
brief = changed_brief(brief, {"cell_table": Path(sys.argv[1])})
found = shortlist(brief, exact=0)
print(found.considered, found.run, resource.getrusage(resource.RUSAGE_SELF).ru_maxrss / 1024)
"""


def own_table(path: Path, count: int) -> Path:
    """Write a table of so many cells: the shipped ones over and over, each a little different."""
    with table_path("cells.csv").open(encoding="utf-8", newline="") as stream:
        rows = list(csv.DictReader(stream))
    with path.open("w", encoding="utf-8", newline="") as stream:
        writer = csv.DictWriter(stream, fieldnames=list(rows[0]))
        writer.writeheader()
        for number in range(count):
            row = dict(rows[number % len(rows)])
            row["part_number"] = f"{row['part_number']} no {number}"
            row["capacity_mah"] = f"{float(row['capacity_mah']) * (1 - 0.0001 * (number % 97)):.1f}"
            row["rated_capacity_mah"] = ""
            writer.writerow(row)
    return path


@pytest.mark.parametrize("name", example_names())
def test_the_whole_table_is_searched_in_time(name, record_property):
    brief = brief_from_text(example_text(name))
    shortlist(brief, exact=0)  # what is kept between calls is kept: the cell models
    taken = []
    for _ in range(3):
        found = shortlist(brief, exact=0)
        taken.append(found.screened_s)
    seconds = min(taken)
    record_property("seconds", round(seconds, 3))
    print(f"{name}: {found.considered} considered, {found.run} run: {seconds:.2f} s")
    assert found.considered > 100
    assert seconds < TARGET_S


@pytest.mark.parametrize("name", example_names())
def test_the_first_search_of_a_session_is_in_time_too(name, record_property):
    code = (
        "from packdesign.planning.brief.examples import example_text\n"
        "from packdesign.planning.brief.load import brief_from_text\n"
        "from packdesign.planning.shortlist.service import shortlist\n"
        f"found = shortlist(brief_from_text(example_text({name!r})), exact=0)\n"
        "print(found.screened_s)\n"
    )
    taken = []
    for _ in range(2):
        done = subprocess.run(
            [sys.executable, "-c", code], capture_output=True, check=True, text=True
        )
        taken.append(float(done.stdout))
    record_property("seconds", round(min(taken), 3))
    print(f"{name}, first: {min(taken):.2f} s")
    assert min(taken) < TARGET_S


@pytest.mark.parametrize("name", example_names())
def test_the_whole_command_takes_no_longer_than_it_did(name, record_property, tmp_path):
    """Start to end, the best pack judged in full: our own figure, not the target of the issue."""
    brief = tmp_path / "brief.toml"
    brief.write_text(example_text(name), encoding="utf-8")
    code = "from packdesign.presentation.cli.main import run; run()"
    taken = []
    for _ in range(3):
        began = time.perf_counter()
        subprocess.run(
            [sys.executable, "-c", code, "shortlist", str(brief)], capture_output=True, check=True
        )
        taken.append(time.perf_counter() - began)
    record_property("seconds", round(min(taken), 2))
    print(f"{name}, the command: {min(taken):.2f} s")
    assert min(taken) < COMMAND_S


def test_five_thousand_cells_stay_in_memory(tmp_path, record_property):
    table = own_table(tmp_path / "own.csv", 5000)
    done = subprocess.run(
        [sys.executable, "-c", MEMORY, str(table)], capture_output=True, check=True, text=True
    )
    considered, run, used_mb = (float(part) for part in done.stdout.split())
    record_property("mb", round(used_mb))
    print(f"{considered:.0f} considered, {run:.0f} run: {used_mb:.0f} MB")
    assert considered > 5000
    assert used_mb < MOST_MB


def test_time_grows_no_faster_than_the_table(tmp_path, record_property):
    brief = brief_from_text(example_text("soil_corer"))
    taken = []
    for count in (1000, 4000):
        own = own_table(tmp_path / f"own_{count}.csv", count)
        changed = changed_brief(brief, {"cell_table": own})
        began = time.process_time()
        shortlist(changed, exact=0)
        taken.append(time.process_time() - began)
    record_property("seconds", [round(each, 2) for each in taken])
    print(f"1,000 and 4,000 own cells: {taken[0]:.1f} and {taken[1]:.1f} s")
    assert taken[1] < 4 * 1.15 * taken[0]
