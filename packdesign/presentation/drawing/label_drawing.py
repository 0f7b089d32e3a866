"""The label of a pack to cut out, as SVG in millimetres."""

from __future__ import annotations

import textwrap
from collections.abc import Sequence
from dataclasses import dataclass
from html import escape
from typing import Final

__all__ = ["LEAST_TEXT_MM", "LabelDrawing", "label_svg"]

LEAST_TEXT_MM: Final = 2.1
"""Height of the smallest letters, 6 point: common practice for labels, no source. [mm]"""
_MOST_TEXT_MM: Final = 3.2
_LINE_SHARE: Final = 1.25
_LETTER_SHARE: Final = 0.53
"""Mean width of a letter over its height, on the wide side for sans serif; chosen here. [-]"""
_MARGIN_MM: Final = 2.0
_BIN_MM: Final = 9.0
_WIDTHS_MM: Final = (50.0, 90.0)
_HEIGHTS_MM: Final = (24.0, 60.0)
"""Least and most of a label, whatever the pack; chosen here. [mm]"""
_EDGE_MM: Final = 1.0
"""Left free on each side of the pack's face. [mm]"""


@dataclass(frozen=True, slots=True, kw_only=True)
class LabelDrawing:
    """A label drawn to be cut out."""

    svg: str
    width_mm: float
    height_mm: float
    text_mm: float
    """Height of its letters. [mm]"""
    fits_face: bool
    """Whether it is no larger than the face it was drawn for."""


def label_svg(
    lines: Sequence[str], *, room_mm: tuple[float, float], warning: str = ""
) -> LabelDrawing:
    """Draw a label: frame to cut along, text, crossed-out bin.

    Parameters
    ----------
    lines : sequence of str
        What it says.
    room_mm : tuple of float
        Length and width of the face that it is glued to. [mm]
    warning : str
        A first line in large letters in a frame; empty: none.

    Returns
    -------
    LabelDrawing
        With the largest letters that fit the face. Nothing is smaller than 6 point: where that
        needs more than the face, the label is larger, and says so.
    """
    width_mm = min(max(room_mm[0] - 2 * _EDGE_MM, _WIDTHS_MM[0]), _WIDTHS_MM[1])
    most_mm = min(max(room_mm[1] - 2 * _EDGE_MM, _HEIGHTS_MM[0]), _HEIGHTS_MM[1])
    text_mm = _MOST_TEXT_MM
    while True:
        wrapped = _wrapped(lines, width_mm=width_mm, text_mm=text_mm)
        height_mm = max(
            _needed_mm(wrapped, text_mm=text_mm, warning=warning),
            1.35 * _BIN_MM + 2 * _MARGIN_MM + (2.6 * text_mm if warning else 0.0),
        )
        if height_mm <= most_mm or text_mm <= LEAST_TEXT_MM:
            break
        text_mm = round(text_mm - 0.1, 1)
    fits = width_mm <= room_mm[0] and height_mm <= room_mm[1]
    svg = _drawn(wrapped, width_mm, height_mm, text_mm=text_mm, warning=warning)
    return LabelDrawing(
        svg=svg, width_mm=width_mm, height_mm=height_mm, text_mm=text_mm, fits_face=fits
    )


def _wrapped(lines: Sequence[str], *, width_mm: float, text_mm: float) -> list[str]:
    room_mm = width_mm - 3 * _MARGIN_MM - _BIN_MM
    letters = max(8, int(room_mm / (_LETTER_SHARE * text_mm)))
    return [part for line in lines for part in textwrap.wrap(line, letters) or [""]]


def _needed_mm(wrapped: Sequence[str], *, text_mm: float, warning: str) -> float:
    above = 2.6 * text_mm if warning else 0.0
    return above + len(wrapped) * text_mm * _LINE_SHARE + 2 * _MARGIN_MM


def _drawn(
    wrapped: Sequence[str], width_mm: float, height_mm: float, *, text_mm: float, warning: str
) -> str:
    marks = [
        f'<rect x="0.3" y="0.3" width="{width_mm - 0.6:.1f}" height="{height_mm - 0.6:.1f}" '
        'fill="#fff" stroke="#000" stroke-width="0.3" stroke-dasharray="1.5 1"/>'
    ]
    at_mm = _MARGIN_MM
    if warning:
        size_mm = min(1.8 * text_mm, (width_mm - 8) / (0.62 * len(warning)))
        marks.append(
            f'<rect x="1.2" y="{at_mm - 0.6:.2f}" width="{width_mm - 2.4:.1f}" '
            f'height="{2.3 * text_mm:.2f}" fill="none" stroke="#000" stroke-width="0.8"/>'
        )
        marks.append(_text(width_mm / 2, at_mm + 1.55 * text_mm, warning, size_mm, is_middle=True))
        at_mm += 2.6 * text_mm
    for number, line in enumerate(wrapped):
        down_mm = at_mm + (number + 0.85) * text_mm * _LINE_SHARE
        marks.append(_text(_MARGIN_MM, down_mm, line, text_mm, is_bold=number == 0))
    marks += _crossed_bin(width_mm - _MARGIN_MM - _BIN_MM, height_mm - _MARGIN_MM - 1.35 * _BIN_MM)
    said = escape("Label: " + " ".join([warning, *wrapped]))
    return (
        f'<svg xmlns="http://www.w3.org/2000/svg" width="{width_mm:.1f}mm" '
        f'height="{height_mm:.1f}mm" viewBox="0 0 {width_mm:.1f} {height_mm:.1f}" role="img" '
        f'aria-label="{said}">{"".join(marks)}</svg>'
    )


def _text(
    x_mm: float, y_mm: float, text: str, size_mm: float, *,
    is_bold: bool = False, is_middle: bool = False,
) -> str:  # fmt: skip
    weight = "700" if is_bold or is_middle else "400"
    anchor = "middle" if is_middle else "start"
    return (
        f'<text x="{x_mm:.2f}" y="{y_mm:.2f}" text-anchor="{anchor}" font-weight="{weight}" '
        f'font-size="{size_mm:.2f}" font-family="Helvetica,Arial,sans-serif" fill="#000">'
        f"{escape(text)}</text>"
    )


def _crossed_bin(left_mm: float, top_mm: float) -> list[str]:
    """A wheeled bin crossed out: collect apart (EU 2023/1542), drawn here."""
    wide, tall = _BIN_MM, 1.2 * _BIN_MM

    def at(x: float, y: float) -> str:
        return f"{left_mm + x * wide:.2f},{top_mm + y * tall:.2f}"

    line = 'fill="none" stroke="#000" stroke-width="0.5" stroke-linejoin="round"'
    return [
        f'<polygon points="{at(0.22, 0.24)} {at(0.78, 0.24)} {at(0.7, 0.86)} {at(0.3, 0.86)}" '
        f"{line}/>",
        f'<polyline points="{at(0.14, 0.24)} {at(0.86, 0.24)} {at(0.8, 0.14)} {at(0.2, 0.14)} '
        f'{at(0.14, 0.24)}" {line}/>',
        f'<circle cx="{left_mm + 0.34 * wide:.2f}" cy="{top_mm + 0.92 * tall:.2f}" r="0.6" '
        f"{line}/>",
        f'<polyline points="{at(0.02, 0.02)} {at(0.98, 0.98)}" {line}/>',
        f'<polyline points="{at(0.98, 0.02)} {at(0.02, 0.98)}" {line}/>',
        f'<rect x="{left_mm + 0.1 * wide:.2f}" y="{top_mm + 1.06 * tall:.2f}" '
        f'width="{0.8 * wide:.2f}" height="0.9" fill="#000"/>',
    ]
