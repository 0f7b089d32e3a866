"""Every pack that could be built, pruned before anything is run; each cell that falls says why."""

from __future__ import annotations

import math
from collections.abc import Iterable, Iterator
from dataclasses import dataclass, field
from typing import Final

from packdesign.data.cells import Cell
from packdesign.engineering.discharge.datasheet_model import cell_mass_kg
from packdesign.planning.brief.schema import Brief
from packdesign.planning.brief.upkeep_sections import Preferences
from packdesign.planning.hazards.gate import gate
from packdesign.planning.needs.parts import board_of
from packdesign.planning.needs.situation import situation_of_brief
from packdesign.planning.shortlist.envelope import Envelope
from packdesign.planning.shortlist.need import Need
from packdesign.planning.shortlist.parts_changes import CHARGER_FAMILIES
from packdesign.planning.shortlist.record import Rejected, Stage, Trial
from packdesign.planning.shortlist.room_changes import shortfall_words
from packdesign.planning.shortlist.rooms import Rooms
from packdesign.planning.verdicts import board
from packdesign.planning.verdicts.verdict import Status, Verdict

__all__ = ["Search", "search"]

_GENEROUS: Final = 1.15
"""A pack whose rated energy, raised by this, is under what the mission takes is not run; the need
is that of a pack much like it, so a little grace is given. Own choice. [-]"""
_PLENTY: Final = 2.0
"""More cells in parallel than carry this many times the mission are not tried. Own choice. [-]"""
_MOST_PARALLEL_OPEN: Final = 20
"""Most in parallel that are looked at, whatever the room and the mission; own choice. [-]"""
_VOLT_SLACK: Final = 1e-3


@dataclass(slots=True)
class Search:
    """What a search found."""

    trials: list[Trial] = field(default_factory=list)
    """Packs worth running."""
    rejected: list[Rejected] = field(default_factory=list)
    """Cells of which no pack is."""
    considered: int = 0
    fit: int = 0


def search(
    brief: Brief, cells: Iterable[Cell], rooms: Rooms, envelope: Envelope, need: Need
) -> Search:
    """Find the packs worth running.

    Parameters
    ----------
    brief : Brief
        The brief, open.
    cells : iterable of Cell
        The cells.
    rooms : Rooms
        Answers of geometry.
    envelope : Envelope
        Voltages and counts allowed.
    need : Need
        What the mission takes.
    """
    found = Search()
    always = {each.id for each in gate(situation_of_brief(brief, None, series=None, parallel=None))}
    wished = brief.preferences or Preferences()
    heaviest_kg = wished.mass_max_kg or math.inf
    for cell in cells:
        found.considered += 1
        fallen = (
            _unwanted(brief, cell)
            or _wrong_voltage(cell, envelope)
            or _wrong_parts(brief, cell, envelope, rooms, always)
            or _no_room(cell, envelope, rooms)
        )
        if fallen is None:
            fallen = _try_counts(found, cell, rooms, envelope, need, heaviest_kg=heaviest_kg)
        if fallen is not None:
            found.rejected.append(fallen)
    return found


def _try_counts(
    found: Search,
    cell: Cell,
    rooms: Rooms,
    envelope: Envelope,
    need: Need,
    *,
    heaviest_kg: float,
) -> Rejected | None:
    """Add the packs of one cell that go in and hold enough; the reason where none does."""
    most = rooms.of(cell).most
    best: Trial | None = None
    lightest: Trial | None = None
    has_trial = False
    found.considered -= 1  # it was counted once as a cell; here its packs are counted
    for series in envelope.series_for(cell):
        room = most // series if math.isfinite(most) else math.inf
        for parallel in _parallels(cell, series, room, envelope, need):
            trial = Trial(cell=cell, series=series, parallel=parallel)
            found.considered += 1
            if trial.count > most:
                continue
            found.fit += 1
            if _mass_kg(trial) > heaviest_kg:
                lightest = lightest or trial
                continue
            if need.energy_wh and _energy_wh(trial) * _GENEROUS < need.energy_wh:
                if best is None or _energy_wh(trial) > _energy_wh(best):
                    best = trial
                continue
            found.trials.append(trial)
            has_trial = True
    if has_trial:
        return None
    if best is None:
        return None if lightest is None else _too_heavy(lightest, heaviest_kg=heaviest_kg)
    return _too_little(best, energy_wh=need.energy_wh or 0.0)


