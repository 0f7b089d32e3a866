"""How the heat of a laid-out pack gets out, from the surroundings that a brief tells of."""

from __future__ import annotations

from typing import Final

import numpy as np
from scipy.spatial import ConvexHull

from packdesign.engineering.geometry.arrangement import Arrangement
from packdesign.engineering.thermal.cavity_case import CavityHeatCase, Enclosure
from packdesign.engineering.thermal.cavity_heat import thermal_path
from packdesign.engineering.thermal.cell_body import CellBody
from packdesign.engineering.thermal.path import ThermalPath
from packdesign.engineering.thermal.walls import CavityWall, Section
from packdesign.planning.brief.place_sections import Cavity, Surroundings
from packdesign.planning.brief.schema import Brief
from packdesign.planning.needs.wiring import lead_awg_of

__all__ = [
    "DEFAULT_AMBIENT_DEGC",
    "ambient_degc",
    "coldest_degc",
    "hottest_day_k",
    "start_degc",
    "thermal_path_of",
]

DEFAULT_AMBIENT_DEGC: Final = 25.0
"""Air temperature where the brief gives none."""
_DEFAULT_WALL_M: Final = 0.002
_HELD_FRACTION: Final = 0.5
"""Share of the outside under a hand round a grip; own choice."""
_GAP_OF_A_MISFIT_M: Final = 0.001
"""Gap taken where the pack does not fit, so that the rest can still be shown; own choice."""
_NICKEL_J_PER_KG_K: Final = 440.0
"""Specific heat of nickel near 20 degC: usual handbook figure, from memory."""
_FEWEST_WITH_AN_INSIDE: Final = 7
_HALF_A_ROW: Final = 0.3
"""A row of a staggered pack lies 0.87 of a pitch in; it counts as one cell deep."""
_TOUCHING: Final = 1.15
"""Cells nearer than this many diameters count as neighbours."""
_MATERIALS: Final = {
    "abs": "printed plastic",
    "pla": "printed plastic",
    "petg": "printed plastic",
    "plastic": "printed plastic",
    "printed": "printed plastic",
    "pvc": "PVC",
    "pc": "polycarbonate",
    "pa": "nylon",
    "aluminum": "aluminium",
}


def ambient_degc(brief: Brief) -> float:
    """Give the usual air temperature. [degC]

    Parameters
    ----------
    brief : Brief
        The brief.
    """
    around = brief.surroundings
    if around is None or around.ambient_degc is None:
        return DEFAULT_AMBIENT_DEGC
    return around.ambient_degc


def start_degc(brief: Brief) -> float:
    """Give the temperature of the cells when the device is switched on. [degC]

    Parameters
    ----------
    brief : Brief
        The brief; where it says nothing, the usual air temperature.
    """
    if brief.start is not None and brief.start.temperature_degc is not None:
        return brief.start.temperature_degc
    return ambient_degc(brief)


def coldest_degc(brief: Brief) -> float:
    """Give how cold cells and windings are on the coldest day of use. [degC]

    Parameters
    ----------
    brief : Brief
        The brief; where it has no coldest day, as cold as the device is switched on.
    """
    around = brief.surroundings
    if around is None or around.ambient_min_degc is None:
        return start_degc(brief)
    return around.ambient_min_degc


def hottest_day_k(brief: Brief) -> float:
    """Give how much warmer the hottest day of use is than the usual one. [K]

    Parameters
    ----------
    brief : Brief
        The brief.
    """
    around = brief.surroundings
    if around is None or around.ambient_max_degc is None:
        return 0.0
    return max(around.ambient_max_degc - ambient_degc(brief), 0.0)


def thermal_path_of(brief: Brief, arrangement: Arrangement) -> ThermalPath:
    """Give the way of the heat for the worst-cooled cell.

    Parameters
    ----------
    brief : Brief
        The brief; measured cooling (from its surroundings or a re-fit) goes before computed.
    arrangement : Arrangement
        Where the cells sit.

    Raises
    ------
    UnknownNameError
        If the wall material is unknown.
    """
    around = brief.surroundings or Surroundings()
    measured = brief.measured
    loss = measured.heat_loss_w_per_k if measured is not None else None
    mass = measured.added_thermal_mass_j_per_k if measured is not None else None
    wall = _wall(brief.cavity, arrangement)
    worst, mean, in_section = _neighbours(arrangement)
    case = CavityHeatCase(
        cell=_body(arrangement),
        cell_count=arrangement.count,
        cells_in_section=in_section,
        neighbours=worst,
        mean_neighbours=mean,
        cells_to_wall=_cells_to_wall(arrangement),
        cell_gap_m=max(arrangement.allowances.gap_m, 1e-4),
        enclosure=_enclosure(brief.cavity, wall),
        wall=wall,
        mean_gap_m=_mean_gap_m(arrangement, wall, cells_in_section=in_section),
        held_fraction=_HELD_FRACTION if around.hand_held and wall is not None else 0.0,
        lead_awg=lead_awg_of(brief) if wall is None else None,
        fixture_j_per_k=arrangement.strip_mass_kg * _NICKEL_J_PER_KG_K / arrangement.count,
        ambient_degc=ambient_degc(brief),
        air_speed_m_per_s=around.air_speed_m_per_s or 0.0,
        heat_loss_w_per_k=around.heat_loss_w_per_k if loss is None else loss,
        added_thermal_mass_j_per_k=around.added_thermal_mass_j_per_k if mass is None else mass,
    )
    return thermal_path(case)


