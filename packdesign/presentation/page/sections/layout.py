"""How the cells sit in the cavity: the drawing to scale, and the pack to turn."""

from __future__ import annotations

from packdesign.planning.assess.record import Assessment
from packdesign.planning.needs.cavity import cavity_of
from packdesign.presentation.drawing.pack_drawing import pack_svg
from packdesign.presentation.drawing.pack_model import pack_figure_3d
from packdesign.presentation.page import cached
from packdesign.presentation.page.draft import Draft
from packdesign.presentation.page.look import INK

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
    st.html(f'<div class="pd-drawing">{pack_svg(arrangement, cavity)}</div>')
    figure = pack_figure_3d(arrangement, cavity)
    figure.update_layout(height=420, paper_bgcolor="rgba(0,0,0,0)", font={"color": INK})
    st.plotly_chart(figure, width="stretch", theme=None, key="layout.solid")
    st.caption("Drag to turn it, scroll to come nearer. Lengths in millimetres.")
    if arrangement.fits and arrangement.reasons:
        st.write(" ".join(arrangement.reasons))
