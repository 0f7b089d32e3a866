"""Views of a pack in its cavity: what is seen along one axis, drawn from far to near."""

from __future__ import annotations

import math
from dataclasses import dataclass
from itertools import pairwise

import numpy as np
from numpy.typing import NDArray

from packdesign.engineering.geometry.arrangement import Arrangement, CellPlacement, Point
from packdesign.engineering.geometry.cavities import (
    Box,
    Cavity,
    MeshCavity,
    SteppedTube,
    Tube,
)
from packdesign.presentation.drawing.canvas import (
    TEXT_PX,
    Frame,
    circle,
    label,
    line,
    outline,
    rectangle,
)
from packdesign.presentation.drawing.inscription import beside, inside

__all__ = [
    "View",
    "cavity_marks",
    "cell_marks",
    "extent_m",
    "reserve_marks",
    "sign_marks",
    "strip_marks",
    "views_of",
]


_STOP = "end stop"
_THINNEST_M = 1e-6
_MOST_EDGES = 600
"""How many edges of a mesh are drawn; chosen here."""


@dataclass(frozen=True, slots=True, kw_only=True)
class View:
    """Which axes of the frame of the cavity run across, up, and towards the reader."""

    title: str
    across: int
    up: int
    toward: int
    toward_sign: int = 1
    """1 where the reader looks from the high end of that axis, -1 from the low end."""


def views_of(cavity: Cavity) -> tuple[View, ...]:
    """Views that show a pack: side and section of a tube; plan, side and end of anything else."""
    if isinstance(cavity, Tube | SteppedTube):
        return (
            View(title="Side view", across=2, up=1, toward=0),
            View(title="Section, from the wire end", across=0, up=1, toward=2),
        )
    return (
        View(title="Plan view", across=0, up=1, toward=2),
        View(title="Side view", across=0, up=2, toward=1, toward_sign=-1),
        View(title="End view, from the wire end", across=1, up=2, toward=0),
    )


def extent_m(
    arrangement: Arrangement, cavity: Cavity, view: View
) -> tuple[tuple[float, float], tuple[float, float]]:
    """Lowest and highest corner of everything in a view: cavity and pack. [m]"""
    low = np.asarray(arrangement.envelope_low_m)
    high = low + np.asarray(arrangement.envelope_size_m)
    bounds = _bounds(cavity)
    if bounds is not None:
        low, high = np.minimum(low, bounds[0]), np.maximum(high, bounds[1])
    axes = [view.across, view.up]
    (low_across, low_up), (high_across, high_up) = low[axes].tolist(), high[axes].tolist()
    return (low_across, low_up), (high_across, high_up)


def _bounds(cavity: Cavity) -> tuple[np.ndarray, np.ndarray] | None:
    match cavity:
        case Tube() | SteppedTube():
            radius = cavity.bore_m / 2
            return np.array([-radius, -radius, 0.0]), np.array([radius, radius, cavity.length_m])
        case Box():
            return np.zeros(3), np.asarray(cavity.size_m)
        case MeshCavity():
            return cavity.low_m, cavity.low_m + np.asarray(cavity.size_m)
        case _:
            return None


def _flat(frame: Frame, view: View, point: Point) -> tuple[float, float]:
    return frame.at(point[view.across], point[view.up])


def cavity_marks(cavity: Cavity, view: View, frame: Frame) -> list[str]:
    """Outline of the cavity, with stops, flat, channel and ribs."""
    match cavity:
        case Tube() if view.toward == 2:
            marks = _tube_section(cavity, frame)
        case Tube():
            marks = _tube_side(cavity, frame)
        case SteppedTube() if view.toward == 2:
            bores = sorted({step.bore_m for step in cavity.steps})
            marks = [_round(frame, bore / 2) for bore in bores]
        case SteppedTube():
            marks = _stepped_side(cavity, frame)
        case Box():
            size = cavity.size_m
            far = frame.at(size[view.across], size[view.up])
            marks = [rectangle(frame.at(0, 0), far, style="wall")]
        case MeshCavity():
            marks = _mesh_outline(cavity, view, frame)
        case _:
            marks = []
    return marks


