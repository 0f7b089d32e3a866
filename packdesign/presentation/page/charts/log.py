"""A log with what was predicted for it, before and after the fit."""

from __future__ import annotations

from typing import Any, Final

from packdesign.planning.assess.log_fit import FittedLog
from packdesign.presentation.drawing.thinning import kept_points
from packdesign.presentation.page.look import LINES, paper

__all__ = ["log_chart"]

_SECONDS_A_MINUTE: Final = 60.0


def log_chart(found: FittedLog) -> Any:
    """Draw a log and the runs of the model.

    Parameters
    ----------
    found : FittedLog
        The log and the fit.
    """
    import plotly.graph_objects as go
    from plotly.subplots import make_subplots

    figure = make_subplots(rows=2, cols=1, shared_xaxes=True, vertical_spacing=0.05,
                           row_heights=[0.7, 0.3])  # fmt: skip
    log = found.log
    begin_s = log.time_s[0]
    lines = (
        ("measured", log.time_s - begin_s, log.voltage_v, "#1c2730", "solid"),
        ("predicted before", found.before.time_s, found.before.voltage_v, LINES[1], "dash"),
        ("predicted after the fit", found.after.time_s, found.after.voltage_v, LINES[0], "dot"),
    )
    for name, time_s, values, ink, dash in lines:
        kept = kept_points(time_s, values, most=900)
        figure.add_trace(
            go.Scatter(x=time_s[kept] / _SECONDS_A_MINUTE, y=values[kept], mode="lines", name=name,
                       line={"color": ink, "dash": dash, "width": 1.6},
                       hovertemplate="%{y:.4g}"),
            row=1, col=1,
        )  # fmt: skip
    kept = kept_points(log.time_s, log.current_a, most=900)
    figure.add_trace(
        go.Scatter(x=(log.time_s[kept] - begin_s) / _SECONDS_A_MINUTE, y=log.current_a[kept],
                   mode="lines", name="current", showlegend=False,
                   line={"color": LINES[4], "width": 1.4}),
        row=2, col=1,
    )  # fmt: skip
    figure.update_yaxes(title_text="Voltage [V]", row=1, col=1)
    figure.update_yaxes(title_text="Current [A]", row=2, col=1)
    figure.update_xaxes(title_text="Time [min]", row=2, col=1)
    return paper(figure, height=520)
