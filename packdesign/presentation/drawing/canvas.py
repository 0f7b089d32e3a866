"""The few marks that drawings are made of: lines, outlines, text and dimensions, as SVG text.

Black on white only: thick for cells and strips, thin for the cavity, dashed for what is hidden or
only kept free, so that a drawing reads the same printed without colour.
"""

from __future__ import annotations

from dataclasses import dataclass
from html import escape

__all__ = [
    "SMALL_PX",
    "TEXT_PX",
    "Frame",
    "circle",
    "dimension",
    "label",
    "line",
    "outline",
    "rectangle",
    "text_width_px",
]

TEXT_PX = 12
"""Height of text. [px]"""
SMALL_PX = 10
"""Height of names and numbers inside a view. [px]"""


@dataclass(frozen=True, slots=True, kw_only=True)
class Frame:
    """Where a view lies on the sheet, and its scale."""

    left_px: float
    top_px: float
    low_m: tuple[float, float]
    """Lowest corner of what is shown, across and up. [m]"""
    high_m: tuple[float, float]
    px_per_m: float

    def at(self, across_m: float, up_m: float) -> tuple[float, float]:
        """Place on the sheet of a point of the view. [px]"""
        return (
            self.left_px + (across_m - self.low_m[0]) * self.px_per_m,
            self.top_px + (self.high_m[1] - up_m) * self.px_per_m,
        )

    @property
    def height_px(self) -> float:
        """Height of the view. [px]"""
        return (self.high_m[1] - self.low_m[1]) * self.px_per_m


def line(start: tuple[float, float], end: tuple[float, float], *, style: str = "thin") -> str:
    """Straight line in one of the styles of the sheet."""
    return (
        f'<line class="{style}" x1="{start[0]:.1f}" y1="{start[1]:.1f}" '
        f'x2="{end[0]:.1f}" y2="{end[1]:.1f}"/>'
    )


def rectangle(one: tuple[float, float], other: tuple[float, float], *, style: str = "thin") -> str:
    """Upright rectangle between two opposite corners."""
    left, right = sorted((one[0], other[0]))
    top, bottom = sorted((one[1], other[1]))
    return (
        f'<rect class="{style}" x="{left:.1f}" y="{top:.1f}" '
        f'width="{right - left:.1f}" height="{bottom - top:.1f}"/>'
    )


def circle(middle: tuple[float, float], radius_px: float, *, style: str = "thin") -> str:
    """Circle of a radius. [px]"""
    return (
        f'<circle class="{style}" cx="{middle[0]:.1f}" cy="{middle[1]:.1f}" r="{radius_px:.1f}"/>'
    )


def outline(points: list[tuple[float, float]], *, style: str = "thin") -> str:
    """Closed outline through points."""
    path = " ".join(f"{x:.1f},{y:.1f}" for x, y in points)
    return f'<polygon class="{style}" points="{path}"/>'


def label(
    at: tuple[float, float], text: str, *, anchor: str = "middle", turn_deg: float = 0.0,
    style: str = "word",
) -> str:  # fmt: skip
    """Text at a point, its baseline there; turned about it where asked."""
    turn = f' transform="rotate({turn_deg:g} {at[0]:.1f} {at[1]:.1f})"' if turn_deg else ""
    return (
        f'<text class="{style}" x="{at[0]:.1f}" y="{at[1]:.1f}" text-anchor="{anchor}"{turn}>'
        f"{escape(text)}</text>"
    )


def text_width_px(text: str, *, size_px: float = TEXT_PX) -> float:
    """Estimate the width of text: 0.6 of its height a letter, on the wide side. [px]"""
    return 0.6 * size_px * len(text)


def dimension(
    start: tuple[float, float], end: tuple[float, float], text: str, *, is_upright: bool = False
) -> list[str]:
    """Dimension line with a tick at each end and its text beside the middle."""
    ticks = [line((x - 4, y + 4), (x + 4, y - 4), style="thin") for x, y in (start, end)]
    middle = ((start[0] + end[0]) / 2, (start[1] + end[1]) / 2)
    if is_upright:
        word = label((middle[0] - 6, middle[1]), text, turn_deg=-90)
    else:
        word = label((middle[0], middle[1] - 5), text)
    return [line(start, end, style="thin"), *ticks, word]