def _round(frame: Frame, radius_m: float) -> str:
    return circle(frame.at(0, 0), radius_m * frame.px_per_m, style="wall")


def _tube_section(tube: Tube, frame: Frame) -> list[str]:
    radius_m = tube.bore_m / 2
    marks = [_round(frame, radius_m)]
    if tube.flat_depth_m:
        up_m = tube.flat_depth_m - radius_m
        half_m = math.sqrt(radius_m**2 - up_m**2)
        marks.append(line(frame.at(-half_m, up_m), frame.at(half_m, up_m), style="wall"))
    bricks = [(rib.angle_rad, rib.width_m, rib.height_m, "solid") for rib in tube.ribs]
    if tube.channel is not None:
        bricks.append((math.pi / 2, tube.channel.width_m, tube.channel.depth_m, "dashed"))
    for angle, width_m, depth_m, style in bricks:
        marks.append(outline(_wall_brick(frame, radius_m, angle, width_m, depth_m), style=style))
    return marks


def _wall_brick(
    frame: Frame, radius_m: float, angle: float, width_m: float, depth_m: float
) -> list[tuple[float, float]]:
    edge_m = math.sqrt(max(radius_m**2 - (width_m / 2) ** 2, 0.0))
    corners = [
        (edge_m, width_m / 2), (radius_m - depth_m, width_m / 2),
        (radius_m - depth_m, -width_m / 2), (edge_m, -width_m / 2),
    ]  # fmt: skip
    turn_x, turn_y = math.cos(angle), math.sin(angle)
    return [
        frame.at(out * turn_x - aside * turn_y, out * turn_y + aside * turn_x)
        for out, aside in corners
    ]


def _tube_side(tube: Tube, frame: Frame) -> list[str]:
    radius_m = tube.bore_m / 2
    marks = [rectangle(frame.at(0, -radius_m), frame.at(tube.length_m, radius_m), style="wall")]
    for name, begin_m, length_m in _stops(tube):
        low, high = frame.at(begin_m, -radius_m), frame.at(begin_m + length_m, radius_m)
        marks.append(rectangle(low, high, style="solid"))
        marks += inside(low, high, name)
    if tube.flat_depth_m:
        up_m = tube.flat_depth_m - radius_m
        marks.append(line(frame.at(0, up_m), frame.at(tube.length_m, up_m), style="dashed"))
    if tube.channel is not None:
        up_m = radius_m - tube.channel.depth_m
        marks.append(line(frame.at(0, up_m), frame.at(tube.length_m, up_m), style="dashed"))
    return marks


def _stops(tube: Tube) -> list[tuple[str, float, float]]:
    """Name, beginning and length of every stop of a tube, bottom first."""
    named_m = sum(part.length_m for part in tube.bottom_parts)
    at_m = tube.bottom_stop_m - named_m
    stops = [(_STOP, 0.0, at_m)]
    for part in tube.bottom_parts:
        stops.append((part.name, at_m, part.length_m))
        at_m += part.length_m
    at_m = tube.length_m - tube.top_stop_m
    for part in tube.top_parts:
        stops.append((part.name, at_m, part.length_m))
        at_m += part.length_m
    stops.append((_STOP, at_m, tube.length_m - at_m))
    return [stop for stop in stops if stop[2] > _THINNEST_M]


def _stepped_side(tube: SteppedTube, frame: Frame) -> list[str]:
    upper, at_m = [], 0.0
    for step in tube.steps:
        upper += [(at_m, step.bore_m / 2), (at_m + step.length_m, step.bore_m / 2)]
        at_m += step.length_m
    both = upper + [(along, -up) for along, up in reversed(upper)]
    return [outline([frame.at(along, up) for along, up in both], style="wall")]


