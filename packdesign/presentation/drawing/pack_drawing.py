"""The drawing of a pack in its cavity: views to scale, dimensions, polarity, strips, taps."""

from __future__ import annotations

import math
import zlib
from html import escape
from typing import Final

from packdesign.engineering.geometry.arrangement import Arrangement
from packdesign.engineering.geometry.cavities import (
    Cavity,
    MeshCavity,
    OpenCavity,
    SteppedTube,
    Tube,
)
from packdesign.presentation.drawing.canvas import (
    Frame,
    circle,
    dimension,
    label,
    line,
    text_width_px,
)
from packdesign.presentation.drawing.views import (
    View,
    cavity_marks,
    cell_marks,
    extent_m,
    reserve_marks,
    sign_marks,
    strip_marks,
    views_of,
)

__all__ = ["drawing_facts", "pack_svg"]

WIDTH_PX: Final = 960
"""Width of the sheet. [px]"""
_LEFT_PX: Final = 70
_BETWEEN_PX: Final = 90
_ABOVE_PX: Final = 64
_BELOW_PX: Final = 66
_HEADING_PX: Final = 210
"""Width that the heading of the last view needs. [px]"""
_STEM_APART_PX: Final = 5
"""Least distance between lines that lead up from taps. [px]"""
_TALLEST_PX: Final = 300
"""Height a view may take. [px]"""

_STYLE: Final = """
.paper{fill:#fff}
.wall{fill:none;stroke:#000;stroke-width:2.2}
.cell{fill:#fff;stroke:#000;stroke-width:1.3}
.solid{fill:#bbb;stroke:#000;stroke-width:1}
.thin{fill:none;stroke:#000;stroke-width:.8}
.dashed{fill:none;stroke:#000;stroke-width:1;stroke-dasharray:5 3}
.lead{fill:none;stroke:#000;stroke-width:.7;stroke-dasharray:1.5 2.5}
.strip{stroke:#000;stroke-width:5;stroke-linecap:round;opacity:.75}
.far_strip{stroke:#000;stroke-width:3.5;stroke-dasharray:7 4}
.dot{fill:#000;stroke:#fff;stroke-width:1}
text{font-family:Helvetica,Arial,sans-serif;fill:#000}
.word{font-size:12px}
.small{font-size:10px}
.sign{font-size:17px;font-weight:700}
.sign,.small{paint-order:stroke;stroke:#fff;stroke-width:3px;stroke-linejoin:round}
.head{font-size:13px;font-weight:700}
.name{font-size:16px;font-weight:700}
"""


def pack_svg(
    arrangement: Arrangement,
    cavity: Cavity,
    *,
    width_px: float = WIDTH_PX,
    with_facts: bool = True,
) -> str:
    """Draw a pack in its cavity.

    Parameters
    ----------
    arrangement : Arrangement
        The pack, fitting or not.
    cavity : Cavity
        What it is in.
    width_px : float
        Width of the drawing; the narrower, the larger its letters once it is printed. [px]
    with_facts : bool
        Whether heading and facts are written into it; else they are given beside it.

    Returns
    -------
    str
        One SVG element with a title and a description for those who cannot see it.
    """
    views = views_of(cavity)
    frames = _frames(arrangement, cavity, views, width_px=width_px)
    marks: list[str] = []
    for number, (view, frame) in enumerate(zip(views, frames, strict=True)):
        right_px = frames[-1].left_px - 30 if number == len(views) - 2 else width_px - 10
        marks += _view_marks(arrangement, cavity, view, frame, right_px=right_px)
    bottom_px = max(frame.top_px + frame.height_px for frame in frames) + _BELOW_PX
    words = drawing_facts(arrangement)
    shown = words if with_facts else []
    marks += [
        label((20, bottom_px + 18 * number), text, anchor="start")
        for number, text in enumerate(shown)
    ]
    height_px = bottom_px + 18 * len(shown) + 8
    heading = _heading(arrangement)
    above = label((20, 26), heading, anchor="start", style="name") if with_facts else ""
    identity = f"pack-{zlib.crc32(''.join(marks).encode()):08x}"
    return (
        f'<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 {width_px:g} {height_px:.0f}" '
        f'role="img" aria-labelledby="{identity}-title {identity}-desc">'
        f'<title id="{identity}-title">{escape(heading)}</title>'
        f'<desc id="{identity}-desc">{escape(". ".join(words))}.</desc>'
        f"<style>{_STYLE}</style>"
        f'<rect class="paper" width="{width_px:g}" height="{height_px:.0f}"/>'
        f"{above}{''.join(marks)}</svg>"
    )


