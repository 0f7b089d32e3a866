"""A discharge over time: voltage in its band with the thresholds, current, charge, temperatures.

The charts are laid out as plain plotly JSON: built piece by piece with plotly's own objects, the
discharge alone took a quarter of a second.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from itertools import pairwise
from typing import Any, Final

import numpy as np

from packdesign.engineering.demand.profile import FloatArray
from packdesign.engineering.discharge.run import Trace
from packdesign.presentation.drawing.thinning import kept_points
from packdesign.presentation.page.look import BAND, LINES, paper_axis, paper_layout

__all__ = ["Level", "VoltageBand", "run_chart", "temperature_chart"]

Level = tuple[str, float]
"""Words and height of a line drawn across a chart."""

_SECONDS_A_MINUTE: Final = 60.0
_HEIGHTS: Final = (0.46, 0.18, 0.14, 0.22)
_BETWEEN: Final = 0.035
_TITLES: Final = ("Voltage [V]", "Current [A]", "Charge [%]", "Temperature [\u00b0C]")
_LEVEL_LINE: Final = {"color": "#43474c", "width": 1, "dash": "dot"}
_MOST_OF_JUMPS: Final = 2400
_MOST_OF_SMOOTH: Final = 400
"""Points of a line that has jumps, and of one that has none. [-]"""
_LEAST_GAP: Final = 0.05
"""Share of the height of a chart below which two labels would lie over each other. [-]"""


@dataclass(frozen=True, slots=True, kw_only=True)
class VoltageBand:
    """The range of the voltage over time. Arrays of one shape (n,)."""

    time_s: FloatArray
    low_v: FloatArray
    high_v: FloatArray


def run_chart(
    trace: Trace,
    band: VoltageBand | None,
    levels: Sequence[Level],
    *,
    others: Sequence[tuple[str, Trace]] = (),
) -> dict[str, Any]:
    """Draw a discharge.

    Parameters
    ----------
    trace : Trace
        The likely run.
    band : VoltageBand or None
        Range of its voltage; None while it is not worked out.
    levels : sequence of Level
        Voltages at which the device warns, limits, stops. [V]
    others : sequence
        Runs of other engines to lay over it, with the name of each.

    Returns
    -------
    dict
        Plotly JSON.
    """
    data = [] if band is None else _band(band)
    data += _run("likely", trace, colour=LINES[0], dash="solid", is_first=True)
    for number, (name, other) in enumerate(others):
        data += _run(name, other, colour=LINES[2 + number], dash="dash", is_first=False)
    layout = paper_layout(height=760)
    layout |= _stacked_axes()
    shown = [trace.voltage_v, *([] if band is None else [band.low_v, band.high_v])]
    low_v, high_v = (float(pick([pick(each) for each in shown])) for pick in (min, max))
    layout |= _levels(levels, low=low_v, high=high_v, height=_HEIGHTS[0])
    return {"data": data, "layout": layout}


def temperature_chart(trace: Trace, levels: Sequence[Level]) -> dict[str, Any]:
    """Draw the temperatures of a run with their limits.

    Parameters
    ----------
    trace : Trace
        The run.
    levels : sequence of Level
        Limits to draw. [degC]

    Returns
    -------
    dict
        Plotly JSON.
    """
    kept = kept_points(trace.time_s, trace.cell_degc, trace.surface_degc)
    minutes = _sent(trace.time_s[kept] / _SECONDS_A_MINUTE)
    data = [
        {"type": "scatter", "x": minutes, "y": _sent(values[kept]), "mode": "lines", "name": words,
         "line": {"color": ink, "dash": style}, "hovertemplate": "%{y:.1f} \u00b0C"}
        for words, values, ink, style in (
            ("cells", trace.cell_degc, LINES[1], "solid"),
            ("surface", trace.surface_degc, LINES[3], "dash"),
        )
    ]  # fmt: skip
    layout = paper_layout(height=380)
    layout["xaxis"] = paper_axis("Time [min]")
    layout["yaxis"] = paper_axis("Temperature [\u00b0C]")
    reach = [float(np.min(trace.surface_degc)), float(np.max(trace.cell_degc))]
    reach += [level for _, level in levels]
    layout |= _levels(levels, low=min(reach), high=max(reach), height=1.0)
    return {"data": data, "layout": layout}


def _band(band: VoltageBand) -> list[dict[str, Any]]:
    kept = kept_points(band.time_s, band.low_v, band.high_v)
    minutes = _sent(band.time_s[kept] / _SECONDS_A_MINUTE)
    edge = {"type": "scatter", "x": minutes, "mode": "lines", "hoverinfo": "skip",
            "line": {"width": 0, "color": LINES[0]}}  # fmt: skip
    return [
        {**edge, "y": _sent(band.high_v[kept]), "showlegend": False},
        {**edge, "y": _sent(band.low_v[kept]), "fill": "tonexty", "fillcolor": BAND,
         "name": "range, 5 to 95 %"},
    ]  # fmt: skip


def _run(
    name: str, trace: Trace, *, colour: str, dash: str, is_first: bool
) -> list[dict[str, Any]]:
    parts: tuple[tuple[tuple[int, str, FloatArray, str, str], ...], ...] = (
        ((1, f"voltage, {name}", trace.voltage_v, colour, dash),),
        ((2, "current", trace.current_a, colour, dash),),
        ((3, "charge", trace.soc * 100, colour, dash),),
        (
            (4, f"cell, {name}", trace.cell_degc, LINES[1] if is_first else colour, dash),
            (4, f"surface, {name}", trace.surface_degc, LINES[3] if is_first else colour, "dot"),
        ),
    )
    found = []
    for lines in parts:
        most = _MOST_OF_JUMPS if lines[0][0] in (1, 2) else _MOST_OF_SMOOTH
        shown = (values for _, _, values, _, _ in lines)
        kept = kept_points(trace.time_s, *shown, most=most)
        minutes = _sent(trace.time_s[kept] / _SECONDS_A_MINUTE)
        found += [
            {"type": "scatter", "x": minutes, "y": _sent(values[kept]), "mode": "lines",
             "name": words, "xaxis": _axis("x", row), "yaxis": _axis("y", row),
             "showlegend": row in (1, 4), "line": {"color": ink, "width": 1.6, "dash": style},
             "hovertemplate": "%{y:.4g}"}
            for row, words, values, ink, style in lines
        ]  # fmt: skip
    return found


def _sent(values: FloatArray) -> FloatArray:
    """Take what a screen can show: half the bytes of what was worked out."""
    return np.asarray(values, dtype=np.float32)


def _axis(letter: str, row: int) -> str:
    return letter if row == 1 else f"{letter}{row}"


def _stacked_axes() -> dict[str, Any]:
    """Axes of four charts one below the other, over one time."""
    lowest = len(_HEIGHTS)
    room = 1.0 - _BETWEEN * (lowest - 1)
    found: dict[str, Any] = {}
    top = 1.0
    for row, (share, title) in enumerate(zip(_HEIGHTS, _TITLES, strict=True), start=1):
        bottom = max(top - share * room, 0.0)
        number = "" if row == 1 else str(row)
        is_last = row == lowest
        found[f"xaxis{number}"] = {
            **paper_axis("Time [min]" if is_last else None),
            "anchor": _axis("y", row),
            "showticklabels": is_last,
            **({} if is_last else {"matches": _axis("x", lowest)}),
        }
        found[f"yaxis{number}"] = {
            **paper_axis(title), "domain": [bottom, top], "anchor": _axis("x", row)
        }  # fmt: skip
        top = bottom - _BETWEEN
    return found


def _levels(levels: Sequence[Level], *, low: float, high: float, height: float) -> dict[str, Any]:
    """Lines across the first chart with their words; words that would collide are set apart."""
    if not levels:
        return {}
    ordered = sorted(levels, key=lambda each: each[1])
    least = _LEAST_GAP / height * max(high - low, 1e-9)
    gaps = [above - below for (_, below), (_, above) in pairwise(ordered)]
    tight_below = [False, *(gap < least for gap in gaps)]
    tight_above = [*(gap < least for gap in gaps), False]
    placed = [
        # under its line where the next one is close above; aside where both sides are taken
        ("top" if above and not below else "bottom", 0.5 if above and below else 0.005)
        for below, above in zip(tight_below, tight_above, strict=True)
    ]
    return {
        "shapes": [
            {"type": "line", "xref": "x domain", "yref": "y", "x0": 0, "x1": 1, "y0": level,
             "y1": level, "line": _LEVEL_LINE}
            for _, level in ordered
        ],
        "annotations": [
            {"text": words, "xref": "x domain", "yref": "y", "x": x, "y": level,
             "xanchor": "left", "yanchor": side, "yshift": 1 if side == "top" else -1,
             "showarrow": False, "font": {"size": 11}}
            for (words, level), (side, x) in zip(ordered, placed, strict=True)
        ],
    }  # fmt: skip
