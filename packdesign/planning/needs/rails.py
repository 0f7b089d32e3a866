"""Regulators, loads and lights of a brief, as one tree on the battery."""

from __future__ import annotations

from typing import Final

from packdesign.data.regulators import Regulator as RegulatorPart
from packdesign.engineering.demand.loads import (
    RailLoad,
    light_strip,
    light_watts,
    pixel_lights,
)
from packdesign.engineering.demand.rail_tree import Rail, RailTree
from packdesign.engineering.demand.rails import Draw, Regulator, RegulatorKind
from packdesign.foundation.basis import Basis
from packdesign.planning.brief.load_sections import Lights, Load
from packdesign.planning.brief.load_sections import Rail as RailSection
from packdesign.planning.brief.schema import Brief
from packdesign.planning.needs.assumptions import rail_output_v
from packdesign.planning.needs.parts import regulator_part

__all__ = ["rail_off_a", "rail_tree_of"]

_DEFAULT_EFFICIENCY: Final = 0.85
"""Small switching regulators reach 0.80 to 0.95 near half load: sheets of the regulator table."""
_AT_HALF_LOAD: Final = 0.5


def rail_tree_of(brief: Brief) -> RailTree:
    """Give all rails and what hangs on them; drivers at rest count as loads on the battery.

    How much a regulator can give is left out here: too much asked of it is a verdict, and the
    battery must carry it all the same.

    Parameters
    ----------
    brief : Brief
        The brief.

    """
    rails = tuple(_rail(section) for section in brief.rails)
    loads = [_load(section) for section in brief.loads]
    loads += [_lights(section) for section in brief.lights]
    for motor in brief.all_motors:
        if motor.drive is not None and motor.drive.idle_current_a:
            idle = Draw(current_a=motor.drive.idle_current_a * motor.count)
            loads.append(RailLoad(name=f"driver of {motor.name}", mean=idle, peak=idle))
    return RailTree(rails=rails, loads=tuple(loads))


def rail_off_a(section: RailSection) -> float | None:
    """Give what a regulator takes while switched off: stated, else printed, else not known. [A]

    Parameters
    ----------
    section : Rail
        The rail.
    """
    return _first(section.off_current_a, _printed(regulator_part(section), "shutdown_a"))


def _rail(section: RailSection) -> Rail:
    output_v, _ = rail_output_v(section)
    part = regulator_part(section)
    points = tuple(
        sorted((point.current_a or 0.0, point.efficiency_fraction or 0.0)
               for point in section.efficiency_points)
    )  # fmt: skip
    kind = RegulatorKind(section.kind)
    if not points and kind is not RegulatorKind.LINEAR:
        at_a = _AT_HALF_LOAD * (section.max_output_a or 1.0)
        printed = None if part is None else part.efficiency_fraction
        points = ((at_a, section.efficiency_fraction or printed or _DEFAULT_EFFICIENCY),)
    return Rail(
        name=section.name,
        fed_by=section.fed_by,
        regulator=Regulator(
            name=section.name,
            kind=kind,
            output_v=output_v,
            lowest_input_v=_first(section.min_input_v, _printed(part, "input_min_v")),
            highest_input_v=_first(section.max_input_v, _printed(part, "input_max_v")),
            dropout_v=_first(section.dropout_v, _printed(part, "dropout_v")) or 0.0,
            efficiency_points=points,
            quiescent_a=_first(section.quiescent_a, _printed(part, "quiescent_a")) or 0.0,
            basis=Basis.DATASHEET if section.efficiency_fraction else Basis.ASSUMED,
        ),
    )


def _printed(part: RegulatorPart | None, field: str) -> float | None:
    found: float | None = None if part is None else getattr(part, field)
    return found


def _first(stated: float | None, printed: float | None) -> float | None:
    return printed if stated is None else stated


def _load(section: Load) -> RailLoad:
    on = Draw(
        current_a=(section.current_a or 0.0) * section.count,
        power_w=(section.power_w or 0.0) * section.count,
    )
    mean = Draw(
        current_a=on.current_a * section.duty_fraction, power_w=on.power_w * section.duty_fraction
    )
    peak = on
    if section.burst_power_w and section.burst_duration_s and section.burst_period_s:
        share = section.burst_duration_s / section.burst_period_s
        burst_w = section.burst_power_w * section.count
        peak = Draw(power_w=max(burst_w, on.power_w), current_a=on.current_a)
        mean = Draw(
            current_a=mean.current_a * (1 - share),
            power_w=mean.power_w * (1 - share) + burst_w * share,
        )
    return RailLoad(
        name=section.name, rail=section.rail, mean=mean, peak=peak, lowest_v=section.min_v or 0.0
    )


def _lights(section: Lights) -> RailLoad:
    if section.pixels is not None:
        given = {
            "full_white_a": section.pixel_full_white_a,
            "dark_a": section.pixel_idle_a,
            "typical_fraction": section.typical_fraction,
        }
        return pixel_lights(
            name=section.name,
            pixels=section.pixels,
            rail=section.rail,
            on_fraction=section.duty_fraction,
            **{name: value for name, value in given.items() if value is not None},
        )
    if section.strip_w_per_m is not None:
        return light_strip(
            name=section.name,
            power_w_per_m=section.strip_w_per_m,
            length_m=section.strip_length_m or 0.0,
            rail=section.rail,
            on_fraction=section.duty_fraction,
        )
    return light_watts(
        name=section.name,
        power_w=section.power_w or 0.0,
        rail=section.rail,
        on_fraction=section.duty_fraction,
    )
