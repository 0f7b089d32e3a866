"""The brief as a whole: every section, and what the sections must agree on between them.

What is merely dangerous is no error here: the hazard gate judges it. An error is what cannot be
meant: an action for a motor that does not exist, a ramp longer than the action it begins.
"""

from __future__ import annotations

from collections.abc import Iterable

from pydantic import model_validator

from packdesign.foundation.errors import nearest_names
from packdesign.planning.brief.charge_sections import Charger, Monitor
from packdesign.planning.brief.incident_sections import Incident, Retirement
from packdesign.planning.brief.keys import entry
from packdesign.planning.brief.load_sections import DIRECT, Lights, Load, Rail
from packdesign.planning.brief.mission_sections import Action, DemandLog, Mission, Start
from packdesign.planning.brief.motor import Motor
from packdesign.planning.brief.pack_section import Pack
from packdesign.planning.brief.place_sections import Cavity, Surroundings
from packdesign.planning.brief.section import FilePath, Section, Text, reject
from packdesign.planning.brief.upkeep_sections import Carrying, Measured, Preferences, Storage

__all__ = ["Brief"]


class Brief(Section):
    """What a builder needs and knows. Every part may be missing."""

    title: Text | None = entry("a name for the sheet", example="my device")
    notes: Text | None = entry("anything worth keeping with it", example="first try")
    cell_table: FilePath | None = entry(
        "CSV with your own cells, same columns as the shipped table", example="my_cells.csv"
    )
    pack: Pack | None = entry("the pack, as far as it is settled; left out: the shortlist chooses")
    cavity: Cavity | None = entry("the room for it; left out: free air, anything fits")
    surroundings: Surroundings | None = entry("air, hand, wall and water around it")
    motor: Motor | None = entry("the motor; write [[motors]] for several")
    motors: tuple[Motor, ...] = entry("several different motors", default=())
    rails: tuple[Rail, ...] = entry("regulators and the voltages they make", default=())
    loads: tuple[Load, ...] = entry("devices that draw watts or amps", default=())
    lights: tuple[Lights, ...] = entry("lights", default=())
    mission: Mission | None = entry("what one use is, and for how long")
    load: DemandLog | None = entry("a measured log instead of motors and a mission")
    start: Start | None = entry("the pack when the device is switched on")
    charger: Charger | None = entry("what charges it; left out: the cell's standard charge")
    monitor: Monitor | None = entry("how the device watches its pack")
    measured: Measured | None = entry("figures read from this very pack")
    preferences: Preferences | None = entry("what the shortlist should favour")
    storage: Storage | None = entry("between uses, and over the years")
    carrying: Carrying | None = entry("how it travels")
    retirement: Retirement | None = entry("what becomes of it in the end")
    incident: Incident | None = entry("what has gone wrong with it already")

    @property
    def all_motors(self) -> tuple[Motor, ...]:
        """Every motor, whether written as ``[motor]`` or ``[[motors]]``, with its sheet."""
        written = ((self.motor,) if self.motor is not None else ()) + self.motors
        return tuple(motor.with_its_sheet() for motor in written)

    @property
    def all_loads(self) -> tuple[Load | Lights, ...]:
        """Every load and every light."""
        return (*self.loads, *self.lights)

    @property
    def log_given(self) -> bool:
        """Whether a measured log stands for the demand."""
        return self.load is not None and self.load.log is not None

    @model_validator(mode="after")
    def _agrees(self) -> Brief:
        _is_unique("motors", (motor.name for motor in self.all_motors))
        _is_unique("rails", (rail.name for rail in self.rails))
        _is_unique("loads and lights", (load.name for load in self.all_loads))
        self._names_its_demand_once()
        self._names_rails_that_exist()
        self._names_motors_that_exist()
        self._ramps_fit_their_actions()
        return self

    def _names_its_demand_once(self) -> None:
        if not self.log_given:
            return
        mission = self.mission
        told = mission is not None and bool(mission.actions or mission.modes)
        others = [name for name in ("motor", "motors", "loads", "lights") if getattr(self, name)]
        if told or others:
            also = " and ".join([*(["mission"] if told else []), *others])
            reject(f"[load] log already says what the pack gives; remove it or remove {also}")

    def _names_rails_that_exist(self) -> None:
        known = [DIRECT, *(rail.name for rail in self.rails)]
        for user in self.all_loads:
            _exists("rail", user.rail, known, where=f"'{user.name}'")
        for position, rail in enumerate(self.rails):
            before = [DIRECT, *(other.name for other in self.rails[:position])]
            _exists("rail before it", rail.fed_by, before, where=f"fed_by of rail '{rail.name}'")

    def _names_motors_that_exist(self) -> None:
        if self.mission is None:
            return
        motors = [motor.name for motor in self.all_motors]
        users = [load.name for load in self.all_loads]
        for action in self.mission.actions:
            _exists("motor", action.motor, motors, where=f"the action '{action.do}'")
            if action.do not in ("rest", "hold") and not motors:
                reject(f"the action '{action.do}' needs a motor, and there is none")
            for name in action.loads_off:
                _exists("load or light", name, users, where=f"the action '{action.do}'")
        for mode in self.mission.modes:
            _exists("motor", mode.motor, motors, where=f"the mode '{mode.name}'")
            for name in mode.loads_off:
                _exists("load or light", name, users, where=f"the mode '{mode.name}'")

    def _ramps_fit_their_actions(self) -> None:
        if self.mission is None:
            return
        for action in self.mission.actions:
            for motor in self.all_motors:
                if action.motor in (None, motor.name):
                    _ramp_fits(motor, action)


def _ramp_fits(motor: Motor, action: Action) -> None:
    drive, duration_s = motor.drive, action.duration_s
    if drive is None or duration_s is None:
        return
    ramps = {"start": ("ramp_up", drive.ramp_up_s), "reverse": ("ramp_up", drive.ramp_up_s),
             "brake": ("ramp_down", drive.ramp_down_s)}  # fmt: skip
    key, ramp_s = ramps.get(action.do, ("", None))
    if ramp_s is not None and ramp_s > duration_s:
        reject(
            f"{key} of motor '{motor.name}' takes {ramp_s:g} s, longer than the action "
            f"'{action.do}' of {duration_s:g} s"
        )


def _is_unique(what: str, names: Iterable[str]) -> None:
    seen: set[str] = set()
    for name in names:
        if name in seen:
            reject(f"two of the {what} are named '{name}'; give each its own name")
        seen.add(name)


def _exists(what: str, name: str | None, known: list[str], *, where: str) -> None:
    if name is None or name in known:
        return
    offer = nearest_names(name, known) or tuple(known)
    there = f"; there is: {', '.join(offer)}" if offer else ", and none at all"
    reject(f"{where} names '{name}', but there is no {what} of that name{there}")