def _parallels(
    cell: Cell, series: int, room: float, envelope: Envelope, need: Need
) -> Iterable[int]:
    """Counts in parallel to look at: one at least, so that what does not go in is counted too."""
    most = room
    if envelope.most_parallel is not None:
        most = min(most, envelope.most_parallel)
    by_current = need.rms_w / (series * cell.nominal_v) / (cell.continuous_a or cell.capacity_ah)
    enough = max(math.ceil(_PLENTY * by_current), 1)
    if need.energy_wh:
        plenty = _PLENTY * need.energy_wh / (series * cell.capacity_ah * cell.nominal_v)
        most = min(most, max(math.ceil(plenty), enough))
    elif math.isinf(most):
        most = enough  # nothing asks for more: neither room nor time is set
    return range(1, int(min(max(most, 1), max(_MOST_PARALLEL_OPEN, 1))) + 1)


def _energy_wh(trial: Trial) -> float:
    return trial.count * trial.cell.capacity_ah * trial.cell.nominal_v


def _mass_kg(trial: Trial) -> float:
    """Mass of the bare cells, by their sheet or their size. [kg]"""
    return trial.count * cell_mass_kg(trial.cell)[0]


def _too_heavy(trial: Trial, *, heaviest_kg: float) -> Rejected:
    mass_g, most_g = _mass_kg(trial) * 1000.0, heaviest_kg * 1000.0
    return Rejected(
        cell=trial.cell,
        series=trial.series,
        parallel=trial.parallel,
        stage=Stage.PREFERENCE,
        limit="mass",
        reason=f"its cells alone weigh {mass_g:.0f} g; {most_g:.0f} g are wanted at most",
        over_fraction=mass_g / most_g - 1.0,
        change=f"a heaviest pack of {math.ceil(mass_g)} g",
        keys={"preferences.mass_max": f"{math.ceil(mass_g)} g"},
    )


def _too_little(trial: Trial, *, energy_wh: float) -> Rejected:
    held_wh = _energy_wh(trial)
    share = held_wh / energy_wh
    return Rejected(
        cell=trial.cell,
        series=trial.series,
        parallel=trial.parallel,
        stage=Stage.ENERGY,
        limit="energy",
        reason=(
            f"holds {held_wh:.1f} Wh at most in this room; the mission takes {energy_wh:.1f} "
            f"Wh, so it would end after {share * 100:.0f} % of it"
        ),
        over_fraction=1.0 - share,
    )


def _unwanted(brief: Brief, cell: Cell) -> Rejected | None:
    wished = brief.preferences or Preferences()
    name = cell.name.casefold()
    reason = ""
    if wished.families and cell.family.value not in wished.families:
        reason = f"its chemistry ({cell.family.value}) is not among those wanted"
    elif wished.forms and cell.form.value not in wished.forms:
        reason = f"its form ({cell.form.value}) is not among those wanted"
    elif wished.only_cells and name not in {each.casefold() for each in wished.only_cells}:
        reason = "it is not among the cells wanted"
    elif name in {each.casefold() for each in wished.never_cells}:
        reason = "it is among the cells that are never wanted"
    if not reason:
        return None
    return Rejected(
        cell=cell, series=None, parallel=None, stage=Stage.PREFERENCE, limit="preference",
        reason=reason,
    )  # fmt: skip