def _heading(arrangement: Arrangement) -> str:
    many = f"{arrangement.series}S{arrangement.parallel}P"
    verdict = "" if arrangement.fits else " (does not fit)"
    return f"{many} {arrangement.cell.name}: {arrangement.name}{verdict}"


def _frames(
    arrangement: Arrangement, cavity: Cavity, views: tuple[View, ...], *, width_px: float
) -> list[Frame]:
    """Lay the views out at one scale: the last two side by side, any other above them."""
    extents = [extent_m(arrangement, cavity, view) for view in views]
    sizes = [(high[0] - low[0], high[1] - low[1]) for low, high in extents]
    two_wide_m = sizes[-2][0] + sizes[-1][0]
    room_px = width_px - _LEFT_PX - _BETWEEN_PX - 40
    beside_px = width_px - _LEFT_PX - _BETWEEN_PX - _HEADING_PX
    tallest_m = max(size[1] for size in sizes)
    scale = min(room_px / two_wide_m, beside_px / sizes[-2][0], _TALLEST_PX / tallest_m)
    frames, top_px = [], 40.0 + _ABOVE_PX
    for number, ((low, high), size) in enumerate(zip(extents, sizes, strict=True)):
        is_last = number == len(views) - 1
        left_px = _LEFT_PX + (sizes[-2][0] * scale + _BETWEEN_PX if is_last else 0.0)
        frames.append(Frame(left_px=left_px, top_px=top_px, low_m=low, high_m=high, px_per_m=scale))
        if number < len(views) - 2:
            top_px += size[1] * scale + _BELOW_PX + _ABOVE_PX
    return frames


def _view_marks(
    arrangement: Arrangement, cavity: Cavity, view: View, frame: Frame, *, right_px: float
) -> list[str]:
    head_px = (frame.left_px, frame.top_px - _ABOVE_PX + 18)
    marks = [label(head_px, view.title, anchor="start", style="head")]
    marks += cavity_marks(cavity, view, frame)
    marks += cell_marks(arrangement, view, frame)
    marks += reserve_marks(arrangement, view, frame)
    marks += strip_marks(arrangement, view, frame)
    marks += sign_marks(arrangement, view, frame)
    if view.title.endswith("wire end"):
        clear_m = arrangement.least_clearance_m
        text = f"least clearance {clear_m * 1e3:.2f} mm" if 0 <= clear_m < math.inf else ""
        marks.append(label((head_px[0], head_px[1] + 18), text, anchor="start", style="small"))
    else:
        marks += _tap_marks(arrangement, view, frame, right_px=right_px)
    marks += _dimensions(arrangement, cavity, view, frame)
    return marks


def _tap_marks(arrangement: Arrangement, view: View, frame: Frame, *, right_px: float) -> list[str]:
    """Balance taps, each led to a label in a row above the view; labels are spread out."""
    places = [frame.at(point[view.across], point[view.up]) for point in arrangement.tap_points_m]
    names = [f"B{number}" for number in range(len(places))]
    names[0], names[-1] = "B0, pack \N{MINUS SIGN}", f"B{len(places) - 1}, pack +"
    order = sorted(range(len(places)), key=lambda number: (places[number][0], number))
    wide_px = sum(text_width_px(name, size_px=10) + 8 for name in names)
    if wide_px > right_px - frame.left_px + 30:
        order = [number for number in order if number in (0, len(places) - 1)]
    wanted, shown = [places[each][0] for each in order], [names[each] for each in order]
    spots = _spread_out(wanted, shown, first_px=frame.left_px - 30, right_px=right_px)
    row_px, above_px = frame.top_px - 22, frame.top_px - 6
    stems = _stems([places[each] for each in order])
    marks = []
    for number, spot_px, stem_px in zip(order, spots, stems, strict=True):
        x, y = places[number]
        marks.append(line((x, y), (stem_px, y), style="lead"))
        marks.append(line((stem_px, y), (stem_px, above_px), style="lead"))
        marks.append(line((stem_px, above_px), (spot_px, row_px + 3), style="lead"))
        marks.append(circle((x, y), 3.5, style="dot"))
        marks.append(label((spot_px, row_px), names[number], style="small"))
    return marks


def _stems(places: list[tuple[float, float]]) -> list[float]:
    """Where the line from each tap goes straight up, so that no two run along one line."""
    stems: list[float] = []
    for x, _y in places:
        stems.append(max(x, stems[-1] + _STEM_APART_PX) if stems else x)
    return stems


