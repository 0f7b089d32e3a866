"""Shortlist and comparison through the command line."""

from __future__ import annotations

import csv
from collections.abc import Callable
from pathlib import Path

import pytest

from packdesign.planning.brief.examples import example_text
from tests.conftest import Ran

Run = Callable[..., Ran]
pytestmark = pytest.mark.slow


@pytest.fixture
def corer(tmp_path: Path) -> Path:
    path = tmp_path / "corer.toml"
    path.write_text(example_text("soil_corer"))
    return path


def test_the_shortlist_keeps_the_contract(packdesign: Run, corer: Path, tmp_path: Path) -> None:
    out = tmp_path / "list.csv"
    ran = packdesign("shortlist", corer, "--most", "2", "--csv", out, "--json")
    assert ran.status == 0
    found = ran.json
    assert list(found)[:5] == ["schema", "candidates", "considered", "fit", "seconds"]
    assert found["considered"] >= found["fit"] >= len(found["candidates"]) == 2
    assert [each["rank"] for each in found["candidates"]] == [1, 2]
    for each in found["candidates"]:
        assert list(each)[:5] == ["pack", "discharge", "rank", "status", "because"]
        assert each["status"] in {"ok", "caution", "stop", "unknown"}
        assert each["because"]
        low, mid, high = (each["discharge"]["runtime_s"][key] for key in ("low", "mid", "high"))
        assert low <= mid <= high
    for fallen in found["why_not"]:
        assert fallen["reason"]
    rows = list(csv.DictReader(out.read_text().splitlines()))
    assert [row["cell"] for row in rows] == [each["pack"]["cell"] for each in found["candidates"]]


def test_the_best_of_the_list_is_the_pack_that_assess_judges(packdesign: Run, corer: Path) -> None:
    best = packdesign("shortlist", corer, "--most", "1", "--json").json["candidates"][0]
    assert best["assessed_in_full"]
    text = corer.read_text().replace("Samsung SDI INR18650-25R", best["pack"]["cell"])
    counts = f"series = {best['pack']['series']}\nparallel = {best['pack']['parallel']}"
    corer.write_text(text.replace("series = 3\nparallel = 1", counts, 1))
    judged = packdesign("assess", corer, "--json").json
    assert judged["pack"] == best["pack"]
    for key, value in best["discharge"].items():
        assert judged["discharge"][key] == value, key


def test_all_lists_more(packdesign: Run, corer: Path) -> None:
    ran = packdesign("shortlist", corer, "--most", "1", "--all")
    assert ran.status == 0
    assert ran.out.startswith("####")
    assert "WHY NOT THE OTHERS" in ran.out
    assert "more; --all shows them" not in ran.out


def test_why_one_cell_fell_and_what_would_admit_it(packdesign: Run, corer: Path) -> None:
    ran = packdesign("shortlist", corer, "--why", "INR21700-50S", "--json")
    assert ran.status == 1
    found = ran.json
    assert found["cell"] == "Samsung SDI INR21700-50S"
    assert not found["passes"]
    assert "cavity" in found["reason"]
    assert "mm more bore" in found["change"]
    assert packdesign("shortlist", corer, "--why", "INR18650-25R").status == 0


def test_a_criterion_that_is_none_is_refused(packdesign: Run, corer: Path) -> None:
    ran = packdesign("shortlist", corer, "--front", "run_time,weight")
    assert ran.status == 2
    assert "no criterion named 'weight'" in ran.err


def test_a_front_holds_no_pack_that_another_beats(packdesign: Run, corer: Path) -> None:
    found = packdesign("shortlist", corer, "--most", "1", "--front", "run_time,mass", "--json").json
    points = [
        (each["discharge"]["runtime_s"]["mid"], -each["pack"]["mass_g"])
        for each in found["candidates"]
    ]
    assert len(points) > 1
    for mine in points:
        beaten = [one for one in points if one[0] >= mine[0] and one[1] >= mine[1] and one != mine]
        assert not beaten


def test_a_change_is_compared_with_the_brief(packdesign: Run, corer: Path) -> None:
    ran = packdesign("compare", corer, "--set", "surroundings.ambient_min=-5 degC", "--json")
    assert ran.status == 0
    found = ran.json
    names = [each["name"] for each in found["packs"]]
    assert names == ["corer.toml", "surroundings.ambient_min=-5 degC"]
    assert sorted(each["rank"] for each in found["packs"]) == [1, 2]
    rows = {row["what"]: row["values"] for row in found["figures"]}
    cold = rows["lowest voltage, aged and cold"]
    assert cold[1] < cold[0]
    assert rows["energy"][0] == rows["energy"][1]


def test_a_second_pack_side_by_side_that_does_not_fit(packdesign: Run, corer: Path) -> None:
    ran = packdesign("compare", corer, "--set", "pack.parallel=2")
    assert ran.status == 1
    assert "3S2P of Samsung SDI INR18650-25R" in ran.out
    assert "full cycles until 80 % is left" in ran.out
    assert "fit" in ran.out.partition("VERDICTS THAT DIFFER")[2]


@pytest.mark.parametrize(
    ("words", "message"),
    [
        ((), "needs two briefs"),
        (("--set", "cavity.bore"), "write a key and a value"),
        (("--set", "cavity.bor=48 mm"), "bor"),
        (("--set", "pack.parallel=2", "--set", "pack.parallel=2"), "given twice"),
        (("--set", "cavity.bore=48 kg"), "bore"),
    ],
)
def test_a_comparison_of_nothing(
    packdesign: Run, corer: Path, words: tuple[str, ...], message: str
) -> None:
    ran = packdesign("compare", corer, *words)
    assert ran.status == 2
    assert ran.out == ""
    assert message in ran.err
    assert len(ran.err.splitlines()) == 1


def test_a_brief_without_a_cell_gets_the_best_of_its_shortlist(
    packdesign: Run, corer: Path
) -> None:
    free = corer.with_name("free.toml")
    text = corer.read_text()
    free.write_text(
        text.replace('cell = "Samsung SDI INR18650-25R"', "", 1).replace(
            "series = 3\nparallel = 1", "", 1
        )
    )
    found = packdesign("compare", corer, free, "--json").json
    assert not found["packs"][0]["chosen_by_shortlist"]
    assert found["packs"][1]["chosen_by_shortlist"]
    assert found["packs"][1]["pack"]["cell"]