def _wrong_voltage(cell: Cell, envelope: Envelope) -> Rejected | None:
    if envelope.series_for(cell):
        return None
    fixed = f" ({envelope.series_from} fixes the count)" if envelope.series_from else ""
    most = envelope.most_series
    if math.isfinite(envelope.highest_v):
        most = min(most, int(envelope.highest_v // cell.full_v))
    if most < envelope.least_series:
        series = envelope.least_series
        over_v = series * cell.full_v - envelope.highest_v
        return Rejected(
            cell=cell,
            series=series,
            parallel=1,
            stage=Stage.VOLTAGE,
            limit="voltage_max",
            reason=(
                f"{series} in series{fixed} are full at {series * cell.full_v:.1f} V, "
                f"{over_v:.1f} V over what {envelope.highest_device} bears "
                f"({envelope.highest_v:.1f} V)"
            ),
            over_fraction=over_v / envelope.highest_v,
        )
    short_v = envelope.lowest_v - most * cell.nominal_v
    return Rejected(
        cell=cell,
        series=most,
        parallel=1,
        stage=Stage.VOLTAGE,
        limit="voltage_min",
        reason=(
            f"{most} in series{fixed} hold {most * cell.nominal_v:.1f} V, {short_v:.1f} V under "
            f"what {envelope.lowest_device} needs ({envelope.lowest_v:.1f} V)"
        ),
        over_fraction=short_v / envelope.lowest_v,
    )


def _wrong_parts(
    brief: Brief, cell: Cell, envelope: Envelope, rooms: Rooms, always: set[str]
) -> Rejected | None:
    """Hold the charger and the dangers that come with this cell against it."""
    series = envelope.series_for(cell)[0]
    charger = brief.charger
    end_v = charger.end_voltage_per_cell_v if charger is not None else None
    if end_v is not None and end_v > cell.full_v + _VOLT_SLACK:
        return Rejected(
            cell=cell,
            series=series,
            parallel=1,
            stage=Stage.PARTS,
            limit="charge_voltage",
            reason=(
                f"the charger ends at {end_v:g} V per cell, {end_v - cell.full_v:.2f} V over its "
                f"{cell.full_v:g} V"
            ),
            over_fraction=end_v / cell.full_v - 1.0,
        )
    if charger is not None and not _suits(charger.chemistry, cell):
        return Rejected(
            cell=cell,
            series=series,
            parallel=1,
            stage=Stage.PARTS,
            limit="charger_chemistry",
            reason=f"the charger is set for {charger.chemistry}; the cell is {cell.family.value}",
        )
    stop = _part_or_danger(brief, cell, series=series, parallel=1, spare=always)
    if stop is None:
        return None
    parallel = _most_in_parallel(cell, series, envelope, rooms)
    if parallel > 1:  # a current too high for one cell may suit several
        stop = _part_or_danger(brief, cell, series=series, parallel=parallel, spare=always)
    if stop is None:
        return None
    return Rejected(
        cell=cell,
        series=series,
        parallel=parallel,
        stage=Stage.PARTS,
        limit=stop.id,
        reason=stop.reason.rstrip("."),
        over_fraction=None if stop.margin is None else max(-stop.margin, 0.0),
        change=stop.fix,
    )


def _part_or_danger(
    brief: Brief, cell: Cell, *, series: int, parallel: int, spare: set[str]
) -> Verdict | None:
    """Give the first stop that a pack brings with it, beyond those of every pack."""
    situation = situation_of_brief(brief, cell, series=series, parallel=parallel)
    stops = (
        verdict
        for verdict in (*_board_verdicts(brief, cell), *gate(situation))
        if verdict.status is Status.STOP and verdict.id not in spare
    )
    return next(stops, None)


def _most_in_parallel(cell: Cell, series: int, envelope: Envelope, rooms: Rooms) -> int:
    """Most in parallel that the room and the brief allow; one where not even that goes in."""
    most = rooms.of(cell).most
    room = most // series if math.isfinite(most) else _MOST_PARALLEL_OPEN
    return max(int(min(room, envelope.most_parallel or room, _MOST_PARALLEL_OPEN)), 1)


def _board_verdicts(brief: Brief, cell: Cell) -> Iterator[Verdict]:
    """Hold the trips of the board against the voltages of a cell."""
    section = board_of(brief.pack)
    if section is None or section.kind != "board":
        return
    yield board.board_overcharge(trip_v=section.overcharge_trip_v, cell_full_v=cell.full_v)
    yield board.board_undervoltage(trip_v=section.undervoltage_trip_v, cell_cutoff_v=cell.cutoff_v)


def _suits(chemistry: str | None, cell: Cell) -> bool:
    wanted = CHARGER_FAMILIES.get(chemistry or "unknown")
    return wanted is None or cell.family in wanted


def _no_room(cell: Cell, envelope: Envelope, rooms: Rooms) -> Rejected | None:
    room = rooms.of(cell)
    fewest = min(envelope.series_for(cell))
    if room.most >= fewest:
        return None
    if room.problem:
        reason = f"nobody knows whether it fits: {room.problem}"
    elif room.most == 0:
        reason = "not one goes into the cavity"
    else:
        cells = "one goes" if room.most == 1 else f"{room.most:.0f} go"
        reason = f"only {cells} into the cavity; {fewest} in series are needed"
    over_fraction = (fewest - room.most) / fewest
    missing_m = rooms.nearest_m(cell, series=fewest)
    if missing_m:
        over_fraction = sum(
            missing / getattr(rooms.cavity, f"{name}_m") for name, missing in missing_m.items()
        )
        who = "it is" if fewest == 1 else f"{fewest} of them at best are"
        reason += f", and {who} {shortfall_words(missing_m)}"
    return Rejected(
        cell=cell,
        series=fewest,
        parallel=1,
        stage=Stage.ROOM,
        limit="room",
        reason=reason,
        over_fraction=over_fraction,
    )
