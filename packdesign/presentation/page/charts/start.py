"""A start of a motor over time: rail with its minimum, currents, speed."""

from __future__ import annotations

from typing import Any

from packdesign.engineering.demand.transient_result import TransientResult
from packdesign.presentation.drawing.thinning import kept_points
from packdesign.presentation.page.look import LINES, paper

__all__ = ["start_chart"]


def start_chart(result: TransientResult, *, needed_v: float) -> Any:
    """Draw a start.

    Parameters
    ----------
    result : TransientResult
        The start over time.
    needed_v : float
        Least voltage at which everything still works; 0 draws none. [V]
    """
    import plotly.graph_objects as go
    from plotly.subplots import make_subplots

    figure = make_subplots(rows=3, cols=1, shared_xaxes=True, vertical_spacing=0.04,
                           row_heights=[0.42, 0.36, 0.22])  # fmt: skip
    kept = kept_points(result.time_s, result.bus_v, result.pack_a, result.motor_a, most=900)
    time_ms = result.time_s[kept] * 1000
    lines = (
        (1, "at the driver", result.bus_v, LINES[0], "solid"),
        (2, "pack", result.pack_a, LINES[0], "solid"),
        (2, "motor", result.motor_a, LINES[1], "dash"),
        (3, "shaft", result.output_speed_rad_per_s, LINES[2], "solid"),
    )
    for row, name, values, ink, dash in lines:
        figure.add_trace(
            go.Scatter(x=time_ms, y=values[kept], mode="lines", name=name,
                       line={"color": ink, "dash": dash, "width": 1.6},
                       hovertemplate="%{y:.4g}"),
            row=row, col=1,
        )  # fmt: skip
    if needed_v > 0:
        figure.add_hline(
            y=needed_v, row=1, col=1, line={"color": LINES[1], "width": 1.5, "dash": "dot"},
            annotation={"text": f"needed {needed_v:.3g} V", "xanchor": "left", "x": 0.005,
                        "font": {"size": 11}},
        )  # fmt: skip
    lowest_v, lowest_ms = result.lowest_bus_v, result.lowest_bus_time_s * 1000
    figure.add_annotation(
        x=lowest_ms, y=lowest_v, text=f"lowest {lowest_v:.3g} V", showarrow=True, row=1, col=1,
        ay=28, ax=36, font={"size": 11},
    )  # fmt: skip
    titles = ("Voltage [V]", "Current [A]", "Speed [rad/s]")
    for row, title in enumerate(titles, start=1):
        figure.update_yaxes(title_text=title, row=row, col=1)
    figure.update_xaxes(title_text="Time [ms]", row=3, col=1)
    return paper(figure, height=600)
