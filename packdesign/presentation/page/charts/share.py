"""Parts of a whole as bars, largest on top, each with its figure written out."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any, Final

from packdesign.presentation.page.look import LINES, paper
from packdesign.presentation.page.wording import figure as figure_text

__all__ = ["share_chart"]

_BAR_PX: Final = 30


def share_chart(parts: Sequence[tuple[str, float]], *, unit: str) -> Any:
    """Draw parts of a whole.

    Parameters
    ----------
    parts : sequence
        Words and size of each, largest first.
    unit : str
        Unit of the sizes.
    """
    import plotly.graph_objects as go

    ordered = list(reversed(parts))
    figure = go.Figure(
        go.Bar(
            x=[size for _, size in ordered],
            y=[words for words, _ in ordered],
            orientation="h",
            marker={"color": LINES[0]},
            text=[figure_text(size, unit) for _, size in ordered],
            textposition="auto",
            hovertemplate="%{y}: %{text}<extra></extra>",
        )
    )
    paper(figure, height=90 + _BAR_PX * len(ordered))
    figure.update_layout(hovermode="closest", bargap=0.35)
    figure.update_xaxes(title_text=f"[{figure_text(0, unit).removeprefix('0 ')}]")
    figure.update_yaxes(automargin=True)
    return figure
