"""The whole shortlist: the best pack agrees with its assessment, every cell is answered for."""

from __future__ import annotations

import itertools
import subprocess
import sys

import pytest

from packdesign.data.cell_table import load_cells
from packdesign.foundation.errors import BriefError
from packdesign.planning.assess.judge_electrical import peak_current_a
from packdesign.planning.assess.pack_figures import pack_figures
from packdesign.planning.assess.service import assess
from packdesign.planning.brief.change import changed_brief
from packdesign.planning.brief.examples import example_text
from packdesign.planning.brief.load import brief_from_mapping, brief_from_text
from packdesign.planning.brief.schema import Brief
from packdesign.planning.shortlist.appraisal import appraised_assessment, brief_for
from packdesign.planning.shortlist.envelope import open_brief
from packdesign.planning.shortlist.record import Stage
from packdesign.planning.shortlist.service import best_trial, shortlist
from packdesign.planning.verdicts.verdict import Status

FEW = tuple(
    load_cells().find(name)
    for name in (
        "Samsung SDI INR18650-25R",
        "Molicel INR-18650-P28A",
        "LG Energy Solution INR18650MJ1",
        "Samsung SDI INR21700-40T",
        "Lithium Werks APR18650M1B",
    )
)


@pytest.fixture(scope="module")
def corer() -> Brief:
    """Give the soil corer with a mission of ten minutes, so that a run is short."""
    brief = brief_from_text(example_text("soil_corer"))
    return changed_brief(brief, {"mission.uses": 15, "start.soc": 0.35})


@pytest.fixture(scope="module")
def found(corer):
    """Give the shortlist of a few cells for it."""
    return shortlist(corer, cells=FEW, exact=1)


@pytest.mark.slow
def test_the_best_candidate_and_its_assessment_agree_in_every_number(corer, found):
    best = found.best
    assert best is not None
    assert best.is_exact
    own = assess(brief_for(open_brief(corer), best.trial))
    assert pack_figures(own.design) == best.pack
    assert own.discharge.run_time_s == best.run.run_time_s
    assert own.discharge.min_voltage_v == best.run.min_voltage_v
    assert own.discharge.peak_cell_degc == best.run.peak_cell_degc
    assert own.discharge.ends_by == best.run.ends_by
    assert peak_current_a(own.loading, own.discharge) == best.run.peak_current_a
    summary = own.discharge.summary
    assert (summary.delivered_ah, summary.delivered_wh, summary.rms_current_a) == (
        best.run.delivered_ah, best.run.delivered_wh, best.run.rms_current_a
    )  # fmt: skip
    assert summary.peak_surface_degc == best.run.peak_surface_degc
    assert own.overall == best.status
    assert own.verdicts == best.verdicts
    assert appraised_assessment(own).figures == best.figures


WEIGHT = """
import sys
from packdesign.data.cell_table import load_cells
from packdesign.planning.brief.change import changed_brief
from packdesign.planning.brief.examples import example_text
from packdesign.planning.brief.load import brief_from_text
from packdesign.planning.shortlist.service import shortlist
changes = {"start.soc": 0.22, "mission.uses": 5}
brief = changed_brief(brief_from_text(example_text("soil_corer")), changes)
cells = (load_cells().find("Samsung SDI INR18650-25R"),)
assert shortlist(brief, cells=cells, exact=1).best.is_exact
print(*sorted({"pybamm", "pandas", "pint", "scipy.stats", "pydantic"} & set(sys.modules)))
"""


@pytest.mark.slow
def test_a_shortlist_loads_nothing_that_it_can_do_without():
    done = subprocess.run(
        [sys.executable, "-c", WEIGHT], capture_output=True, check=True, text=True
    )
    assert done.stdout.split() == ["pydantic"]


