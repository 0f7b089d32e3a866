"""Two discharges over one another."""

from __future__ import annotations

from typing import Any, Final

from packdesign.engineering.discharge.run import Trace
from packdesign.presentation.drawing.thinning import kept_points
from packdesign.presentation.page.look import LINES, paper

__all__ = ["pair_chart"]

_SECONDS_A_MINUTE: Final = 60.0


def pair_chart(one: Trace, other: Trace, *, name: str) -> Any:
    """Draw the voltages of two runs.

    Parameters
    ----------
    one, other : Trace
        The run as it is, and the changed one.
    name : str
        Name of the changed one.
    """
    import plotly.graph_objects as go

    figure = go.Figure()
    for words, trace, ink, dash in (
        ("as it is", one, LINES[0], "solid"),
        (name, other, LINES[1], "dash"),
    ):
        kept = kept_points(trace.time_s, trace.voltage_v, most=1000)
        figure.add_trace(
            go.Scatter(x=trace.time_s[kept] / _SECONDS_A_MINUTE, y=trace.voltage_v[kept],
                       mode="lines", name=words, line={"color": ink, "dash": dash, "width": 1.6},
                       hovertemplate="%{y:.4g} V")
        )  # fmt: skip
    figure.update_xaxes(title_text="Time [min]")
    figure.update_yaxes(title_text="Voltage [V]")
    return paper(figure, height=340)
