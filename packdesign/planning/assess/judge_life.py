"""Verdicts on the years ahead: what is left, whether it starts in the cold, how it travels."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import replace
from typing import Final

from packdesign.foundation.basis import Band, Basis
from packdesign.foundation.errors import OutOfRangeError
from packdesign.planning.assess.design import PackDesign
from packdesign.planning.assess.discharge import DischargeOutcome
from packdesign.planning.assess.judge_electrical import wished_run_time_s
from packdesign.planning.assess.loading import Loading
from packdesign.planning.assess.service_end import upkeep_at_service_end
from packdesign.planning.brief.schema import Brief
from packdesign.planning.hazards.transport import FREE_WH, transport
from packdesign.planning.hazards.transport_rules import HOME_BUILT, HOME_BUILT_SOURCE
from packdesign.planning.needs.heat import coldest_degc
from packdesign.planning.needs.upkeep import asks_for_life
from packdesign.planning.upkeep.aged_burst import AgedBurst
from packdesign.planning.upkeep.life import END_OF_LIFE_CAPACITY, LifeYear
from packdesign.planning.verdicts.judge import Check, at_least, at_most, spoken
from packdesign.planning.verdicts.verdict import Status, Verdict

__all__ = ["judge_carrying", "judge_life"]

_AGEING: Final = "calendar and cycle ageing from published closed forms and tables"


def judge_life(
    brief: Brief, design: PackDesign, loading: Loading, outcome: DischargeOutcome
) -> Iterator[Verdict]:
    """Judge the pack at the end of its service, where the brief tells of storage or uses.

    Parameters
    ----------
    brief : Brief
        The brief.
    design : PackDesign
        The pack.
    loading : Loading
        What is asked of it.
    outcome : DischargeOutcome
        What it does.

    Yields
    ------
    Verdict
        "aged_capacity", "aged_run_time" where a run time is wished for, "aged_start" where
        something on the pack has a least voltage.
    """
    if not asks_for_life(brief):
        return
    try:
        plan = upkeep_at_service_end(brief, design, loading, outcome)
    except OutOfRangeError as error:
        yield _unknown(str(error))
        return
    life = plan.life[0]
    yield from _capacity(life)
    wished_s = wished_run_time_s(brief, loading.demand)
    if wished_s is not None and life.run_time_fraction is not None:
        yield _run_time(life, outcome, wished_s=wished_s)
    if plan.bursts:
        yield _start(plan.bursts[0], life, coldest_degc=coldest_degc(brief))


def _unknown(why: str) -> Verdict:
    return Verdict(
        id="aged_capacity",
        status=Status.UNKNOWN,
        reason=f"How the pack ages is not known: {why}.",
        fix="Measure its capacity now and after half a year of use.",
        basis=Basis.ASSUMED,
        source=_AGEING,
    )


def _when(life: LifeYear) -> str:
    years = "a year" if life.years == 1 else f"{spoken(life.years)} years"
    return f"after {years} and {life.cycles:.0f} charges of {life.depth_fraction * 100:.0f} %"


def _capacity(life: LifeYear) -> Iterator[Verdict]:
    left = life.estimate.capacity_fraction
    if left is None:
        yield _unknown("no published figure covers these cells")
        return
    doubt = next(iter(life.estimate.cautions), "")
    judged = at_least(
        Check(
            id="aged_capacity",
            what=f"the share of its capacity that is left {_when(life)}",
            value=left,
            against="the share at which a pack is taken as worn",
            limit=END_OF_LIFE_CAPACITY,
            unit="",
            fix="Keep it half full and cool, charge it less high and more gently, or plan for a "
            "new pack in that time.",
            find_out="Measure its capacity after half a year of use.",
            basis=life.estimate.basis,
            source=_AGEING,
            may_stop=False,
        )
    )
    if doubt:
        said = f"{doubt[:1].upper()}{doubt[1:]}".rstrip(".")
        judged = replace(judged, reason=f"{judged.reason} {said}.")
    yield judged


def _run_time(life: LifeYear, outcome: DischargeOutcome, *, wished_s: float) -> Verdict:
    share, new_s = life.run_time_fraction, outcome.run_time_s
    known = Band.exact(1.0) if share is None else share
    aged_s = Band(known.low * new_s.low, known.mid * new_s.mid, known.high * new_s.high)
    return at_least(
        Check(
            id="aged_run_time",
            what=f"the run time {_when(life)}",
            value=aged_s,
            against="the time wished for",
            limit=wished_s,
            unit="s",
            fix="Choose more capacity now, or plan for a new pack in that time.",
            find_out="Say how long the device has to run.",
            basis=life.estimate.basis,
            source=f"{_AGEING}; run time in proportion to capacity",
            may_stop=False,
        )
    )


def _start(found: AgedBurst, life: LifeYear, *, coldest_degc: float) -> Verdict:
    """Whether the aged, nearly empty pack still carries its hardest moment on the coldest day."""
    tried_degc = found.coldest_degc
    holds = found.new_degc is None
    new = f"even at {tried_degc:.0f} degC" if holds else f"down to {found.new_degc:.0f} degC"
    if found.fails_everywhere:
        return Verdict(
            id="aged_start",
            status=Status.CAUTION,
            limit=coldest_degc,
            unit="degC",
            reason=f"Near empty, the pack carries its hardest moment {new} while new; "
            f"{found.sentence}.",
            fix="Choose cells of lower resistance, more of them, a softer start, or plan for a new "
            "pack in that time.",
            basis=life.estimate.basis,
            source=_AGEING,
        )
    resets_degc = tried_degc if found.aged_degc is None else found.aged_degc
    check = Check(
        id="aged_start",
        what="the temperature below which the aged pack, near empty, resets its device",
        value=resets_degc,
        against="the coldest day of use",
        limit=coldest_degc,
        unit="degC",
        fix="Choose cells of lower resistance, more of them, a softer start, or plan for a new "
        "pack in that time.",
        find_out="Say how cold it gets.",
        basis=life.estimate.basis,
        source=_AGEING,
        may_stop=False,
    )
    judged = at_most(check)
    story = f"Near empty, the pack carries its hardest moment {new} while new; {found.sentence}"
    if found.new_degc is None and found.aged_degc is None:
        story = f"Near empty, new or {_when(life)}, the pack carries its hardest moment {new}"
    return Verdict(
        id=judged.id,
        status=judged.status,
        value=judged.value,
        limit=judged.limit,
        unit=judged.unit,
        margin=None,
        reason=f"{story}; the coldest day is {spoken(coldest_degc, 'degC')}.",
        fix=judged.fix,
        basis=judged.basis,
        source=judged.source,
    )


def judge_carrying(brief: Brief, design: PackDesign) -> Iterator[Verdict]:
    """Say under which rules of transport the pack falls, where the brief tells how it travels.

    Parameters
    ----------
    brief : Brief
        The brief.
    design : PackDesign
        The pack.

    Yields
    ------
    Verdict
        "transport_class", in watt-hours, held against the limit of the passenger rules where they
        apply: not in the hand or the own car. What is forbidden is a hazard.
    """
    carrying = brief.carrying
    if carrying is None or carrying.mode == "none":
        return
    found = transport(
        battery_wh=design.energy_wh,
        cell_wh=design.energy_wh / (design.series * design.parallel),
        in_equipment=not carrying.spare,
        un38_3_tested=bool(carrying.tested_to_un38_3),
    )
    on_own_wheels = carrying.mode in (None, "hand", "car") and not carrying.flights
    yield Verdict(
        id="transport_class",
        status=Status.OK if on_own_wheels else Status.CAUTION,
        value=found.energy_wh,
        limit=None if on_own_wheels else FREE_WH,
        unit="Wh",
        margin=None if on_own_wheels else 1 - found.energy_wh / FREE_WH,
        reason=f"The pack counts as {found.cargo} with {spoken(found.energy_wh, 'Wh')}. "
        f"{found.notes[0] if carrying.tested_to_un38_3 else HOME_BUILT}",
        fix="" if on_own_wheels else found.notes[-1],
        basis=Basis.PUBLISHED,
        source=HOME_BUILT_SOURCE if not carrying.tested_to_un38_3 else "dated rules of carrying",
    )