def _mesh_outline(cavity: MeshCavity, view: View, frame: Frame) -> list[str]:
    """Outermost outline of a mesh in a view, and its sharp edges as they lie."""
    from scipy.spatial import ConvexHull

    shadow = cavity.vertices_m[:, [view.across, view.up]]
    corners = shadow[ConvexHull(shadow).vertices].tolist()
    marks = [outline([frame.at(across, up) for across, up in corners], style="dashed")]
    for edge in shadow[_sharp_edges(cavity)][:_MOST_EDGES].tolist():
        marks.append(line(frame.at(*edge[0]), frame.at(*edge[1]), style="wall"))
    return marks


def _sharp_edges(cavity: MeshCavity) -> NDArray[np.int64]:
    """Edges at which a mesh turns by more than 30 degrees, longest first, as pairs of corners."""
    a, b, c = np.moveaxis(cavity.vertices_m[cavity.faces], 1, 0)
    normals = np.cross(b - a, c - a)
    normals /= np.maximum(np.linalg.norm(normals, axis=1, keepdims=True), 1e-300)
    edges = np.sort(cavity.faces[:, [[0, 1], [1, 2], [2, 0]]].reshape(-1, 2), axis=1)
    face = np.repeat(np.arange(len(cavity.faces)), 3)
    order = np.lexsort((edges[:, 1], edges[:, 0]))
    edges, face = edges[order][::2], face[order]
    turn = np.sum(normals[face[::2]] * normals[face[1::2]], axis=1)
    sharp = edges[turn < math.cos(math.radians(30))]
    length = np.linalg.norm(np.diff(cavity.vertices_m[sharp], axis=1)[:, 0], axis=1)
    longest_first: NDArray[np.int64] = sharp[np.argsort(-length, kind="stable")]
    return longest_first


def reserve_marks(arrangement: Arrangement, view: View, frame: Frame) -> list[str]:
    """Room kept for other things, dashed, with its name where no cell lies under the name."""
    cells = [_corners(arrangement, cell, view, frame) for cell in arrangement.placements]
    marks = []
    for reserve in arrangement.reserves:
        low, high = _flat(frame, view, reserve.low_m), _flat(frame, view, reserve.high_m)
        marks.append(rectangle(low, high, style="dashed"))
        marks += beside(low, high, reserve.name, cells)
    return marks


def _far_first(arrangement: Arrangement, view: View) -> list[CellPlacement]:
    return sorted(
        arrangement.placements,
        key=lambda cell: round(view.toward_sign * cell.centre_m[view.toward], 7),
    )


def _is_round_here(arrangement: Arrangement, cell: CellPlacement, view: View) -> bool:
    return abs(cell.axis[view.toward]) > 0.5 and not arrangement.body.is_flat


def cell_marks(arrangement: Arrangement, view: View, frame: Frame) -> list[str]:
    """Outlines of all cells from far to near; a cylinder with its plus end near has a ring."""
    marks = []
    for cell in _far_first(arrangement, view):
        if _is_round_here(arrangement, cell, view):
            middle = _flat(frame, view, cell.centre_m)
            radius_px = arrangement.body.across_m / 2 * frame.px_per_m
            marks.append(circle(middle, radius_px, style="cell"))
            if _is_plus_near(cell, view):
                marks.append(circle(middle, radius_px * 0.45, style="thin"))
        else:
            low, high = _corners(arrangement, cell, view, frame)
            marks.append(rectangle(low, high, style="cell"))
    return marks


def _is_plus_near(cell: CellPlacement, view: View) -> bool:
    return cell.axis[view.toward] * view.toward_sign > 0


def _half_m(arrangement: Arrangement, cell: CellPlacement, axis: int) -> float:
    body = arrangement.body
    along, through = abs(cell.axis[axis]), abs(cell.normal[axis])
    half = along * body.length_m + through * body.new_thickness_m
    return (half + max(0.0, 1 - along - through) * body.across_m) / 2