def _spread_out(
    wanted: list[float], names: list[str], *, first_px: float, right_px: float
) -> list[float]:
    """Shift labels apart so that none touches the next, keeping their order."""
    widths = [text_width_px(name, size_px=10) + 8 for name in names]
    spots: list[float] = []
    for number, (want, width) in enumerate(zip(wanted, widths, strict=True)):
        least = spots[-1] + (widths[number - 1] + width) / 2 if spots else first_px
        spots.append(max(want, least))
    over = spots[-1] + widths[-1] / 2 - right_px
    if over > 0:
        spots = [spot - over for spot in spots]
    return spots


def _dimensions(arrangement: Arrangement, cavity: Cavity, view: View, frame: Frame) -> list[str]:
    low = arrangement.envelope_low_m
    size = arrangement.envelope_size_m
    pack = [frame.at(low[view.across] + part * size[view.across], low[view.up]) for part in (0, 1)]
    below_px = frame.top_px + frame.height_px
    first, second = below_px + 22, below_px + 44
    marks = dimension(
        (pack[0][0], first), (pack[1][0], first), f"pack {size[view.across] * 1e3:.1f} mm"
    )
    across = _cavity_size(cavity, view.across, view)
    if across is not None:
        name, (begin_m, end_m) = across
        begin, end = frame.at(begin_m, 0)[0], frame.at(end_m, 0)[0]
        text = f"{name} {(end_m - begin_m) * 1e3:.1f} mm"
        marks += dimension((begin, second), (end, second), text)
    up = _cavity_size(cavity, view.up, view)
    if up is not None:
        name, (begin_m, end_m) = up
        left_px = frame.left_px - 14
        ends = [(left_px, frame.at(0, at_m)[1]) for at_m in (begin_m, end_m)]
        text = f"{(end_m - begin_m) * 1e3:.1f} mm"
        marks += dimension(ends[0], ends[1], text, is_upright=True)
    return marks


def _cavity_size(cavity: Cavity, axis: int, view: View) -> tuple[str, tuple[float, float]] | None:
    if isinstance(cavity, Tube | SteppedTube):
        if axis == 2:
            return "tube", (0.0, cavity.length_m)
        return "bore", (-cavity.bore_m / 2, cavity.bore_m / 2)
    if isinstance(cavity, OpenCavity):
        return None
    low = float(cavity.low_m[axis]) if isinstance(cavity, MeshCavity) else 0.0
    return "cavity", (low, low + cavity.size_m[axis])


def drawing_facts(arrangement: Arrangement) -> list[str]:
    """Say in words what the drawing shows, line by line.

    Parameters
    ----------
    arrangement : Arrangement
        The pack.
    """
    facts = []
    if not arrangement.fits:
        facts.append("Does not fit: " + "; ".join(arrangement.reasons))
    facts.append(
        "Least clearance: "
        + _millimetres(arrangement.between_cells_m, "between cells", "one cell")
        + f" (asked for: {arrangement.allowances.gap_m * 1e3:.2f} mm), "
        + _millimetres(
            arrangement.wall_clearance_m, "from the wrapped pack to the wall", "no wall around it"
        )
        + f" (asked for: {arrangement.allowances.wall_gap_m * 1e3:.2f} mm)"
    )
    strips = ", ".join(f"{length * 1e3:.0f}" for length in arrangement.series_strip_m[:14])
    more = " ..." if len(arrangement.series_strip_m) > 14 else ""
    if strips:
        facts.append(
            f"Strips between groups, from minus to plus: {strips}{more} mm; "
            f"inside groups, both sides: {arrangement.parallel_strip_m * 1e3:.0f} mm"
        )
    facts.append(_mass_and_energy(arrangement))
    facts.append(
        "Number in a cell: its group in the series path, 1 the most negative. "
        "B0, B1 ...: balance taps. Thick line: strip; dashed: hidden strip"
    )
    return facts


def _millimetres(length_m: float, where: str, otherwise: str) -> str:
    if not math.isfinite(length_m):
        return otherwise
    if length_m < 0:
        return f"{-length_m * 1e3:.2f} mm lacking {where}"
    return f"{length_m * 1e3:.2f} mm {where}"


def _mass_and_energy(arrangement: Arrangement) -> str:
    mass_kg = arrangement.mass_kg
    mass = "mass not known" if mass_kg is None else f"{mass_kg * 1e3:.0f} g with strips"
    cells = "1 cell" if arrangement.count == 1 else f"{arrangement.count} cells"
    parts = [f"{cells}, {arrangement.energy_wh:.1f} Wh nominal", mass]
    if arrangement.energy_wh_per_l is not None:
        parts.append(f"{arrangement.energy_wh_per_l:.0f} Wh per litre of cavity")
    if math.isfinite(arrangement.length_left_m) and arrangement.fits:
        parts.append(f"room left on the tightest side {arrangement.length_left_m * 1e3:.1f} mm")
    return ", ".join(parts)
