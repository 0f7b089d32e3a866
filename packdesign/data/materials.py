"""Materials: resistivity of strips, emissivity of surfaces, heat conduction in a cell.

Low, middle and high span the sources where they differ. Resistivity is at 20 degC.
"""

from __future__ import annotations

import functools
from dataclasses import dataclass

from packdesign.data.record_reader import find_named, read_records
from packdesign.foundation.basis import Basis

__all__ = ["Material", "find_material", "load_materials"]

_COLUMNS = (
    "material", "use", "resistivity_low_ohm_m", "resistivity_ohm_m", "resistivity_high_ohm_m",
    "temperature_coefficient_low_per_k", "temperature_coefficient_per_k",
    "temperature_coefficient_high_per_k", "emissivity_low", "emissivity", "emissivity_high",
    "conductivity_low_w_per_m_k", "conductivity_w_per_m_k", "conductivity_high_w_per_m_k",
    "basis", "source", "notes",
)  # fmt: skip


@dataclass(frozen=True, slots=True, kw_only=True)
class Material:
    """One material in one use."""

    material: str
    use: str
    """"strip", "surface" or "cell"."""
    resistivity_low_ohm_m: float | None
    resistivity_ohm_m: float | None
    """At 20 degC. [ohm m]"""
    resistivity_high_ohm_m: float | None
    temperature_coefficient_low_per_k: float | None
    temperature_coefficient_per_k: float | None
    """Of resistivity, referred to 20 degC. [1/K]"""
    temperature_coefficient_high_per_k: float | None
    emissivity_low: float | None
    emissivity: float | None
    """[-]"""
    emissivity_high: float | None
    conductivity_low_w_per_m_k: float | None
    conductivity_w_per_m_k: float | None
    conductivity_high_w_per_m_k: float | None
    basis: Basis
    source: str
    notes: str


@functools.cache
def load_materials() -> tuple[Material, ...]:
    """Every material of the shipped table."""
    return read_records("materials.csv", Material, columns=_COLUMNS)


def find_material(name: str) -> Material:
    """Find a material by its name, upper and lower case alike.

    Raises
    ------
    UnknownNameError
        If there is none; with the nearest names.

    Examples
    --------
    >>> find_material("pure nickel").resistivity_ohm_m
    6.99e-08
    """
    return find_named(load_materials(), name, kind="material", names=lambda each: (each.material,))
