"""From a pack in its cavity to the `ThermalPath` of the cell that cools worst.

Heat goes from the cell to its sleeve, across the gap (conduction through still air and radiation)
to the wall, through it, and off its outside by natural convection and radiation; in the open it
leaves the sleeve directly. All cells make the same heat, so they share the outside equally; a cell
that does not face the wall must also pass its heat through its neighbours.
"""

from __future__ import annotations

import math
from dataclasses import dataclass, replace
from typing import Final

import numpy as np

from packdesign.engineering.electrical.conductors import wire_area_m2, wire_diameter_m
from packdesign.engineering.thermal.air import air_at
from packdesign.engineering.thermal.cavity_case import CavityHeatCase, Enclosure
from packdesign.engineering.thermal.convection import (
    Body,
    Shape,
    film_table_w_per_m2_k,
)
from packdesign.engineering.thermal.forced import forced_film_w_per_m2_k, mixed_film_w_per_m2_k
from packdesign.engineering.thermal.path import ThermalPath
from packdesign.engineering.thermal.radiation import finish, radiation_w_per_m2_k
from packdesign.engineering.thermal.walls import CavityWall, wall_material
from packdesign.foundation.basis import Basis
from packdesign.foundation.errors import OutOfRangeError

__all__ = ["HeatStep", "heat_steps", "thermal_path"]

_SLEEVE_M: Final = 1e-4  # cell wrap, about 0.1 mm, common practice
_SLEEVE_FINISH: Final = "vinyl tape"
_SLEEVE_J_PER_M3_K: Final = 1.3e6  # PVC, from memory
_COPPER_W_PER_M_K: Final = 390.0  # from memory
_LEAD_SLEEVE_M: Final = 8e-4  # insulation of a lead, 0.8 mm wall, from memory
_SPREAD_FRACTION: Final = {"open": 0.25, "mesh": 0.4, "sealed": 0.25, "vented": 0.5}
_SPREAD_HELD_FRACTION: Final = 0.4
_SPREAD_GIVEN_FRACTION: Final = 0.1
_SPREAD_WIND_FRACTION: Final = 0.4
_PROBE: Final = 1.1
"""Ratio of two rises between which the growth of the loss is read. [-]"""


@dataclass(frozen=True, slots=True, kw_only=True)
class HeatStep:
    """One stretch of the way of the heat."""

    name: str
    w_per_k: float
    """Conductance per cell. [W/K]"""
    basis: Basis


def thermal_path(case: CavityHeatCase) -> ThermalPath:
    """Reduce a pack in its cavity to the two-node path of its worst-cooled cell.

    Parameters
    ----------
    case : CavityHeatCase
        Cells, cavity, surroundings.

    Returns
    -------
    ThermalPath
        The surface is the sleeve of a cell in the open, the outside of the wall otherwise.

    Raises
    ------
    UnknownNameError
        If a material or finish is unknown.

    Notes
    -----
    Steps in series; see `heat_steps`. The hand is a cover that lets no heat through: the skin can
    carry some away, but a glove or a cloth does not, and a hand is warm. A measured loss stands for
    everything between the surface of the cell and the air, and grows with the rise as the computed
    one would.

    Examples
    --------
    An 18650 lying in free air:

    >>> from packdesign.engineering.thermal.cell_body import CellBody
    >>> cell = CellBody(length_m=0.065, diameter_m=0.0186)
    >>> path = thermal_path(CavityHeatCase(cell=cell, cell_count=1))
    >>> round(path.surface_to_air_w_per_k, 3)
    0.053
    """
    steps = heat_steps(case)
    inside = 1 / sum(1 / step.w_per_k for step in steps[:-1])
    return ThermalPath(
        cell_to_surface_w_per_k=inside,
        surface_to_air_w_per_k=steps[-1].w_per_k,
        buoyant_fraction=_buoyant_fraction(case),
        surface_j_per_k=_surface_j_per_k(case),
        spread_fraction=_spread_fraction(case),
        basis=steps[-1].basis,
    )


