"""How the cells sit in the cavity: the drawing to scale, and the pack to turn."""

from __future__ import annotations

import base64

from packdesign.engineering.geometry.arrangement import Arrangement
from packdesign.planning.assess.record import Assessment
from packdesign.planning.needs.cavity import cavity_of
from packdesign.presentation.drawing.pack_drawing import pack_svg
from packdesign.presentation.drawing.pack_model import pack_figure_3d
from packdesign.presentation.page import cached
from packdesign.presentation.page.draft import Draft
from packdesign.presentation.page.look import INK
from packdesign.presentation.page.wording import escaped
from packdesign.presentation.page.wording import figure as figure_text

__all__ = ["render"]


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
    st.download_button("Save the drawing (SVG)", pack_svg(arrangement, cavity),
                       file_name="pack.svg", mime="image/svg+xml", key="layout.svg")  # fmt: skip
    figure = pack_figure_3d(arrangement, cavity)
    figure.update_layout(height=420, paper_bgcolor="rgba(0,0,0,0)", font={"color": INK})
    st.plotly_chart(figure, width="stretch", theme=None, key="layout.solid")
    st.caption("Drag to turn it, scroll to come nearer. Lengths in millimetres.")
    if arrangement.fits and arrangement.reasons:
        st.write(" ".join(arrangement.reasons))


def _drawing(svg: str, *, words: str) -> str:
    """Put a drawing into an image, for what is drawn inline is cut out by the page's own filter."""
    packed = base64.b64encode(svg.encode()).decode()
    return (
        f'<div class="pd-drawing"><img alt="{escaped(words)}" '
        f'src="data:image/svg+xml;base64,{packed}"></div>'
    )


def _words(arrangement: Arrangement) -> str:
    fits = "fits" if arrangement.fits else "does not fit"
    return (
        f"Drawing of {arrangement.count} cells, {arrangement.name}: it {fits}; "
        f"least gap {figure_text(arrangement.least_clearance_m * 1000, 'mm')}"
    )
