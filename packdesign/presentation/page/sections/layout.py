"""How the cells sit in the cavity: the drawing to scale, and the pack to turn."""

from __future__ import annotations

import base64
from typing import Any, Final

import numpy as np

from packdesign.engineering.geometry.arrangement import Arrangement
from packdesign.planning.assess.record import Assessment
from packdesign.planning.needs.cavity import cavity_of
from packdesign.presentation.drawing.pack_drawing import pack_svg
from packdesign.presentation.drawing.pack_model import pack_figure_3d
from packdesign.presentation.page import cached
from packdesign.presentation.page.draft import Draft
from packdesign.presentation.page.look import INK
from packdesign.presentation.page.taken import save_button
from packdesign.presentation.page.wording import escaped, readable
from packdesign.presentation.page.wording import figure as figure_text

__all__ = ["render"]

_EYE: Final = {"x": 0.95, "y": 0.95, "z": 0.5}
"""Where one stands, in longest sides of the pack and cavity."""
_LEAST_SIDE: Final = 0.05


def render(draft: Draft, judged: Assessment) -> None:
    """Draw the section.

    Parameters
    ----------
    draft : Draft
        What the builder is working on.
    judged : Assessment
        The judged pack.
    """
    import streamlit as st

    arrangement = judged.design.arrangement
    cavity = cavity_of(cached.brief_in_place(draft))
    st.subheader("How the cells sit")
    if not arrangement.fits:
        st.error("It does not fit. " + " ".join(arrangement.reasons))
    st.html(_drawing(pack_svg(arrangement, cavity), words=_words(arrangement)))
    save_button("Save the drawing (SVG)", pack_svg(arrangement, cavity),
                name="pack.svg", mime="image/svg+xml", key="layout.svg")  # fmt: skip
    figure = pack_figure_3d(arrangement, cavity)
    figure.update_layout(height=420, paper_bgcolor="rgba(0,0,0,0)", font={"color": INK},
                         scene=_whole_in_view(figure))  # fmt: skip
    st.plotly_chart(figure, width="stretch", theme=None, key="layout.solid")
    st.caption("Drag to turn it, scroll to come nearer. Lengths in millimetres.")
    if arrangement.fits and arrangement.reasons:
        st.write(readable(" ".join(arrangement.reasons)))


def _whole_in_view(figure: Any) -> dict[str, Any]:
    """Scale a long thing so that its longest side is one, and stand far enough to see both ends."""
    spans = {}
    for axis in "xyz":
        values = np.concatenate([np.ravel(trace[axis]).astype(float) for trace in figure.data])
        spans[axis] = max(float(np.ptp(values)), 1e-9)
    longest = max(spans.values())
    ratio = {axis: max(span / longest, _LEAST_SIDE) for axis, span in spans.items()}
    return {"aspectmode": "manual", "aspectratio": ratio, "camera": {"eye": _EYE}}


def _drawing(svg: str, *, words: str) -> str:
    """Put a drawing into an image, for what is drawn inline is cut out by the page's own filter."""
    packed = base64.b64encode(svg.encode()).decode()
    return (
        '<div class="pd-scroll" tabindex="0" role="region" aria-label="Drawing to scale">'
        f'<div class="pd-drawing"><img alt="{escaped(words)}" '
        f'src="data:image/svg+xml;base64,{packed}"></div></div>'
        '<p class="pd-plain pd-phone">Slide the drawing sideways to see all of it.</p>'
    )


def _words(arrangement: Arrangement) -> str:
    fits = "fits" if arrangement.fits else "does not fit"
    return (
        f"Drawing of {arrangement.count} cells, {arrangement.name}: it {fits}; "
        f"least gap {figure_text(arrangement.least_clearance_m * 1000, 'mm')}"
    )
