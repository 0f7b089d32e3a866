"""The order of packs: what is strict, what is weighed, what a front holds, and how it is told."""

from __future__ import annotations

from dataclasses import replace
from types import SimpleNamespace
from typing import Any

import pytest
from hypothesis import example, given
from hypothesis import strategies as st

from packdesign.data.cells import Confidence
from packdesign.foundation.basis import Basis
from packdesign.foundation.errors import OutOfRangeError, UnknownNameError
from packdesign.planning.brief.load import brief_from_mapping
from packdesign.planning.brief.schema import Brief
from packdesign.planning.shortlist.because import because
from packdesign.planning.shortlist.figures import RankFigures, doubts_of, safety_margin
from packdesign.planning.shortlist.ranking import CRITERIA, pareto_front, ranked
from packdesign.planning.shortlist.record import Trial
from packdesign.planning.verdicts.verdict import Status, Verdict

PLAIN = RankFigures(
    stops=0,
    unknown=0,
    safety=0.85,
    margin_fraction=0.42,
    margin_name="burst_current",
    run_time_s=3600.0,
    burst_fraction=0.42,
    peak_cell_degc=30.0,
    rise_k=12.0,
    mass_kg=0.15,
    volume_left_fraction=0.5,
    cycles=300.0,
    charge_time_s=9000.0,
    price=None,
    currency="",
    aged_low_v=9.0,
    doubts=(),
)


@pytest.fixture
def pack(make_cell):
    """Make a pack of a made-up cell with some figures changed."""

    def make(name: str, **changes: Any) -> Any:
        trial = Trial(cell=make_cell(part_number=name), series=3, parallel=1)
        near = Verdict(id="burst_current", status=Status.OK, margin=0.42)
        return SimpleNamespace(
            trial=trial,
            figures=replace(PLAIN, **changes),
            verdicts=(near,),
            is_exact=True,
            shared=frozenset(),
        )

    return make


def order(brief: Brief, *packs: Any) -> list[str]:
    return [each.pack.trial.cell.part_number for each in ranked(brief, packs)]


def weighted(**weights: float) -> Brief:
    zero = dict.fromkeys(CRITERIA, 0.0)
    return brief_from_mapping({"preferences": {"weights": zero | weights}})


def test_a_stop_comes_last_then_what_nobody_knows_then_the_smaller_margin(pack):
    found = order(
        Brief(),
        pack("stop", stops=1, run_time_s=1e6, safety=1.0),
        pack("unknown", unknown=1, run_time_s=1e5),
        pack("tight", safety=0.3, run_time_s=1e4),
        pack("safe", safety=0.85),
    )
    assert found == ["safe", "tight", "unknown", "stop"]


def test_margins_within_a_step_are_equal_and_the_rest_decides(pack):
    packs = (pack("short", safety=0.88), pack("long", safety=0.81, run_time_s=7200.0))
    assert order(Brief(), *packs) == ["long", "short"]


def test_a_recalled_figure_ranks_below_an_equal_one_that_was_seen_and_says_so(pack):
    seen, recalled = pack("seen"), pack("recalled", doubts=("recalled: capacity",))
    found = ranked(Brief(), (recalled, seen))
    assert [each.pack.trial.cell.part_number for each in found] == ["seen", "recalled"]
    told = because(found[1], above=found[0])
    assert any("stands below an equal one that was seen" in text for text in told)
    assert any("not all its figures were seen" in text for text in told)


def test_low_confidence_and_recalled_figures_are_doubts(make_cell):
    sure = make_cell(bases=dict.fromkeys(("capacity_ah", "continuous_a", "full_v", "cutoff_v"),
                                         Basis.DATASHEET))  # fmt: skip
    assert doubts_of(sure) == ()
    assert "low confidence" in doubts_of(replace(sure, confidence=Confidence.LOW))[0]
    recalled = replace(sure, bases=dict(sure.bases) | {"continuous_a": Basis.ASSUMED})
    assert doubts_of(recalled) == ("recalled, not read from a sheet: continuous current",)
    assert doubts_of(replace(sure, maker="Unbranded")) == ("no maker stands behind it",)


