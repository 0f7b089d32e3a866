"""The short circuits that a fuse must live up to: the hardest of a full pack, the weakest left.

The hardest sits right behind the fuse: full, new and as hot as the cells get, all at the low end of
its resistance. The weakest lies at the far end of the leads, cold, nearly empty and at the end of
its service, all at the high end.
"""

from __future__ import annotations

from dataclasses import dataclass, replace
from typing import Final

from packdesign.engineering.discharge.run import PackModel
from packdesign.engineering.electrical.fuse import ShortCircuit, short_circuit_a
from packdesign.engineering.electrical.pack_path import PackPath
from packdesign.foundation.basis import TWO_SIDED_90
from packdesign.planning.assess.design import PackDesign
from packdesign.planning.assess.discharge import DischargeOutcome
from packdesign.planning.assess.loading import Loading
from packdesign.planning.assess.service_end import wear_at_service_end
from packdesign.planning.assess.worn_cells import as_worn
from packdesign.planning.brief.schema import Brief
from packdesign.planning.needs.heat import coldest_degc, hottest_day_k
from packdesign.planning.needs.upkeep import asks_for_life, service_years
from packdesign.planning.upkeep.life import END_OF_LIFE_RESISTANCE
from packdesign.planning.verdicts.judge import spoken

__all__ = ["PackShort", "hardest_short_a", "short_circuit_of"]

_LEFT: Final = 0.1
"""Most that is taken as left in the pack of the weakest short, of what the cold leaves within
reach; less where the device runs on below it: own choice. [-]"""
_OFF_THE_CHARGER_DEGC: Final = 25.0
"""A full pack is no colder than the room in which it was charged: own choice. [degC]"""
_ROUNDS: Final = 40
_LEAST_SHARE: Final = 0.3
"""Least resistance relative to the likely, however wide its spread; as for the bands. [-]"""
_UNTIL_THE_FUSE: Final = ("strips", "joints", "fuse")
"""Parts of the path that lie before the far side of the fuse."""


@dataclass(frozen=True, slots=True, kw_only=True)
class PackShort:
    """Both ends, with what they were taken at."""

    current: ShortCircuit
    hardest: str
    """Conditions of the hardest, as a sentence."""
    weakest: str


def short_circuit_of(
    brief: Brief,
    design: PackDesign,
    loading: Loading,
    outcome: DischargeOutcome,
    *,
    own_stop_s: float | None = None,
) -> PackShort:
    """Find the weakest and the hardest short circuit of a pack.

    Parameters
    ----------
    brief : Brief
        The brief: hottest and coldest day, years of service.
    design : PackDesign
        The pack.
    loading : Loading
        What is asked of it.
    outcome : DischargeOutcome
        What it does.
    own_stop_s : float or None
        When the device stops by itself; None: not before the pack. [s]

    Notes
    -----
    Current and resistance go together, for charge transfer shrinks with the current; both are found
    for each other. Instant resistance at both ends: in the seconds that a weak short lasts, cells
    relax and warm by kelvins a second, which undo each other; own choice.
    """
    hard_a, hard_degc = _hardest(brief, design, outcome)
    cold_degc = coldest_degc(brief)
    share = min(_LEFT, _left_at_the_end(outcome, own_stop_s=own_stop_s))
    worn, age = _worn(brief, design, loading, outcome)
    soc = worn.cell.soc_within_reach(share, temperature_degc=cold_degc)
    open_v = worn.series * worn.cell.ocv_at(soc, temperature_degc=cold_degc)
    weak_a = _dead_short_a(
        worn,
        soc=soc,
        degc=cold_degc,
        open_v=open_v,
        factor=1.0 + _spread(worn, degc=cold_degc),
        path_ohm=design.path.ohm.high,
    )
    weak_v = min(open_v, design.full_v)
    hard_ohm = design.full_v / hard_a
    return PackShort(
        current=short_circuit_a(
            lowest_v=weak_v,
            highest_v=design.full_v,
            highest_ohm=max(weak_v / weak_a, hard_ohm),
            lowest_ohm=hard_ohm,
        ),
        hardest=f"Hardest case: full, cells at {spoken(hard_degc, 'degC')}, the short right behind "
        "the fuse, resistances at the low end of their band.",
        weakest=f"Weakest case: {100 * share:.0f} % left, cells at {spoken(cold_degc, 'degC')}"
        f"{age}, through the leads, resistances at the high end of their band.",
    )


