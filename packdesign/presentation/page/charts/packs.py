"""Packs as points: how long against how heavy, with the front that no other pack beats."""

from __future__ import annotations

from collections.abc import Collection, Sequence
from typing import Any, Final

from packdesign.presentation.page.look import LINES, paper

__all__ = ["packs_chart"]

_SHAPES: Final = {"ok": "circle", "caution": "triangle-up", "unknown": "square", "stop": "x"}
_SECONDS_AN_HOUR: Final = 3600.0


def packs_chart(packs: Sequence[dict[str, Any]], *, front: Collection[str]) -> Any:
    """Draw packs.

    Parameters
    ----------
    packs : sequence of dict
        Rows of the shortlist.
    front : collection of str
        Names of the packs on the front.
    """
    import plotly.graph_objects as go

    figure = go.Figure()
    for number, (status, shape) in enumerate(_SHAPES.items()):
        some = [each for each in packs if each["status"] == status]
        if some:
            figure.add_trace(
                go.Scatter(
                    x=[each["mass_g"] for each in some],
                    y=[each["run_time_s"] / _SECONDS_AN_HOUR for each in some],
                    text=[each["name"] for each in some], mode="markers", name=status,
                    marker={"symbol": shape, "size": 9, "color": LINES[number], "opacity": 0.8},
                    hovertemplate="%{text}<br>%{x:.0f} g, %{y:.2f} h<extra></extra>",
                )
            )  # fmt: skip
    best = sorted((each for each in packs if each["name"] in front), key=lambda e: e["mass_g"])
    if best:
        figure.add_trace(
            go.Scatter(
                x=[each["mass_g"] for each in best],
                y=[each["run_time_s"] / _SECONDS_AN_HOUR for each in best],
                mode="lines", name="front: nothing is both lighter and longer",
                line={"color": LINES[4], "dash": "dot", "shape": "hv"}, hoverinfo="skip",
            )
        )  # fmt: skip
    paper(figure, height=400)
    figure.update_layout(hovermode="closest")
    figure.update_xaxes(title_text="Mass of cells and strips [g]")
    figure.update_yaxes(title_text="Runs [h]")
    return figure
