"""Wires: size, resistance and what current their sources let them carry.

Amperes depend on the table they come from by a factor of four and more; each row says under which
condition they hold. Strips are computed from :mod:`packdesign.data.materials`.
"""

from __future__ import annotations

import functools
from dataclasses import dataclass

from packdesign.data.record_reader import read_records
from packdesign.foundation.basis import Basis
from packdesign.foundation.errors import UnknownNameError

__all__ = ["Conductor", "load_conductors", "wire"]

_COLUMNS = (
    "kind", "awg", "conductor_mm2", "stranding", "conductor_diameter_mm",
    "resistance_milliohm_per_m", "resistance_kind", "outer_diameter_mm", "insulation",
    "insulation_degc", "rated_v", "ampacity_single_a", "ampacity_bundled_a",
    "ampacity_condition", "basis", "source", "notes",
)  # fmt: skip


@dataclass(frozen=True, slots=True, kw_only=True)
class Conductor:
    """One size of one kind of wire."""

    kind: str
    awg: int
    """American wire gauge. [-]"""
    conductor_m2: float | None
    """Cross-section of the copper. [m²]"""
    stranding: str
    conductor_diameter_m: float | None
    resistance_ohm_per_m: float | None
    """At 20 degC, one conductor. [ohm/m]"""
    resistance_kind: str
    """"nominal" or "maximum"."""
    outer_diameter_m: float | None
    insulation: str
    insulation_degc: float | None
    rated_v: float | None
    ampacity_single_a: float | None
    """Single wire in free air. [A]"""
    ampacity_bundled_a: float | None
    """Among other loaded wires. [A]"""
    ampacity_condition: str
    basis: Basis
    source: str
    notes: str


@functools.cache
def load_conductors() -> tuple[Conductor, ...]:
    """Every wire of the shipped table."""
    return read_records("conductors.csv", Conductor, columns=_COLUMNS)


def wire(awg: int, *, kind: str = "bare solid copper") -> Conductor:
    """Find one wire.

    Parameters
    ----------
    awg : int
        American wire gauge. [-]
    kind : str
        Kind as the table names it.

    Raises
    ------
    UnknownNameError
        If the table has no such wire.

    Examples
    --------
    >>> wire(18).ampacity_single_a
    16.0
    """
    known = load_conductors()
    for each in known:
        if each.awg == awg and each.kind == kind:
            return each
    names = [f"{each.awg} AWG {each.kind}" for each in known]
    raise UnknownNameError(kind="wire", name=f"{awg} AWG {kind}", known=names)
