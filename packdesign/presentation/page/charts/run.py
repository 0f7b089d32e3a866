"""A discharge over time: voltage in its band with the thresholds, current, charge, temperatures."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any, Final

from packdesign.engineering.demand.profile import FloatArray
from packdesign.engineering.discharge.bands import DischargeBands
from packdesign.engineering.discharge.run import Trace
from packdesign.presentation.page.charts.thinning import kept_points
from packdesign.presentation.page.look import BAND, LINES, paper

__all__ = ["Level", "run_chart", "temperature_chart"]

Level = tuple[str, float]
"""Words and height of a line drawn across a chart."""

_SECONDS_A_MINUTE: Final = 60.0
_HEIGHTS: Final = (0.46, 0.18, 0.14, 0.22)


def run_chart(
    bands: DischargeBands, levels: Sequence[Level], *, others: Sequence[tuple[str, Trace]] = ()
) -> Any:
    """Draw a discharge.

    Parameters
    ----------
    bands : DischargeBands
        The run with its band over time.
    levels : sequence of Level
        Voltages at which the device warns, limits, stops. [V]
    others : sequence
        Runs of other engines to lay over it, with the name of each.
    """
    from plotly.subplots import make_subplots

    figure = make_subplots(
        rows=4, cols=1, shared_xaxes=True, vertical_spacing=0.035, row_heights=list(_HEIGHTS)
    )
    trace = bands.trace
    if trace is None:
        return paper(figure)
    _add_band(figure, bands, trace)
    _add_run(figure, "likely", trace, colour=LINES[0], dash="solid", is_first=True)
    for number, (name, other) in enumerate(others):
        _add_run(figure, name, other, colour=LINES[2 + number], dash="dash", is_first=False)
    for words, level_v in levels:
        figure.add_hline(
            y=level_v, row=1, col=1, line={"color": "#43474c", "width": 1, "dash": "dot"},
            annotation={"text": words, "xanchor": "left", "x": 0.005, "yshift": -1,
                        "font": {"size": 11}},
        )  # fmt: skip
    titles = ("Voltage [V]", "Current [A]", "Charge [%]", "Temperature [\u00b0C]")
    for row, title in enumerate(titles, start=1):
        figure.update_yaxes(title_text=title, row=row, col=1)
    figure.update_xaxes(title_text="Time [min]", row=4, col=1)
    return paper(figure, height=760)


def _add_band(figure: Any, bands: DischargeBands, trace: Trace) -> None:
    import plotly.graph_objects as go

    low, high = bands.voltage_low_v, bands.voltage_high_v
    if low is None or high is None:
        return
    kept = kept_points(low, high)
    minutes = trace.time_s[kept] / _SECONDS_A_MINUTE
    edge = {"width": 0, "color": LINES[0]}
    figure.add_trace(
        go.Scatter(x=minutes, y=high[kept], mode="lines", line=edge, showlegend=False,
                   hoverinfo="skip"),
        row=1, col=1,
    )  # fmt: skip
    figure.add_trace(
        go.Scatter(x=minutes, y=low[kept], mode="lines", line=edge, fill="tonexty", fillcolor=BAND,
                   name="range, 5 to 95 %", hoverinfo="skip"),
        row=1, col=1,
    )  # fmt: skip


def _add_run(
    figure: Any, name: str, trace: Trace, *, colour: str, dash: str, is_first: bool
) -> None:
    import plotly.graph_objects as go

    kept = kept_points(trace.voltage_v, trace.current_a, trace.cell_degc)
    minutes = trace.time_s[kept] / _SECONDS_A_MINUTE
    rows: list[tuple[int, str, FloatArray, str, str]] = [
        (1, f"voltage, {name}", trace.voltage_v, colour, dash),
        (2, "current", trace.current_a, colour, dash),
        (3, "charge", trace.soc * 100, colour, dash),
        (4, f"cell, {name}", trace.cell_degc, LINES[1] if is_first else colour, dash),
        (4, f"surface, {name}", trace.surface_degc, LINES[3] if is_first else colour, "dot"),
    ]
    for row, words, values, ink, style in rows:
        figure.add_trace(
            go.Scatter(
                x=minutes, y=values[kept], mode="lines", name=words,
                line={"color": ink, "width": 1.6, "dash": style},
                showlegend=row in (1, 4), hovertemplate="%{y:.4g}",
            ),
            row=row, col=1,
        )  # fmt: skip


def temperature_chart(trace: Trace, levels: Sequence[Level]) -> Any:
    """Draw the temperatures of a run with their limits.

    Parameters
    ----------
    trace : Trace
        The run.
    levels : sequence of Level
        Limits to draw. [degC]
    """
    import plotly.graph_objects as go

    figure = go.Figure()
    kept = kept_points(trace.cell_degc, trace.surface_degc)
    minutes = trace.time_s[kept] / _SECONDS_A_MINUTE
    for words, values, ink, style in (
        ("cells", trace.cell_degc, LINES[1], "solid"),
        ("surface", trace.surface_degc, LINES[3], "dash"),
    ):
        figure.add_trace(
            go.Scatter(x=minutes, y=values[kept], mode="lines", name=words,
                       line={"color": ink, "dash": style}, hovertemplate="%{y:.1f} \u00b0C")
        )  # fmt: skip
    for number, (words, level) in enumerate(levels):
        figure.add_hline(
            y=level, line={"color": "#43474c", "width": 1, "dash": "dot"},
            annotation={"text": words, "xanchor": "left", "x": 0.005 + 0.33 * number,
                        "font": {"size": 11}},
        )  # fmt: skip
    figure.update_xaxes(title_text="Time [min]")
    figure.update_yaxes(title_text="Temperature [\u00b0C]")
    return paper(figure, height=380)
