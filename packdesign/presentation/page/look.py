"""The look: squared paper, ink, no ornaments; colours for status and for the lines of charts."""

from __future__ import annotations

from typing import Any, Final

from packdesign.planning.verdicts.verdict import Status

__all__ = [
    "BAND",
    "GRID",
    "INK",
    "LINES",
    "STATUS_INK",
    "draw_look",
    "paper",
    "paper_axis",
    "paper_layout",
]

INK: Final = "#1c2730"
GRID: Final = "#d9d8c8"
STATUS_INK: Final[dict[Status, str]] = {
    Status.STOP: "#8f1d14",
    Status.CAUTION: "#6b4a00",
    Status.UNKNOWN: "#43474c",
    Status.OK: "#1d5634",
}
LINES: Final = ("#1f4a6b", "#a1431e", "#4d6b1f", "#6b3a78", "#43474c", "#7a6200")
"""Dark enough for text on the paper (4.5 to 1 and more), and apart in dash as well as in hue."""
BAND: Final = "rgba(31, 74, 107, 0.16)"

_TINTS: Final[dict[Status, str]] = {
    Status.STOP: "#f9e6e1",
    Status.CAUTION: "#fbf1d3",
    Status.UNKNOWN: "#ecece6",
    Status.OK: "#e7f0e4",
}


def draw_look() -> None:
    """Put the style sheet on the page."""
    import streamlit as st

    st.html(f"<style>{_style()}</style>")


def paper(figure: Any, *, height: int = 320) -> Any:
    """Give a chart the look of the page.

    Parameters
    ----------
    figure
        A plotly figure; it is changed in place and given back.
    height : int
        Height in pixels. [-]
    """
    figure.update_layout(paper_layout(height=height))
    axis = paper_axis()
    figure.update_xaxes(**axis)
    figure.update_yaxes(**axis)
    return figure


def paper_layout(*, height: int = 320) -> dict[str, Any]:
    """Give the look of the page as the layout of a chart.

    Parameters
    ----------
    height : int
        Height in pixels. [-]
    """
    return {
        "height": height,
        "margin": {"l": 56, "r": 16, "t": 28, "b": 44},
        "paper_bgcolor": "rgba(0,0,0,0)",
        "plot_bgcolor": "#fffefa",
        "font": {"family": "Verdana, DejaVu Sans, sans-serif", "size": 12, "color": INK},
        "legend": {
            "orientation": "h",
            "y": 1.02,
            "yanchor": "bottom",
            "x": 0,
            "traceorder": "normal",
        },
        "hovermode": "x unified",
        "hoverlabel": {"bgcolor": "#fffefa", "font": {"color": INK}},
        "colorway": list(LINES),
        "uirevision": "keep",
    }


def paper_axis(title: str | None = None) -> dict[str, Any]:
    """Give the look of an axis.

    Parameters
    ----------
    title : str or None
        Words beside it.
    """
    axis: dict[str, Any] = {"gridcolor": GRID, "linecolor": INK, "zeroline": False,
                            "ticks": "outside", "showline": True, "mirror": True}  # fmt: skip
    return axis if title is None else axis | {"title": {"text": title}}


def _style() -> str:
    marks = "".join(
        f".pd-{status.value}{{border-left-color:{STATUS_INK[status]};background:{_TINTS[status]}}}"
        f".pd-{status.value} .pd-word{{color:{STATUS_INK[status]}}}"
        for status in Status
    )
    return _RULES + marks


_RULES: Final = """
.stApp {background-color:#fbfaf4; background-image:
  linear-gradient(rgba(60,90,80,.055) 1px, transparent 1px),
  linear-gradient(90deg, rgba(60,90,80,.055) 1px, transparent 1px);
  background-size:18px 18px;}
.stMainBlockContainer {padding-top:2.6rem; padding-bottom:3rem; max-width:1150px;}
.stAppHeader {background:transparent;}
button[data-testid="stExpandSidebarButton"] {background:#fffefa; border:1px solid #8f9383;}
h1 {font-size:1.7rem !important; letter-spacing:.01em;}
h2 {font-size:1.25rem !important; border-bottom:1px solid #8f9383; padding-bottom:.2rem !important;}
h3 {font-size:1.05rem !important;}
div[data-testid="stSidebarHeader"] {height:2.2rem; margin-bottom:0;}
section[data-testid="stSidebar"] h2 {border-bottom:none; padding:0 !important;}
section[data-testid="stSidebar"] .stHeading {margin-bottom:.4rem;}
section[data-testid="stSidebar"] .stVerticalBlock {gap:.55rem;}
.pd-block {border:1px solid #b9bbab; border-left-width:7px; padding:.55rem .8rem; margin:.35rem 0;
  color:#1c2730; line-height:1.4;}
.pd-block p, .pd-block ul {margin:.2rem 0 0 0;}
.pd-block ul {padding-left:1.1rem;}
.pd-block a {color:#1f4a6b;}
.pd-word {font-weight:700; text-transform:none;}
.pd-sign {display:inline-block; min-width:1.3em; font-weight:700;}
.pd-from {color:#4a4f48; font-size:.86em;}
.pd-numbers {display:grid; grid-template-columns:repeat(3, minmax(0,1fr)); gap:0;
  border:1px solid #b9bbab; background:#fffefa; margin:.5rem 0;}
dl.pd-numbers {padding:0;}
.pd-numbers > div {padding:.5rem .8rem; border-right:1px solid #b9bbab;}
.pd-numbers > div:last-child {border-right:none;}
.pd-numbers dt {font-size:.86rem; color:#3c423b;}
.pd-numbers dd {margin:0; font-family:Georgia, 'DejaVu Serif', serif; font-size:1.45rem;
  font-variant-numeric:tabular-nums;}
.pd-numbers dd.pd-small {font-family:inherit; font-size:.82rem; color:#3c423b;}
p.pd-state {font-size:.82rem; color:#3c423b; margin:-.2rem 0 0 0; min-height:1.3em;}
p.pd-state.pd-unsettled {font-weight:700; color:#6b4a00;}
dl.pd-unsettled {border-style:dashed; border-color:#6b4a00;}
.pd-table {border-collapse:collapse; width:100%; background:#fffefa; font-size:.92rem;}
.pd-table th, .pd-table td {border:1px solid #c9caba; padding:.3rem .5rem; text-align:left;
  vertical-align:top; color:#1c2730;}
.pd-table td.pd-figure {text-align:right; white-space:nowrap; font-variant-numeric:tabular-nums;}
.pd-scroll {overflow-x:auto;}
.pd-plain {font-size:.92rem; color:#2c332c;}
.pd-drawing img {width:100%; height:auto; border:1px solid #b9bbab; background:#fff;}
div[data-testid="stMetricValue"] {font-family:Georgia, 'DejaVu Serif', serif;}
:focus-visible {outline:3px solid #1f4a6b !important; outline-offset:1px;}
.pd-phone {display:none;}
@media (max-width: 640px) {
  .pd-phone {display:block;}
  .stMainBlockContainer {padding-left:.8rem; padding-right:.8rem;}
  .pd-table {font-size:.82rem;}
  .pd-table th, .pd-table td {padding:.25rem .3rem;}
  .pd-table td .pd-range {display:block;}
  .pd-drawing {min-width:680px;}
  .pd-numbers {grid-template-columns:1fr;}
  .pd-numbers > div {border-right:none; border-bottom:1px solid #b9bbab;}
  .pd-numbers > div:last-child {border-bottom:none;}
}
@media (prefers-reduced-motion: reduce) {* {animation:none !important; transition:none !important;}}
"""
