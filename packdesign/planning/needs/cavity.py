"""The cavity of a brief as geometry takes it, and what must be left around the cells."""

from __future__ import annotations

import math
from typing import Final

from packdesign.data.cells import Cell, CellForm
from packdesign.engineering.geometry.allowances import Allowances
from packdesign.engineering.geometry.cavities import (
    Box,
    Cavity,
    Channel,
    OpenCavity,
    Reserved,
    Rib,
    SteppedTube,
    Tube,
    TubeStep,
    TubeStop,
)
from packdesign.foundation.errors import BriefError
from packdesign.planning.brief.place_sections import Cavity as CavitySection
from packdesign.planning.brief.place_sections import ReservedVolume
from packdesign.planning.brief.schema import Brief

__all__ = ["allowances_of", "cavity_of", "places_not_kept"]

_SMALLEST_EDGE_M = 0.0005
"""Edge of a reserved room of which the brief gives none."""


def cavity_of(brief: Brief) -> Cavity:
    """Give the free inside that the pack must go into; free air where the brief says nothing.

    Parameters
    ----------
    brief : Brief
        The brief.

    Raises
    ------
    InputError
        If a drawing file cannot be used.
    OutOfRangeError
        If the sizes do not go together.
    """
    section = brief.cavity
    if section is None or section.shape == "open":
        return OpenCavity()
    sealed = section.closure == "sealed"
    rigid = section.rigid is not False
    if section.shape == "tube":
        return _tube(section, is_sealed=sealed, is_rigid=rigid)
    if section.shape == "stepped_tube":
        steps = tuple(
            TubeStep(bore_m=step.bore_m or 0.0, length_m=step.length_m or 0.0)
            for step in section.steps
        )
        reserved = _bricks(section.reserved, width_m=max(step.bore_m for step in steps))
        return SteppedTube(steps=steps, reserved=reserved, is_sealed=sealed, is_rigid=rigid)
    if section.shape == "mesh":
        return _mesh(section, is_sealed=sealed, is_rigid=rigid)
    width_m, height_m = section.width_m or 0.0, section.height_m or 0.0
    return Box(
        length_m=section.length_m or 0.0,
        width_m=width_m,
        height_m=height_m,
        reserved=_bricks(section.reserved, width_m=width_m, height_m=height_m),
        is_sealed=sealed,
        is_rigid=rigid,
    )


def allowances_of(brief: Brief, cell: Cell) -> Allowances:
    """Give the room that wraps, strips, gaps and growth take.

    Parameters
    ----------
    brief : Brief
        The brief.
    cell : Cell
        The cell; only its form matters.
    """
    pack, cavity = brief.pack, brief.cavity
    given: dict[str, float] = {}
    if cavity is not None and cavity.clearance_m is not None:
        given["wall_gap_m"] = cavity.clearance_m
    if pack is not None:
        if pack.cell_gap_m is not None:
            given["gap_m"] = pack.cell_gap_m
        if pack.wrap_thickness_m is not None:
            given["pack_wrap_m"] = pack.wrap_thickness_m
        if pack.end_insulation_m is not None:
            given["end_insulator_m"] = pack.end_insulation_m
        strips = pack.strips
        if strips is not None and strips.thickness_m is not None:
            given["strip_thickness_m"] = strips.thickness_m * (strips.layers or 1)
        if strips is not None and strips.width_m is not None:
            given["strip_width_m"] = strips.width_m
    if cell.form is not CellForm.CYLINDER:
        given.pop("end_insulator_m", None)
    return Allowances(**given)  # type: ignore[arg-type]


_TUBE_ENDS: Final = ("open_end", "closed_end")
_PLACES_KEPT: Final = {
    "tube": _TUBE_ENDS,
    "stepped_tube": ("open_end",),
    "box": ("open_end", "closed_end", "side", "top", "bottom"),
}
"""Places that the layout of each shape keeps to."""


def places_not_kept(brief: Brief) -> tuple[str, ...]:
    """Say of which reserved rooms the layout does not keep to the place that the brief gives.

    Parameters
    ----------
    brief : Brief
        The brief.
    """
    section = brief.cavity
    if section is None or section.shape == "open":
        return ()
    if section.shape == "mesh":
        names = ", ".join(each.name for each in section.reserved)
        if not names:
            return ()
        return (f"Nothing is kept free in a drawing file for {names}: take it out of the drawing.",)
    kept = (*_PLACES_KEPT[section.shape], "anywhere", None)
    return tuple(
        f"'{each.name}' is asked for at {str(each.place).replace('_', ' ')}, which the layout of "
        f"a {section.shape.replace('_', ' ')} does not know: it lies at the open end, where the "
        "wires leave."
        for each in section.reserved
        if each.place not in kept
    )


def _tube(section: CavitySection, *, is_sealed: bool, is_rigid: bool) -> Tube:
    bore_m, length_m = section.bore_m or 0.0, section.length_m or 0.0
    across = [each for each in section.reserved if each.width_m and each.height_m]
    along = [each for each in section.reserved if each not in across]
    below, above = (
        tuple(
            TubeStop(name=each.name, length_m=each.length_m or 0.0)
            for each in along
            if (each.place == "closed_end") is is_below
        )
        for is_below in (True, False)
    )
    channel = None
    if section.channel_width_m and section.channel_depth_m:
        channel = Channel(width_m=section.channel_width_m, depth_m=section.channel_depth_m)
    count = section.rib_count or 0
    ribs = tuple(
        Rib(
            angle_rad=2 * math.pi * position / count,
            height_m=section.rib_height_m or 0.0,
            width_m=section.rib_height_m or 0.0,
        )
        for position in range(count if section.rib_height_m else 0)
    )
    return Tube(
        bore_m=bore_m,
        length_m=length_m,
        bottom_stop_m=(section.end_stop_m or 0.0) + sum(part.length_m for part in below),
        bottom_parts=below,
        top_stop_m=sum(part.length_m for part in above),
        top_parts=above,
        flat_depth_m=section.flat_depth_m or 0.0,
        channel=channel,
        ribs=ribs,
        reserved=_bricks(tuple(across), width_m=bore_m),
        is_sealed=is_sealed,
        is_rigid=is_rigid,
    )


def _mesh(section: CavitySection, *, is_sealed: bool, is_rigid: bool) -> Cavity:
    from packdesign.engineering.geometry.mesh_file import load_mesh_cavity

    if section.mesh is None:
        msg = 'shape = "mesh" also needs mesh, the drawing file'
        raise BriefError(msg)
    return load_mesh_cavity(
        section.mesh, unit=section.mesh_unit, is_sealed=is_sealed, is_rigid=is_rigid
    )


def _bricks(
    reserved: tuple[ReservedVolume, ...], *, width_m: float, height_m: float | None = None
) -> tuple[Reserved, ...]:
    """Turn reserved rooms into bricks; an edge left out reaches across the whole cavity."""
    full_height_m = width_m if height_m is None else height_m
    return tuple(
        Reserved(
            name=each.name,
            size_m=(
                each.length_m or _SMALLEST_EDGE_M,
                each.width_m or width_m,
                each.height_m or full_height_m,
            ),
            place=None if each.place == "anywhere" else each.place,
        )
        for each in reserved
    )
