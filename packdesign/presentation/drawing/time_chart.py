"""Charts over time, one below the other, as SVG in black and grey for paper."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from html import escape
from typing import Final

import numpy as np

from packdesign.engineering.demand.profile import FloatArray
from packdesign.presentation.drawing.scale import round_marks, time_unit
from packdesign.presentation.drawing.thinning import kept_points

__all__ = ["Curve", "Panel", "time_chart_svg"]

_WIDTH: Final = 720
_LEFT: Final = 62
_RIGHT: Final = 128
"""Room to the right for the names of curves and levels. [px]"""
_ABOVE: Final = 26
_BELOW: Final = 12
_FOOT: Final = 34
_NAME_APART: Final = 13.0
"""Least distance between two names. [px]"""
_MOST_POINTS: Final = 2400

_STYLE: Final = """
.tc-paper{fill:#fff}
.tc-frame{fill:none;stroke:#000;stroke-width:1}
.tc-grid{stroke:#ccc;stroke-width:.6}
.tc-band{fill:#d0d0d0;stroke:#888;stroke-width:.5}
.tc-full{fill:none;stroke:#000;stroke-width:1.1;stroke-linejoin:round}
.tc-dash{fill:none;stroke:#000;stroke-width:1.4;stroke-dasharray:6 3}
.tc-level{stroke:#000;stroke-width:.9;stroke-dasharray:2 3}
.tc-lead{stroke:#000;stroke-width:.5}
.tc-word{font:11px Helvetica,Arial,sans-serif;fill:#000}
.tc-head{font:bold 12px Helvetica,Arial,sans-serif;fill:#000}
"""


@dataclass(frozen=True, slots=True, kw_only=True)
class Curve:
    """One line of a panel."""

    name: str
    """Written at its end."""
    values: FloatArray
    """Shape (n,)."""
    is_dashed: bool = False


@dataclass(frozen=True, slots=True, kw_only=True)
class Panel:
    """One chart: curves, a band behind them, levels across them."""

    title: str
    """With the unit in brackets."""
    curves: tuple[Curve, ...]
    band: tuple[FloatArray, FloatArray] | None = None
    """Lowest and highest likely value. Shape (n,) each."""
    levels: tuple[tuple[str, float], ...] = ()
    least_span: float = 0.0
    """How much its axis shows at least, so that a trifle does not fill it. [same as the values]"""
    from_zero: bool = False
    """Whether zero is shown."""
    height_px: int = 150


def time_chart_svg(time_s: FloatArray, panels: Sequence[Panel], *, title: str, words: str) -> str:
    """Draw panels over one time.

    Parameters
    ----------
    time_s : array
        Rising. Shape (n,). [s]
    panels : sequence of Panel
        From the top.
    title : str
        For those who cannot see it.
    words : str
        What it shows, in a sentence.

    Returns
    -------
    str
        One SVG element.
    """
    unit, seconds = time_unit(float(time_s[-1] - time_s[0]))
    across = _Axis(
        low=float(time_s[0]) / seconds,
        high=max(float(time_s[-1]), float(time_s[0]) + 1e-9) / seconds,
        start_px=_LEFT,
        end_px=_WIDTH - _RIGHT,
    )
    marks: list[str] = []
    top_px = 0
    for panel in panels:
        marks += _panel(panel, time_s / seconds, across, top_px=top_px + _ABOVE)
        top_px += _ABOVE + panel.height_px + _BELOW
    bottom_px = top_px - _BELOW
    for mark in round_marks(across.low, across.high, most=8):
        if across.low <= mark <= across.high * (1 + 1e-9):
            marks.append(_word(across.at(mark), bottom_px + 14, f"{mark:g}", anchor="middle"))
    middle_px = (_LEFT + _WIDTH - _RIGHT) / 2
    marks.append(_word(middle_px, bottom_px + 29, f"time [{unit}]", anchor="middle"))
    height_px = bottom_px + _FOOT
    return (
        f'<svg xmlns="http://www.w3.org/2000/svg" viewBox="0 0 {_WIDTH} {height_px}" role="img" '
        f'aria-label="{escape(title)}. {escape(words)}"><style>{_STYLE}</style>'
        f'<rect class="tc-paper" width="{_WIDTH}" height="{height_px}"/>{"".join(marks)}</svg>'
    )


@dataclass(frozen=True, slots=True, kw_only=True)
class _Axis:
    """From figures to places on the paper."""

    low: float
    high: float
    start_px: float
    end_px: float

    def at(self, value: float) -> float:
        share = (value - self.low) / (self.high - self.low)
        return self.start_px + share * (self.end_px - self.start_px)

    def along(self, values: FloatArray) -> FloatArray:
        share: FloatArray = (values - self.low) / (self.high - self.low)
        return self.start_px + share * (self.end_px - self.start_px)


def _panel(panel: Panel, time: FloatArray, across: _Axis, *, top_px: float) -> list[str]:
    low, high = _reach(panel)
    ticks = round_marks(low, high, most=max(3, panel.height_px // 30))
    bottom_px = top_px + panel.height_px
    up = _Axis(low=ticks[0], high=ticks[-1], start_px=bottom_px, end_px=top_px)
    marks = [_word(_LEFT - 50, top_px - 9, panel.title, style="tc-head")]
    for tick in ticks:
        y_px = up.at(tick)
        marks.append(_line(_LEFT, y_px, _WIDTH - _RIGHT, y_px, style="tc-grid"))
        marks.append(_word(_LEFT - 6, y_px + 4, f"{tick:g}", anchor="end"))
    for tick in round_marks(across.low, across.high, most=8):
        if across.low < tick < across.high:
            marks.append(
                _line(across.at(tick), top_px, across.at(tick), bottom_px, style="tc-grid")
            )
    if panel.band is not None:
        kept = kept_points(time, *panel.band, most=_MOST_POINTS)
        x_px = across.along(time[kept])
        edges = [up.along(values[kept]) for values in panel.band]
        there, back = _points(x_px, edges[0]), _points(x_px[::-1], edges[1][::-1])
        marks.append(f'<polygon class="tc-band" points="{there} {back}"/>')
    for _, level in panel.levels:
        marks.append(_line(_LEFT, up.at(level), _WIDTH - _RIGHT, up.at(level), style="tc-level"))
    for curve in panel.curves:
        kept = kept_points(time, curve.values, most=_MOST_POINTS)
        path = _points(across.along(time[kept]), up.along(curve.values[kept]))
        style = "tc-dash" if curve.is_dashed else "tc-full"
        marks.append(f'<polyline class="{style}" points="{path}"/>')
    marks.append(
        f'<rect class="tc-frame" x="{_LEFT}" y="{top_px}" width="{_WIDTH - _RIGHT - _LEFT}" '
        f'height="{panel.height_px}"/>'
    )
    return marks + _names(panel, up, top_px=top_px, bottom_px=bottom_px)


def _reach(panel: Panel) -> tuple[float, float]:
    """Lowest and highest value that a panel must show."""
    shown = [curve.values for curve in panel.curves] + list(panel.band or ())
    ends = [float(find(values)) for values in shown for find in (np.min, np.max)]
    ends += [level for _, level in panel.levels] + ([0.0] if panel.from_zero else [])
    low, high = min(ends), max(ends)
    lacking = max(0.0, panel.least_span - (high - low))
    return low - lacking / 2, high + lacking / 2


def _names(panel: Panel, up: _Axis, *, top_px: float, bottom_px: float) -> list[str]:
    """Names of levels and curves at the right, led to their heights, set apart where they meet."""
    named = [(name, up.at(level)) for name, level in panel.levels]
    if len(panel.curves) > 1:
        named += [(curve.name, up.at(float(curve.values[-1]))) for curve in panel.curves]
    named.sort(key=lambda each: each[1])
    spots: list[float] = []
    for _, wanted_px in named:
        spots.append(max(wanted_px, spots[-1] + _NAME_APART) if spots else wanted_px)
    over_px = (spots[-1] - bottom_px) if spots else 0.0
    if over_px > 0:  # push the lowest up again, and those above it as far as they are in the way
        ceiling = bottom_px
        for number in range(len(spots) - 1, -1, -1):
            spots[number] = min(spots[number], ceiling)
            ceiling = spots[number] - _NAME_APART
    edge_px = _WIDTH - _RIGHT
    marks = []
    for (name, wanted_px), spot_px in zip(named, spots, strict=True):
        marks.append(_line(edge_px, wanted_px, edge_px + 12, spot_px, style="tc-lead"))
        marks.append(_word(edge_px + 15, spot_px + 4, name))
    return marks


def _points(x_px: FloatArray, y_px: FloatArray) -> str:
    return " ".join(f"{x:.1f},{y:.1f}" for x, y in zip(x_px.tolist(), y_px.tolist(), strict=True))


def _line(x1: float, y1: float, x2: float, y2: float, *, style: str) -> str:
    return f'<line class="{style}" x1="{x1:.1f}" y1="{y1:.1f}" x2="{x2:.1f}" y2="{y2:.1f}"/>'


def _word(x: float, y: float, text: str, *, anchor: str = "start", style: str = "tc-word") -> str:
    return (
        f'<text class="{style}" x="{x:.1f}" y="{y:.1f}" text-anchor="{anchor}">'
        f"{escape(text)}</text>"
    )