@pytest.mark.slow
def test_the_search_comes_near_the_assessment(corer, found):
    rough = shortlist(corer, cells=FEW, exact=0)
    exact = found.candidates[0]
    same = next(each for each in rough.candidates if each.trial == exact.trial)
    assert not same.is_exact
    assert same.status is Status.CAUTION, "what was not assessed in full is never fine"
    assert same.run.run_time_s.mid == pytest.approx(exact.run.run_time_s.mid, rel=0.03)
    assert same.run.peak_cell_degc.mid == pytest.approx(exact.run.peak_cell_degc.mid, abs=1.5)
    assert same.figures.margin_fraction == pytest.approx(exact.figures.margin_fraction, abs=0.05)


def test_power_cells_lead_the_corer_and_every_cell_is_answered_for(found):
    order = [each.trial.cell.part_number for each in found.candidates]
    assert set(order[:2]) == {"INR18650-25R", "INR-18650-P28A"}
    assert order.index("INR18650MJ1") == 2
    fallen = {each.cell.part_number: each for each in found.rejected}
    assert set(order) | set(fallen) == {cell.part_number for cell in FEW}
    assert fallen["INR21700-40T"].stage is Stage.ROOM
    assert "mm more bore" in fallen["INR21700-40T"].change
    assert fallen["APR18650M1B"].limit in ("charger_chemistry", "charge_voltage")
    assert [each.rank for each in (*found.candidates, *found.others)] == list(
        range(1, len(found.candidates) + len(found.others) + 1)
    )


def test_a_higher_minimum_never_adds_a_candidate(corer):
    standing = []
    for least_v in ("6.5 V", "8.6 V", "9.2 V", "9.8 V"):
        brief = changed_brief(corer, {"motor.drive.min_voltage": least_v})
        found = shortlist(brief, cells=FEW, exact=0)
        standing.append({each.trial for each in found.candidates})
    for wider, tighter in itertools.pairwise(standing):
        assert tighter <= wider
    assert standing[-1] < standing[0], "the steps must bite"


def test_what_stops_every_pack_ranks_none_and_is_said(corer):
    sealed = changed_brief(corer, {"cavity.closure": "sealed"})
    found = shortlist(sealed, cells=FEW[:3], exact=1)
    best = found.best
    assert best is not None
    assert best.is_exact
    assert best.status is Status.STOP
    assert best.figures.stops == 0
    assert any(text.startswith("stops every pack: ") for text in best.because)
    assert not {each.cell for each in found.rejected} & set(FEW[:3])


def test_nothing_that_draws_current_is_refused_with_a_remedy():
    with pytest.raises(BriefError, match=r"no pack is better than another; give a \[motor\]"):
        shortlist(brief_from_mapping({"cavity": {"shape": "open"}}))


def test_where_nothing_passes_there_is_no_best():
    brief = brief_from_mapping(
        {
            "cavity": {"shape": "tube", "bore": "12 mm", "length": "60 mm"},
            "loads": [{"name": "pump", "watts": 200.0, "min_voltage": "10 V"}],
        }
    )
    found = shortlist(brief, cells=FEW)
    assert found.best is None
    assert best_trial(changed_brief(brief, {"preferences.only_cells": [FEW[0].name]})) is None
    assert len(found.rejected) == len(FEW)
    assert all(each.reason for each in found.rejected)


def test_in_free_air_more_cells_stand_side_by_side_until_they_carry_the_mission():
    brief = brief_from_mapping(
        {
            "loads": [
                {"name": "heater", "watts": 40.0, "min_voltage": "9 V", "max_voltage": "13 V"}
            ],
            "mission": {"run_time": "2 h"},
        }
    )
    found = shortlist(brief, cells=FEW[:1], exact=0)
    best = found.best
    assert best is not None
    assert best.trial.series == 3
    assert best.trial.parallel * 2.5 * 10.8 > 80, "80 Wh are asked for"


def test_the_work_is_told_from_nought_to_one(corer):
    told: list[float] = []
    shortlist(corer, cells=FEW[:2], exact=0, progress=lambda what, share: told.append(share))
    assert told == sorted(told)
    assert told[0] == 0.0
    assert told[-1] == 1.0