def heat_steps(case: CavityHeatCase) -> tuple[HeatStep, ...]:
    r"""List the stretches of the way of the heat, from the cell outwards, per cell.

    Parameters
    ----------
    case : CavityHeatCase
        Cells, cavity, surroundings.

    Returns
    -------
    tuple of HeatStep
        In series; the last one ends in the air.

    Raises
    ------
    UnknownNameError
        If a material or finish is unknown.

    Notes
    -----
    Gap: still air conducts over the mean gap; convection inside it is left out, which is right
    below some 6 mm. Neighbours: two parallel cylinders at spacing w, shape factor
    :math:`2 \pi L / \operatorname{arcosh}(2 (w/d)^2 - 1)` (Incropera, table 4.1, from memory); m
    cells deep the inner heat passes 1 + 2 + ... + m times.

    Examples
    --------
    >>> from packdesign.engineering.thermal.cell_body import CellBody
    >>> cell = CellBody(length_m=0.065, diameter_m=0.0186)
    >>> [step.name for step in heat_steps(CavityHeatCase(cell=cell, cell_count=1))]
    ['inside the cell', 'cell surface to air']
    """
    core = HeatStep(
        name="inside the cell", w_per_k=case.cell.to_surface_w_per_k.mid, basis=Basis.ASSUMED
    )
    steps = [core]
    if case.heat_loss_w_per_k is not None:
        given = case.heat_loss_w_per_k
        return (core, HeatStep(name="as given", w_per_k=given, basis=Basis.MEASURED))
    if case.cells_to_wall:
        depth = case.cells_to_wall * (case.cells_to_wall + 1) / 2
        through = _between_cells_w_per_k(case) * max(case.neighbours, 1) / depth
        steps.append(
            HeatStep(name="through its neighbours", w_per_k=through, basis=Basis.PUBLISHED)
        )
    basis = Basis.PUBLISHED
    if case.held_fraction or case.enclosure in (Enclosure.VENTED, Enclosure.MESH):
        basis = Basis.ASSUMED
    if case.wall is None or case.enclosure in (Enclosure.OPEN, Enclosure.MESH):
        name = "cell surface to air"
        return (*steps, HeatStep(name=name, w_per_k=_open_w_per_k(case), basis=basis))
    share = 1 / case.cell_count
    wall_basis = wall_material(case.wall.material).basis
    return (
        *steps,
        HeatStep(name="gap to the wall", w_per_k=_gap_w_per_k(case, case.wall), basis=basis),
        HeatStep(
            name="through the wall", w_per_k=case.wall.through_w_per_k * share, basis=wall_basis
        ),
        HeatStep(
            name="wall to air", w_per_k=_outside_w_per_k(case, case.wall) * share, basis=basis
        ),
    )


def _open_w_per_k(case: CavityHeatCase) -> float:
    """Cell surface to free air: its free side, its ends, its share of the two leads."""
    cell = case.cell
    cluster_m = cell.across_m * math.sqrt(case.cells_in_section)
    if not cell.is_round:
        body = Body(shape=Shape.VERTICAL_PLATE, length_m=cell.width_m or cluster_m)
    elif case.is_upright:
        body = Body(shape=Shape.VERTICAL_CYLINDER, length_m=cell.length_m, diameter_m=cluster_m)
    else:
        body = Body(shape=Shape.HORIZONTAL_CYLINDER, length_m=cluster_m)
    film = _film(
        case, body, emissivity=finish(_SLEEVE_FINISH).emissivity.mid, along_m=cell.length_m
    )
    area = case.facing_fraction * cell.side_m2 + 2 * cell.section_m2
    loss = film * area * (1 - case.held_fraction)
    if case.lead_awg is not None:
        loss += 2 * _lead_fin_w_per_k(case.lead_awg, film) / case.cell_count
    return loss


def _outside_w_per_k(case: CavityHeatCase, wall: CavityWall) -> float:
    """Outside of the wall to air, all cells together, with the wall beyond as a fin."""
    material = wall_material(wall.material)
    emissivity = finish(wall.finish or material.finish).emissivity.mid
    along_m = max(wall.length_m + wall.beyond_m, wall.inner_width_m, wall.inner_height_m or 0.0)
    faces = [
        (_film(case, body, emissivity=emissivity, along_m=along_m), area)
        for body, area in wall.outer_faces()
    ]
    beside = sum(film * area for film, area in faces)
    mean_film = beside / sum(area for _, area in faces)
    beyond = 2 * _fin_w_per_k(
        film_w_per_m2_k=mean_film,
        perimeter_m=wall.outer_perimeter_m,
        metal_w_per_m_k_m2=material.conductivity_w_per_m_k.mid * wall.metal_area_m2,
        length_m=wall.beyond_m / 2,
    )
    return (beside + beyond) * (1 - case.held_fraction)


def _gap_w_per_k(case: CavityHeatCase, wall: CavityWall) -> float:
    """Cell surface to the inside of the wall, per cell."""
    cell = case.cell
    gap = case.mean_gap_m
    if gap is None:
        seen = case.cells_in_section * case.facing_fraction * cell.side_perimeter_m
        room = wall.inner_area_m2 - case.cells_in_section * cell.section_m2
        gap = 2 * room / (wall.inner_perimeter_m + seen)
    if gap <= 0:
        msg = (
            f"the cells leave no gap to the wall ({gap * 1000:.2f} mm); they do not fit, or "
            "give mean_gap_m"
        )
        raise OutOfRangeError(msg)
    warm = case.ambient_degc + case.expected_rise_k
    filler = case.gap_w_per_m_k or air_at(film_degc=warm).conductivity_w_per_m_k
    film = filler / gap
    if case.gap_w_per_m_k is None:
        sleeve = finish(_SLEEVE_FINISH).emissivity.mid
        inner = finish(wall_material(wall.material).finish).emissivity.mid
        both = 1 / (1 / sleeve + 1 / inner - 1)
        film += radiation_w_per_m2_k(emissivity=both, surface_degc=warm + 5, surroundings_degc=warm)
    return film * case.facing_fraction * cell.side_m2