@pytest.mark.parametrize(
    ("criterion", "better"),
    [
        ("run_time", {"run_time_s": 7200.0}),
        ("burst", {"burst_fraction": 0.48}),
        ("temperature", {"rise_k": 10.5}),
        ("mass", {"mass_kg": 0.1}),
        ("volume", {"volume_left_fraction": 0.7}),
        ("cycle_life", {"cycles": 800.0}),
        ("charge_time", {"charge_time_s": 9000.0 - 1.0}),
        ("safety", {"safety": 0.99}),
        ("price", {"price": 20.0}),
    ],
)
def test_each_weight_steers(pack, criterion, better):
    plain = pack("a plain", price=30.0, charge_time_s=10000.0)
    best = pack("b better", price=30.0, charge_time_s=10000.0)
    best.figures = replace(best.figures, **better)
    assert order(weighted(**{criterion: 1.0}), plain, best) == ["b better", "a plain"]
    assert order(weighted(), plain, best) == ["a plain", "b better"], "level: the name decides"


def test_with_own_weights_the_margin_is_weighed_with_the_rest(pack):
    packs = (pack("safe", safety=0.95), pack("long", safety=0.45, run_time_s=14400.0))
    assert order(Brief(), *packs) == ["safe", "long"]
    assert order(weighted(safety=1.0, run_time=1.0), *packs) == ["long", "safe"]
    assert order(weighted(safety=9.0, run_time=1.0), *packs) == ["safe", "long"]


figure = st.fixed_dictionaries(
    {
        "run_time_s": st.floats(60, 1e6),
        "mass_kg": st.floats(0.01, 5),
        "safety": st.floats(0, 1),
        "stops": st.integers(0, 1),
    }
)


@given(st.lists(figure, min_size=2, max_size=8))
def test_a_pack_keeps_its_place_whatever_else_is_listed(figures):
    from packdesign.data.cell_table import load_cells

    cells = tuple(load_cells())
    packs = [
        SimpleNamespace(
            trial=Trial(cell=cells[place], series=1, parallel=1),
            figures=replace(PLAIN, **each),
        )
        for place, each in enumerate(figures)
    ]
    whole = [each.pack.trial.cell.name for each in ranked(Brief(), packs)]
    fewer = [each.pack.trial.cell.name for each in ranked(Brief(), packs[1:])]
    assert [name for name in whole if name != cells[0].name] == fewer


@example([(100.0, 1.0), (99.99999999999999, 1.0)])
@example([(100.0, 2.0), (99.99999999999999, 1.0)])
@given(st.lists(st.tuples(st.floats(1, 100), st.floats(1, 100)), min_size=1, max_size=12))
def test_nothing_beats_a_pack_of_the_front_and_something_beats_every_other(points):
    packs = [
        SimpleNamespace(figures=replace(PLAIN, run_time_s=run, mass_kg=mass))
        for run, mass in points
    ]
    front = pareto_front(packs, by=("run_time", "mass"))
    assert front

    def beats(one, other):
        a, b = one.figures, other.figures
        no_worse = a.run_time_s >= b.run_time_s and a.mass_kg <= b.mass_kg
        return no_worse and (a.run_time_s > b.run_time_s or a.mass_kg < b.mass_kg)

    for each in front:
        assert not any(beats(other, each) for other in packs)
    for each in packs:
        if not any(each is one for one in front):
            assert any(beats(other, each) for other in packs)


def test_a_front_leaves_out_stops_and_what_is_not_known(pack):
    packs = (pack("a"), pack("stop", stops=1, run_time_s=1e9), pack("?", cycles=None))
    assert [each.trial.cell.part_number for each in pareto_front(packs, by=("run_time", "mass"))]
    on_it = pareto_front(packs, by=("run_time", "mass", "cycle_life"))
    assert [each.trial.cell.part_number for each in on_it] == ["a"]


@pytest.mark.parametrize("by", [("mass",), ("mass", "run_time", "burst", "volume")])
def test_a_front_takes_two_or_three(by):
    with pytest.raises(OutOfRangeError, match="two or three criteria"):
        pareto_front([], by=by)


def test_a_front_of_something_unknown_offers_what_there_is():
    with pytest.raises(UnknownNameError, match="nearest: mass"):
        pareto_front([], by=("mas", "run_time"))


def test_the_margin_is_measured_by_what_is_enough():
    verdicts = [
        Verdict(id="voltage_max_driver", status=Status.OK, margin=0.2),
        Verdict(id="burst_current", status=Status.OK, margin=0.3),
        Verdict(id="clearance", status=Status.OK, margin=0.0),
    ]
    share, margin, name = safety_margin(verdicts)
    assert (round(share, 3), margin, name) == (0.6, 0.3, "burst_current")
    assert safety_margin([]) == (1.0, 1.0, "")
