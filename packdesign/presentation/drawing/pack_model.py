"""The pack in three dimensions: a figure to turn on the page, and its envelope for CAD."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

import numpy as np
from numpy.typing import NDArray

from packdesign.engineering.geometry.arrangement import Arrangement, CellPlacement
from packdesign.engineering.geometry.cavities import Box, Cavity, MeshCavity, SteppedTube, Tube

if TYPE_CHECKING:
    import plotly.graph_objects as go

__all__ = ["envelope_stl", "pack_figure_3d"]

FloatArray = NDArray[np.float64]

_AROUND = 32
"""Corners of a circle."""
_GREYS = ("#f2f2f2", "#c8c8c8", "#9e9e9e", "#747474")


def pack_figure_3d(arrangement: Arrangement, cavity: Cavity) -> go.Figure:
    """Show a pack in three dimensions, in millimetres.

    Parameters
    ----------
    arrangement : Arrangement
        The pack.
    cavity : Cavity
        What it is in, drawn as thin lines.

    Returns
    -------
    plotly.graph_objects.Figure
        Cells in greys by group, strips as thick lines, plus ends marked.
    """
    import plotly.graph_objects as go

    figure = go.Figure()
    for cell in arrangement.placements:
        figure.add_trace(_solid(arrangement, cell))
    for link in arrangement.links:
        ends = np.asarray([link.start_m, link.end_m]) * 1e3
        figure.add_trace(_polyline(ends, width=8, name=f"strip {link.from_group + 1}"))
    plus = np.asarray([cell.positive_m for cell in arrangement.placements]) * 1e3
    figure.add_trace(
        go.Scatter3d(
            x=plus[:, 0], y=plus[:, 1], z=plus[:, 2], mode="text", text=["+"] * len(plus),
            textfont={"size": 18, "color": "#000000"}, hoverinfo="skip", showlegend=False,
        )
    )  # fmt: skip
    for outline in _cavity_lines(cavity):
        figure.add_trace(_polyline(outline * 1e3, width=2, name="cavity"))
    figure.update_layout(
        scene={
            "aspectmode": "data", "xaxis_title": "x [mm]", "yaxis_title": "y [mm]",
            "zaxis_title": "z [mm]",
        },
        margin={"l": 0, "r": 0, "t": 0, "b": 0},
        showlegend=False,
    )  # fmt: skip
    return figure


def _polyline(points_mm: FloatArray, *, width: int, name: str) -> Any:
    import plotly.graph_objects as go

    return go.Scatter3d(
        x=points_mm[:, 0], y=points_mm[:, 1], z=points_mm[:, 2], mode="lines", name=name,
        line={"width": width, "color": "#000000"}, hoverinfo="name", showlegend=False,
    )  # fmt: skip


def _solid(arrangement: Arrangement, cell: CellPlacement) -> Any:
    """Draw one cell as a mesh: a prism with as many sides as its form needs."""
    import plotly.graph_objects as go

    corners, faces = _prism(arrangement, cell)
    corners_mm = corners * 1e3
    return go.Mesh3d(
        x=corners_mm[:, 0], y=corners_mm[:, 1], z=corners_mm[:, 2],
        i=faces[:, 0], j=faces[:, 1], k=faces[:, 2],
        color=_GREYS[cell.group % len(_GREYS)], flatshading=arrangement.body.is_flat,
        name=f"group {cell.group + 1}", hoverinfo="name",
    )  # fmt: skip


def _prism(arrangement: Arrangement, cell: CellPlacement) -> tuple[FloatArray, NDArray[np.int64]]:
    """Corners and outward triangles of a cell. [m]"""
    body = arrangement.body
    axis, normal = np.asarray(cell.axis), np.asarray(cell.normal)
    third = np.cross(axis, normal)
    if body.is_flat:
        signs = np.array([[1, 1], [-1, 1], [-1, -1], [1, -1]])
        ring = signs[:, :1] * normal * body.new_thickness_m / 2
        ring = ring + signs[:, 1:] * third * body.across_m / 2
    else:
        angle = np.linspace(0, 2 * np.pi, _AROUND, endpoint=False)[:, None]
        ring = (np.cos(angle) * normal + np.sin(angle) * third) * body.across_m / 2
    half = axis * body.length_m / 2
    corners = np.concatenate([ring - half, ring + half, [-half, half]]) + cell.centre_m
    sides = len(ring)
    here = np.arange(sides)
    after = (here + 1) % sides
    low, high = np.full(sides, 2 * sides), np.full(sides, 2 * sides + 1)
    faces = np.concatenate(
        [
            np.column_stack([here, after, here + sides]),
            np.column_stack([after, after + sides, here + sides]),
            np.column_stack([low, after, here]),
            np.column_stack([high, here + sides, after + sides]),
        ]
    )
    return corners, faces


def _cavity_lines(cavity: Cavity) -> list[FloatArray]:
    """Outline a cavity by a few lines. [m]"""
    match cavity:
        case Tube():
            return [_ring(cavity.bore_m / 2, at) for at in (0.0, cavity.length_m)]
        case SteppedTube():
            rings, at_m = [], 0.0
            for step in cavity.steps:
                ends = (at_m, at_m + step.length_m)
                rings += [_ring(step.bore_m / 2, end) for end in ends]
                at_m += step.length_m
            return rings
        case Box() | MeshCavity():
            low = np.zeros(3) if isinstance(cavity, Box) else cavity.low_m
            return _box_lines(low, np.asarray(cavity.size_m))
        case _:
            return []


def _ring(radius_m: float, height_m: float) -> FloatArray:
    angle = np.linspace(0, 2 * np.pi, 65)
    return np.column_stack(
        [radius_m * np.cos(angle), radius_m * np.sin(angle), np.full(65, height_m)]
    )


def _box_lines(low: FloatArray, size: FloatArray) -> list[FloatArray]:
    square = np.array([[0, 0], [1, 0], [1, 1], [0, 1], [0, 0]], dtype=float)
    floor = np.column_stack([square, np.zeros(5)])
    roof = np.column_stack([square, np.ones(5)])
    posts = [np.stack([floor[number], roof[number]]) for number in range(4)]
    return [low + lines * size for lines in (floor, roof, *posts)]


def envelope_stl(arrangement: Arrangement) -> bytes:
    """Write the wrapped outside of a pack as a binary STL in millimetres.

    Parameters
    ----------
    arrangement : Arrangement
        The pack.

    Returns
    -------
    bytes
        One closed body: the convex hull around all cells, strips and the pack wrap, in the frame
        of the cavity.
    """
    import trimesh

    grown = arrangement.allowances.pack_wrap_m
    points = np.concatenate(
        [_skin(arrangement, cell, grown_m=grown) for cell in arrangement.placements]
    )
    hull = trimesh.convex.convex_hull(points * 1e3)
    exported = hull.export(file_type="stl")
    return bytes(exported)


def _skin(arrangement: Arrangement, cell: CellPlacement, *, grown_m: float) -> FloatArray:
    """Corners of a cell grown by its strips and the pack wrap; circles are drawn around. [m]"""
    body = arrangement.body
    corners, _faces = _prism(arrangement, cell)
    middle, axis = np.asarray(cell.centre_m), np.asarray(cell.axis)
    at = corners - middle
    along = at @ axis
    outward = at - np.outer(along, axis)
    face_m = 0.0 if body.is_flat else arrangement.allowances.face_m
    reach = np.linalg.norm(outward, axis=1, keepdims=True)
    if body.is_flat:
        normal = np.asarray(cell.normal)
        third = np.cross(axis, normal)
        wide, thick = outward @ third, outward @ normal
        room_m = body.thickness_m / 2 + grown_m
        outward = np.outer(np.sign(wide) * (np.abs(wide) + grown_m * (wide != 0)), third)
        outward += np.outer(np.sign(thick) * room_m, normal)
    else:
        around = (body.across_m / 2 + grown_m) / np.cos(np.pi / _AROUND)
        outward = np.where(reach > 0, outward / np.maximum(reach, 1e-12) * around, 0.0)
    stretched = np.sign(along) * (np.abs(along) + face_m + grown_m)
    skin: FloatArray = middle + outward + np.outer(stretched, axis)
    return skin
