"""A charge over time: current, voltage, charge and temperature, then the balance phase."""

from __future__ import annotations

from typing import Any, Final

from packdesign.engineering.charging.charge_run import ChargeRun
from packdesign.presentation.drawing.thinning import kept_points
from packdesign.presentation.page.look import LINES, paper

__all__ = ["charge_chart"]

_SECONDS_A_MINUTE: Final = 60.0


def charge_chart(run: ChargeRun) -> Any:
    """Draw a charge.

    Parameters
    ----------
    run : ChargeRun
        The charge over time.
    """
    import plotly.graph_objects as go
    from plotly.subplots import make_subplots

    figure = make_subplots(rows=4, cols=1, shared_xaxes=True, vertical_spacing=0.035)
    kept = kept_points(run.time_s, run.voltage_v, run.current_a, most=800)
    minutes = run.time_s[kept] / _SECONDS_A_MINUTE
    lines = (
        (1, "voltage", run.voltage_v, LINES[0]),
        (2, "current into the pack", -run.current_a, LINES[1]),
        (3, "charge", run.soc * 100, LINES[2]),
        (4, "hottest cell", run.cell_degc, LINES[3]),
    )
    for row, name, values, ink in lines:
        figure.add_trace(
            go.Scatter(x=minutes, y=values[kept], mode="lines", name=name,
                       line={"color": ink, "width": 1.8}, hovertemplate="%{y:.4g}"),
            row=row, col=1,
        )  # fmt: skip
    end = run.total_time_s / _SECONDS_A_MINUTE
    constant = (run.pre_charge_time_s + run.cc_time_s) / _SECONDS_A_MINUTE
    figure.add_vline(
        x=constant, row="all", col=1, line={"color": "#43474c", "width": 1, "dash": "dot"},
    )  # fmt: skip
    figure.add_vline(
        x=constant, row=1, col=1, line={"color": "#43474c", "width": 1, "dash": "dot"},
        annotation={"text": "constant voltage from here ", "font": {"size": 11}, "y": 0.02,
                    "yanchor": "bottom", "xanchor": "right"},
    )  # fmt: skip
    if run.balance_time_s:
        shade = {"x0": end, "x1": end + run.balance_time_s / _SECONDS_A_MINUTE,
                 "fillcolor": "rgba(77, 107, 31, 0.15)", "line_width": 0}  # fmt: skip
        words = {"text": "balancing goes on", "font": {"size": 11}}
        figure.add_vrect(**shade, row=1, col=1, annotation=words,
                         annotation_position="bottom left")  # fmt: skip
        for row in (2, 3, 4):
            figure.add_vrect(**shade, row=row, col=1)
    titles = ("Voltage [V]", "Current [A]", "Charge [%]", "Cells [\u00b0C]")
    for row, title in enumerate(titles, start=1):
        figure.update_yaxes(title_text=title, row=row, col=1)
    figure.update_xaxes(title_text="Time [min]", row=4, col=1)
    paper(figure, height=640)
    figure.update_layout(showlegend=False)
    return figure
