"""Names written into rectangles of a drawing: where they go in, and beside what lies there."""

from __future__ import annotations

import textwrap

from packdesign.presentation.drawing.canvas import SMALL_PX, label, text_width_px

__all__ = ["Spot", "beside", "inside"]

Spot = tuple[float, float]
_ROOM_PX = 2.0
"""Least room between a name and the edge around it. [px]"""
_LINE_PX = 12.0
_MOST_LINES = 3


def inside(low: Spot, high: Spot, text: str) -> list[str]:
    """Write a name into a rectangle, level or upright, in up to three lines, if it goes in.

    Parameters
    ----------
    low, high : tuple of float
        Two opposite corners. [px]
    text : str
        The name.
    """
    wide_px, tall_px = abs(high[0] - low[0]), abs(high[1] - low[1])
    middle = ((low[0] + high[0]) / 2, (low[1] + high[1]) / 2)
    for count in range(1, _MOST_LINES + 1):
        lines = textwrap.wrap(text, -(-len(text) // count) + count, break_long_words=False)
        long_px = max(text_width_px(each, size_px=SMALL_PX) for each in lines) + 2 * _ROOM_PX
        deep_px = (len(lines) - 1) * _LINE_PX + SMALL_PX + 2 * _ROOM_PX
        if long_px <= wide_px and deep_px <= tall_px:
            return _lines(middle, lines, is_upright=False)
        if long_px <= tall_px and deep_px <= wide_px:
            return _lines(middle, lines, is_upright=True)
    return []


def _lines(middle: Spot, lines: list[str], *, is_upright: bool) -> list[str]:
    marks = []
    for number, text in enumerate(lines):
        down_px = (number - (len(lines) - 1) / 2) * _LINE_PX + 4
        at = (middle[0] + down_px, middle[1]) if is_upright else (middle[0], middle[1] + down_px)
        marks.append(label(at, text, turn_deg=-90 if is_upright else 0, style="small"))
    return marks


def beside(low: Spot, high: Spot, text: str, taken: list[tuple[Spot, Spot]]) -> list[str]:
    """Write a name into the largest part of a rectangle that nothing covers, if it goes in.

    Parameters
    ----------
    low, high : tuple of float
        Two opposite corners. [px]
    text : str
        The name.
    taken : list of tuple
        Two opposite corners of each thing that the name must not lie on. [px]
    """
    left, right = sorted((low[0], high[0]))
    top, bottom = sorted((low[1], high[1]))
    sides = [(*sorted((a[0], b[0])), *sorted((a[1], b[1]))) for a, b in taken]
    over = [
        (x0, x1, y0, y1)
        for x0, x1, y0, y1 in sides
        if x0 < right and x1 > left and y0 < bottom and y1 > top
    ]
    parts = [(left, right, top, bottom)]
    if over:
        parts = [
            (left, min(box[0] for box in over), top, bottom),
            (max(box[1] for box in over), right, top, bottom),
            (left, right, top, min(box[2] for box in over)),
            (left, right, max(box[3] for box in over), bottom),
        ]
    parts = [part for part in parts if part[1] > part[0] and part[3] > part[2]]
    parts.sort(key=lambda part: -(part[1] - part[0]) * (part[3] - part[2]))
    for x0, x1, y0, y1 in parts:
        words = inside((x0, y0), (x1, y1), text)
        if words:
            return words
    return []