def hardest_short_a(brief: Brief, design: PackDesign, outcome: DischargeOutcome) -> float:
    """Give the largest current into a short circuit right behind the fuse. [A]

    Parameters
    ----------
    brief : Brief
        The brief.
    design : PackDesign
        The pack.
    outcome : DischargeOutcome
        What it does, for how hot the cells get.
    """
    return _hardest(brief, design, outcome)[0]


def _hardest(brief: Brief, design: PackDesign, outcome: DischargeOutcome) -> tuple[float, float]:
    """Current and cell temperature of the hardest short circuit. [A], [degC]"""
    degc = max(outcome.peak_cell_degc.mid + hottest_day_k(brief), _OFF_THE_CHARGER_DEGC)
    current_a = _dead_short_a(
        design.model,
        soc=1.0,
        degc=degc,
        open_v=design.full_v,
        factor=max(1.0 - _spread(design.model, degc=degc), _LEAST_SHARE),
        path_ohm=_before_the_fuse_ohm(design.path),
    )
    return current_a, degc


def _before_the_fuse_ohm(path: PackPath) -> float:
    """Low end of what a short behind the fuse runs through beside the cells. [ohm]"""
    near = tuple(each for each in path.parts if each.name.startswith(_UNTIL_THE_FUSE))
    return max(replace(path, parts=near).ohm.low, 0.0)


def _dead_short_a(
    pack: PackModel, *, soc: float, degc: float, open_v: float, factor: float, path_ohm: float
) -> float:
    """Current at which all the open voltage is lost inside; cell resistance times ``factor``. [A]

    Settles, for the loss in the cells rises with the current even where their resistance falls.
    """
    scale = factor * pack.series / pack.parallel
    current_a = pack.capacity_ah
    for _ in range(_ROUNDS):
        cell_ohm = pack.cell.instant_ohm(
            soc=soc, temperature_degc=degc, current_a=current_a / pack.parallel
        )
        current_a = open_v / (cell_ohm * scale + path_ohm)
    return current_a


def _spread(pack: PackModel, *, degc: float) -> float:
    """Half the width of the band of 90 % of the resistance, relative to its middle. [-]"""
    return TWO_SIDED_90 * pack.cell.spread.resistance_fraction_at(degc)


def _left_at_the_end(outcome: DischargeOutcome, *, own_stop_s: float | None) -> float:
    """Charge left when the device stops, by itself or with its pack. [-]"""
    soc = outcome.trace.soc
    if own_stop_s is None:
        return max(float(soc[-1]), 0.0)
    return max(float(soc[outcome.trace.time_s <= own_stop_s][-1]), 0.0)


def _worn(
    brief: Brief, design: PackDesign, loading: Loading, outcome: DischargeOutcome
) -> tuple[PackModel, str]:
    """Give the pack at the end of its service, where the brief tells of one, and its age."""
    pack = design.model
    if not asks_for_life(brief):
        return pack, ""
    age = f" and {spoken(service_years(brief), digits=2)} years old"
    wear = wear_at_service_end(brief, design, loading, outcome)
    if wear is None:
        cell = pack.cell.aged(capacity_fraction=1.0, resistance_factor=END_OF_LIFE_RESISTANCE)
        return replace(pack, cell=cell), age
    return replace(pack, cell=as_worn(pack.cell, wear)), age