def _mean_gap_m(
    arrangement: Arrangement, wall: CavityWall | None, *, cells_in_section: float
) -> float | None:
    """Gap to the wall where it cannot be had from areas; None where it can. [m]

    Cells that lie across the section of the wall do not share it: for them the clearance counts.
    """
    if not arrangement.fits:
        return _GAP_OF_A_MISFIT_M
    body = _body(arrangement)
    if wall is None or cells_in_section * body.section_m2 < wall.inner_area_m2:
        return None
    return max(arrangement.wall_clearance_m, _GAP_OF_A_MISFIT_M)


def _body(arrangement: Arrangement) -> CellBody:
    body = arrangement.body
    if body.is_flat:
        return CellBody(
            length_m=body.length_m, width_m=body.across_m, thickness_m=body.new_thickness_m
        )
    return CellBody(length_m=body.length_m, diameter_m=body.across_m)


def _enclosure(cavity: Cavity | None, wall: CavityWall | None) -> Enclosure:
    if cavity is None or wall is None:
        return Enclosure.OPEN
    if cavity.closure == "sealed":
        return Enclosure.SEALED
    return Enclosure.MESH if cavity.closure == "open" else Enclosure.VENTED


def _wall(cavity: Cavity | None, arrangement: Arrangement) -> CavityWall | None:
    """Give the wall beside the cells; a drawing counts as the box around the pack."""
    if cavity is None or cavity.shape == "open":
        return None
    material = (cavity.wall_material or "plastic").lower()
    size_m = arrangement.envelope_size_m
    thickness_m = cavity.wall_thickness_m or _DEFAULT_WALL_M
    name = _MATERIALS.get(material, material)
    if cavity.shape in ("tube", "stepped_tube"):
        bore_m = cavity.bore_m or max((step.bore_m or 0.0) for step in cavity.steps)
        length_m = cavity.length_m or sum((step.length_m or 0.0) for step in cavity.steps)
        beside_m = min(size_m[2], length_m)
        return CavityWall(
            section=Section.TUBE,
            inner_width_m=bore_m,
            length_m=beside_m,
            thickness_m=thickness_m,
            material=name,
            beyond_m=max(length_m - beside_m, 0.0),
        )
    if cavity.shape == "mesh":
        width_m, height_m, length_m = size_m[1], size_m[2], size_m[0]
    else:
        width_m, height_m = cavity.width_m or size_m[1], cavity.height_m or size_m[2]
        length_m = cavity.length_m or size_m[0]
    beside_m = min(size_m[0], length_m)
    return CavityWall(
        section=Section.BOX,
        inner_width_m=width_m,
        inner_height_m=height_m,
        length_m=beside_m,
        thickness_m=thickness_m,
        material=name,
        beyond_m=max(length_m - beside_m, 0.0),
    )


def _neighbours(arrangement: Arrangement) -> tuple[int, float, int]:
    """Give the most and the mean number of side neighbours, and the cells in one section."""
    centres = np.array([place.centre_m for place in arrangement.placements])
    axes = np.array([place.axis for place in arrangement.placements])
    reach_m = _TOUCHING * max(arrangement.body.thickness_m, arrangement.body.new_thickness_m)
    apart = centres[:, None, :] - centres[None, :, :]
    along = np.abs(np.einsum("ijk,ik->ij", apart, axes))
    across = np.sqrt(np.maximum(np.sum(apart**2, axis=2) - along**2, 0.0))
    beside = along < arrangement.body.length_m / 2
    counts = np.sum(beside & (across < reach_m), axis=1) - 1
    in_section = int(np.max(np.sum(beside, axis=1)))
    return int(min(np.max(counts), 6)), float(min(np.mean(counts), 6.0)), in_section


def _cells_to_wall(arrangement: Arrangement) -> int:
    """Give how many cells lie between the innermost cell and the outside of its section."""
    places = arrangement.placements
    if len(places) < _FEWEST_WITH_AN_INSIDE:
        return 0
    axis = int(np.argmax(np.abs(np.mean([np.abs(place.axis) for place in places], axis=0))))
    across = np.delete(np.array([place.centre_m for place in places]), axis, axis=1)
    spread_m = np.linalg.svd(across - across.mean(axis=0), compute_uv=False)
    pitch_m = arrangement.body.thickness_m + arrangement.allowances.gap_m
    if spread_m[-1] < pitch_m / 2:
        return 0  # one row or one sheet: every cell is outside
    hull = ConvexHull(across)
    depth_m = -(hull.equations[:, :2] @ across.T + hull.equations[:, 2:]).max(axis=0)
    return int(np.floor(np.max(depth_m) / pitch_m + _HALF_A_ROW))
