"""Analogue inputs and brown-out levels of microcontrollers; one row per setting."""

from __future__ import annotations

import functools
from dataclasses import dataclass

from packdesign.data.record_reader import read_records
from packdesign.foundation.basis import Basis
from packdesign.foundation.errors import UnknownNameError

__all__ = ["ControllerInput", "controller_rows", "load_controllers"]

_COLUMNS = (
    "controller", "maker", "bits", "reference", "reference_min_v", "reference_v",
    "reference_max_v", "usable_low_v", "usable_high_v", "source_impedance_most_kohm",
    "source_condition", "sample_cap_pf", "sample_switch_kohm", "input_ohm",
    "input_leakage_most_ua", "error_typical_lsb", "error_most_lsb", "brownout_level",
    "brownout_min_v", "brownout_v", "brownout_max_v", "basis", "source", "notes",
)  # fmt: skip


@dataclass(frozen=True, slots=True, kw_only=True)
class ControllerInput:
    """One setting of one controller."""

    controller: str
    maker: str
    bits: int | None
    reference: str
    reference_min_v: float | None
    reference_v: float | None
    reference_max_v: float | None
    usable_low_v: float | None
    """Range that can be read, where the maker states one. [V]"""
    usable_high_v: float | None
    source_impedance_most_ohm: float | None
    """Highest impedance of the source at this setting. [ohm]"""
    source_condition: str
    sample_cap_f: float | None
    sample_switch_ohm: float | None
    input_ohm: float | None
    input_leakage_most_a: float | None
    error_typical_lsb: float | None
    error_most_lsb: float | None
    brownout_level: str
    brownout_min_v: float | None
    brownout_v: float | None
    brownout_max_v: float | None
    basis: Basis
    source: str
    notes: str


@functools.cache
def load_controllers() -> tuple[ControllerInput, ...]:
    """Every row of the shipped table."""
    return read_records("controllers.csv", ControllerInput, columns=_COLUMNS)


def controller_rows(name: str) -> tuple[ControllerInput, ...]:
    """Every row of one controller; a row for "A/B" is found by "A" too.

    Raises
    ------
    UnknownNameError
        If there is none; with the nearest names.

    Examples
    --------
    >>> {row.bits for row in controller_rows("STM32F103")}
    {12}
    """
    wanted = name.lower()
    rows = tuple(
        each
        for each in load_controllers()
        if wanted in (each.controller.lower(), each.controller.lower().partition("/")[0])
    )
    if not rows:
        known = [each.controller for each in load_controllers()]
        raise UnknownNameError(kind="controller", name=name, known=known)
    return rows