def _between_cells_w_per_k(case: CavityHeatCase) -> float:
    """One cell to one touching neighbour through the air between their sides."""
    cell = case.cell
    air = air_at(film_degc=case.ambient_degc + case.expected_rise_k).conductivity_w_per_m_k
    if not cell.is_round:
        return air * (cell.width_m or 0.0) * cell.length_m / case.cell_gap_m
    spacing = 1 + case.cell_gap_m / cell.across_m
    return air * 2 * math.pi * cell.length_m / math.acosh(2 * spacing**2 - 1)


def _film(case: CavityHeatCase, body: Body, *, emissivity: float, along_m: float) -> float:
    """Convection and radiation together at the expected rise."""
    rises, films = film_table_w_per_m2_k(body, ambient_degc=case.ambient_degc)
    film = float(np.interp(case.expected_rise_k, rises, films))
    if case.air_speed_m_per_s > 0:
        blown = forced_film_w_per_m2_k(
            along_m=along_m,
            air_speed_m_per_s=case.air_speed_m_per_s,
            air=air_at(film_degc=case.ambient_degc + case.expected_rise_k / 2),
        )
        film = mixed_film_w_per_m2_k(natural=film, forced=blown)
    return film + radiation_w_per_m2_k(
        emissivity=emissivity,
        surface_degc=case.ambient_degc + case.expected_rise_k,
        surroundings_degc=case.ambient_degc,
    )


def _fin_w_per_k(
    *, film_w_per_m2_k: float, perimeter_m: float, metal_w_per_m_k_m2: float, length_m: float
) -> float:
    """Straight fin with an insulated tip, sqrt(h P k A) tanh(m L)."""
    if length_m <= 0:
        return 0.0
    per_length = film_w_per_m2_k * perimeter_m
    decay = math.sqrt(per_length / metal_w_per_m_k_m2)
    return math.sqrt(per_length * metal_w_per_m_k_m2) * math.tanh(decay * length_m)


def _lead_fin_w_per_k(awg: int, film_w_per_m2_k: float) -> float:
    return _fin_w_per_k(
        film_w_per_m2_k=film_w_per_m2_k,
        perimeter_m=math.pi * (wire_diameter_m(awg=awg) + 2 * _LEAD_SLEEVE_M),
        metal_w_per_m_k_m2=_COPPER_W_PER_M_K * wire_area_m2(awg=awg),
        length_m=0.15,
    )


def _surface_j_per_k(case: CavityHeatCase) -> float:
    """Heat capacity of what is warmed beside the cell, per cell."""
    sleeve = _SLEEVE_M * _SLEEVE_J_PER_M3_K * case.cell.side_m2
    if case.added_thermal_mass_j_per_k is not None:
        return sleeve + case.added_thermal_mass_j_per_k
    in_cavity = case.enclosure in (Enclosure.SEALED, Enclosure.VENTED)
    wall = case.wall.heat_j_per_k / case.cell_count if case.wall and in_cavity else 0.0
    return sleeve + case.fixture_j_per_k + wall


def _buoyant_fraction(case: CavityHeatCase) -> float:
    """Share of the loss that grows with the fourth root of the rise, read from the loss itself."""
    has_wall = case.wall is not None or case.enclosure in (Enclosure.OPEN, Enclosure.MESH)
    if not has_wall:
        return 0.0
    warm, warmer = (_outermost_w_per_k(case, ratio) for ratio in (1 / _PROBE, _PROBE))
    slope = math.log(warmer / warm) / math.log(_PROBE**2)
    return min(max(4 * slope, 0.0), 1.0)


def _outermost_w_per_k(case: CavityHeatCase, ratio: float) -> float:
    """Loss of the surface whose rise the path speaks of, at another rise than the expected."""
    other = replace(case, heat_loss_w_per_k=None, expected_rise_k=case.expected_rise_k * ratio)
    steps = heat_steps(other)
    if case.heat_loss_w_per_k is None:
        return steps[-1].w_per_k
    return 1 / sum(1 / step.w_per_k for step in steps[1:])


def _spread_fraction(case: CavityHeatCase) -> float:
    if case.heat_loss_w_per_k is not None:
        return _SPREAD_GIVEN_FRACTION
    own = [_SPREAD_FRACTION[case.enclosure]]
    own += [_SPREAD_HELD_FRACTION] if case.held_fraction else []
    own += [_SPREAD_WIND_FRACTION] if case.air_speed_m_per_s > 0 else []
    return max(own)
