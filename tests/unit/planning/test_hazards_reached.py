"""Every hazard, and every fact behind one, can be told by a brief: none waits for nobody."""

from __future__ import annotations

import tomllib
from dataclasses import fields
from functools import cache
from pathlib import Path
from typing import Any

import pytest

from packdesign.planning.assess.service import gate_of, judge_pack
from packdesign.planning.brief.load import brief_from_mapping
from packdesign.planning.hazards.gate import HAZARDS, gate
from packdesign.planning.hazards.situation import Situation
from packdesign.planning.verdicts.verdict import Status

BRIEFS: dict[str, dict[str, Any]] = tomllib.loads(
    Path(__file__).with_name("hazard_briefs.toml").read_text(encoding="utf-8")
)
USUAL_PACK = {"cell": "Samsung SDI INR18650-25R", "series": 3, "parallel": 1}
USUAL_LOAD = [{"name": "lamp", "watts": 20}]
HEADINGS = "cell,rested_v,capacity_ah,resistance_milliohm"


@pytest.fixture(scope="module")
def root(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """Where the files lie that briefs name."""
    return tmp_path_factory.mktemp("briefs")


def _folder(name: str, root: Path) -> Path:
    """Folder with the files of measured cells that a table tells of."""
    root = root / name
    root.mkdir(exist_ok=True)
    for file, rows in (("cells", BRIEFS[name].get("cells")), ("level", BRIEFS[name].get("level"))):
        if rows:
            columns = HEADINGS.split(",")[: rows[0].count(",") + 1]
            (root / f"{file}.csv").write_text("\n".join([",".join(columns), *rows]) + "\n")
    return root


@cache
def situation_of(name: str, which: str, root: Path) -> Situation:
    told = BRIEFS[name]
    sections = dict(told[which])
    sections["pack"] = USUAL_PACK | sections.get("pack", {})
    if told.get("run"):
        sections = {"loads": USUAL_LOAD, "mission": {"run_time": "1 min"}} | sections
    brief = brief_from_mapping(sections, base_folder=_folder(name, root))
    return judge_pack(brief).situation if told.get("run") else gate_of(brief)


def test_every_hazard_has_a_brief_and_every_brief_a_hazard() -> None:
    assert set(BRIEFS) == {hazard.id for hazard in HAZARDS}


@pytest.mark.parametrize("name", BRIEFS)
def test_a_brief_reaches_the_hazard(name: str, root: Path) -> None:
    found = {v.id: v.status for v in gate(situation_of(name, "flagged", root))}
    severity = next(hazard.severity for hazard in HAZARDS if hazard.id == name)
    assert found.get(name) is severity
    assert severity in (Status.STOP, Status.CAUTION)


@pytest.mark.parametrize("name", [name for name in BRIEFS if "spared" in BRIEFS[name]])
def test_its_near_miss_does_not(name: str, root: Path) -> None:
    found = {v.id: v.status for v in gate(situation_of(name, "spared", root))}
    assert name not in found


def test_every_fact_is_told_by_some_brief(root: Path) -> None:
    told: set[str] = set()
    tables = [(name, each) for name in BRIEFS for each in ("flagged", "spared")]
    for name, which in tables:
        if which not in BRIEFS[name]:
            continue
        known = situation_of(name, which, root)
        told |= {each.name for each in fields(known) if getattr(known, each.name) is not None}
    assert {each.name for each in fields(Situation)} - told == set()


def test_a_measured_rate_of_nothing_does_not_unsay_the_warmth_that_was_felt() -> None:
    """A cell that heats itself and has settled no longer warms up."""
    look = {"condition": {"warm_at_rest": True, "warming": "0 K/min"}}
    brief = brief_from_mapping({"pack": USUAL_PACK, "measured": look})
    found = {v.id: v.status for v in gate(gate_of(brief))}
    assert found["heating_without_load"] is Status.STOP