def _corners(
    arrangement: Arrangement, cell: CellPlacement, view: View, frame: Frame
) -> tuple[tuple[float, float], tuple[float, float]]:
    across_m, up_m = (_half_m(arrangement, cell, axis) for axis in (view.across, view.up))
    centre = (cell.centre_m[view.across], cell.centre_m[view.up])
    return (
        frame.at(centre[0] - across_m, centre[1] - up_m),
        frame.at(centre[0] + across_m, centre[1] + up_m),
    )


def sign_marks(arrangement: Arrangement, view: View, frame: Frame) -> list[str]:
    """Polarity and number of the group of every cell, where no nearer cell covers them."""
    order = _far_first(arrangement, view)
    boxes = [_corners(arrangement, cell, view, frame) for cell in order]
    marks = []
    for number, cell in enumerate(order):
        words = (
            _round_words(arrangement, cell, view, frame)
            if _is_round_here(arrangement, cell, view)
            else _side_words(cell, view, frame, boxes[number])
        )
        marks += [
            label((at[0], at[1] + drop), text, style=style)
            for at, drop, text, style in words
            if not any(_covers(box, at) for box in boxes[number + 1 :])
        ]
    return marks


_Word = tuple[tuple[float, float], float, str, str]


def _round_words(
    arrangement: Arrangement, cell: CellPlacement, view: View, frame: Frame
) -> list[_Word]:
    x, y = _flat(frame, view, cell.centre_m)
    radius_px = arrangement.body.across_m / 2 * frame.px_per_m
    sign = "+" if _is_plus_near(cell, view) else "\N{MINUS SIGN}"
    number = str(cell.group + 1)
    return [((x, y), 6, sign, "sign"), ((x, y + radius_px - 9), 4, number, "small")]


def _side_words(
    cell: CellPlacement,
    view: View,
    frame: Frame,
    box: tuple[tuple[float, float], tuple[float, float]],
) -> list[_Word]:
    (left, low), (right, high) = box
    middle = ((left + right) / 2, (low + high) / 2)
    if min(abs(right - left), abs(low - high)) < TEXT_PX:
        return []
    words: list[_Word] = [(middle, 4, str(cell.group + 1), "small")]
    ends = [_flat(frame, view, point) for point in (cell.positive_m, cell.negative_m)]
    if math.dist(*ends) < 2 * TEXT_PX:
        return words
    for sign, at in zip(("+", "\N{MINUS SIGN}"), ends, strict=True):
        toward = (middle[0] - at[0], middle[1] - at[1])
        reach = math.hypot(*toward) or 1.0
        inset = (at[0] + toward[0] / reach * 11, at[1] + toward[1] / reach * 11)
        words.append((inset, 6, sign, "sign"))
    return words


def _covers(box: tuple[tuple[float, float], tuple[float, float]], at: tuple[float, float]) -> bool:
    (left, low), (right, high) = box
    return left - 4 < at[0] < right + 4 and high - 4 < at[1] < low + 4


def strip_marks(arrangement: Arrangement, view: View, frame: Frame) -> list[str]:
    """Strips between and inside groups: full lines at the near ends, dashed where hidden."""
    pairs = [(link.start_m, link.end_m) for link in arrangement.links]
    cells = arrangement.placements
    for one, other in pairwise(cells):
        if one.group == other.group:
            pairs.append((one.positive_m, other.positive_m))
            pairs.append((one.negative_m, other.negative_m))
    size_m = arrangement.envelope_size_m[view.toward]
    middle_m = arrangement.envelope_low_m[view.toward] + size_m / 2
    marks = []
    for start_m, end_m in pairs:
        start, end = _flat(frame, view, start_m), _flat(frame, view, end_m)
        depth_m = (start_m[view.toward] + end_m[view.toward]) / 2 - middle_m
        is_near = depth_m * view.toward_sign > -1e-6
        if math.dist(start, end) >= 2:
            marks.append(line(start, end, style="strip" if is_near else "far_strip"))
    return marks
