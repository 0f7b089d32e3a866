"""Step 4: how the pack is charged, and how the device watches it."""

from __future__ import annotations

from typing import Final

from packdesign.presentation.page.form.field import Field, draw_fields
from packdesign.presentation.page.form.more import draw_more

__all__ = ["draw_charge"]

_CHARGER: Final = (
    Field(path="charger.kind", label="What charges it"),
    Field(path="charger.chemistry", label="Chemistry it is set for"),
    Field(path="charger.series", label="Cells in series it is set for"),
    Field(path="charger.current", label="Charge current"),
    Field(path="charger.end_voltage_per_cell", label="Voltage it ends at, per cell"),
    Field(path="charger.balances", label="Does it balance?"),
    Field(path="charger.balance_current", label="Balance current"),
    Field(path="charger.temperature_min", label="Coldest cells ever charged"),
    Field(path="charger.temperature_max", label="Hottest cells ever charged"),
)
_WHERE: Final = (
    Field(path="charger.attended", label="Is somebody awake nearby?"),
    Field(path="charger.place", label="Where"),
    Field(path="charger.surface", label="On what"),
    Field(path="charger.smoke_alarm", label="Is there a smoke alarm?"),
)
_WATCHED: Final = (
    Field(path="monitor.controller", label="Microcontroller"),
    Field(path="monitor.adc_bits", label="Bits of its converter"),
    Field(path="monitor.reference", label="Reference voltage"),
)


def draw_charge() -> None:
    """Draw the step."""
    import streamlit as st

    draw_fields(_CHARGER)
    st.markdown("**Where and when**")
    draw_fields(_WHERE)
    shown = {each.path for each in (*_CHARGER, *_WHERE)}
    draw_more("More about the charger", ("charger",), shown=shown)
    st.markdown("**How the device reads its pack**")
    draw_fields(_WATCHED)
    draw_more("More about that", ("monitor",), shown={each.path for each in _WATCHED})
