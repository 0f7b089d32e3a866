"""Step 1: what the pack must fit in, and what is around it."""

from __future__ import annotations

from typing import Final

from packdesign.presentation.page import state
from packdesign.presentation.page.form.field import Field, draw_fields
from packdesign.presentation.page.form.more import draw_more
from packdesign.presentation.page.form.repeated import Repeated, draw_repeated

__all__ = ["draw_fit"]

_SHAPE: Final = Field(
    path="cavity.shape",
    label="Shape of the room for it",
    companions=(
        ("tube", (("cavity.bore", "46 mm"), ("cavity.length", "160 mm"))),
        (
            "box",
            (("cavity.length", "120 mm"), ("cavity.width", "70 mm"), ("cavity.height", "25 mm")),
        ),
    ),
)
_SIZES: Final[dict[str, tuple[Field, ...]]] = {
    "open": (),
    "tube": (
        Field(path="cavity.bore", label="Inner diameter"),
        Field(path="cavity.length", label="Inner length"),
    ),
    "box": (
        Field(path="cavity.length", label="Inner length"),
        Field(path="cavity.width", label="Inner width"),
        Field(path="cavity.height", label="Inner height"),
    ),
    "stepped_tube": (),
    "mesh": (Field(path="cavity.mesh_unit", label="Unit of the drawing"),),
}
_HOUSING: Final = (
    Field(path="cavity.closure", label="Can gas get out of the housing?"),
    Field(path="cavity.wall_thickness", label="Thickness of its wall"),
    Field(path="cavity.wall_material", label="Material of its wall"),
    Field(path="cavity.clearance", label="Gap to keep to the wall"),
)
_AROUND: Final = (
    Field(path="surroundings.ambient", label="Usual air", slider=(-20.0, 50.0, 1.0)),
    Field(path="surroundings.ambient_min", label="Coldest day of use"),
    Field(path="surroundings.ambient_max", label="Hottest day of use"),
    Field(path="surroundings.hand_held", label="Does a hand hold it?"),
)
_RESERVED: Final = Repeated(
    path="cavity.reserved",
    word="kept room",
    fields=(
        ("name", "What sits there"),
        ("length", "Length"),
        ("width", "Width (empty: all)"),
        ("height", "Height (empty: all)"),
        ("place", "Where it must be"),
    ),
    first={"name": "protection board", "length": "8 mm", "place": "open_end"},
)
_STEPS: Final = Repeated(
    path="cavity.steps",
    word="step of the tube",
    fields=(("bore", "Inner diameter"), ("length", "Length")),
    first={"bore": "46 mm", "length": "80 mm"},
    name_key="bore_m",
)


def draw_fit() -> None:
    """Draw the step."""
    import streamlit as st

    cavity = state.draft().brief.cavity
    shape = cavity.shape if cavity is not None else "open"
    if shape not in ("stepped_tube", "mesh"):
        draw_fields((_SHAPE,))
    draw_fields(_SIZES[shape])
    _draw_ways_in(shape)
    if shape != "open":
        draw_fields(_HOUSING)
        st.markdown("**Room kept for other things**")
        draw_repeated(_RESERVED)
    st.markdown("**Around it**")
    draw_fields(_AROUND)
    shown = {each.path for each in (_SHAPE, *_SIZES[shape], *_HOUSING, *_AROUND)}
    draw_more("More about room and surroundings", ("cavity", "surroundings"), shown=shown)


def _draw_ways_in(shape: str) -> None:
    """Draw what a stepped tube and a drawing need before they make sense."""
    import streamlit as st

    if shape == "stepped_tube":
        draw_repeated(_STEPS)
    if shape in ("stepped_tube", "mesh"):
        st.button("Back to a plain tube", key=state.fields_key("cavity", "plain"),
                  on_click=_make_plain)  # fmt: skip
        return
    with st.expander("A stepped tube, or a drawing file"):
        st.button("Make it a tube of two steps", key=state.fields_key("cavity", "steps"),
                  on_click=_make_stepped)  # fmt: skip
        st.file_uploader(
            "Drawing of the free inside (STL, 3MF, OBJ; in mm)",
            type=["stl", "3mf", "obj"],
            key=state.MESH_FILE,
            on_change=_take_mesh,
        )


def _make_plain() -> None:
    state.change(
        {
            "cavity.shape": "tube",
            "cavity.steps": None,
            "cavity.mesh": None,
            "cavity.bore": "46 mm",
            "cavity.length": "160 mm",
        },
        redraw=True,
    )


def _make_stepped() -> None:
    steps = [{"bore": "46 mm", "length": "80 mm"}, {"bore": "40 mm", "length": "80 mm"}]
    state.change(
        {
            "cavity.shape": "stepped_tube",
            "cavity.steps": steps,
            "cavity.bore": None,
            "cavity.length": None,
        },
        redraw=True,
    )


def _take_mesh() -> None:
    import streamlit as st

    given = st.session_state[state.MESH_FILE]
    if given is None:
        return
    name = f"drawing.{given.name.rpartition('.')[2].lower()}"
    state.change({"cavity.shape": "mesh", "cavity.mesh": name, "cavity.mesh_unit": "mm"})
    if not state.problem():
        state.attach(name, given.getvalue())
