"""What is known of a cell, figure by figure, each with unit, basis and condition."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Any, Final

from packdesign.data.cells import Cell
from packdesign.presentation.export.plain import number

__all__ = ["CellFigure", "cell_figures", "cell_object", "cells_object"]

_SCHEMA: Final = 1


@dataclass(frozen=True, slots=True, kw_only=True)
class CellFigure:
    """One figure of a cell, in the unit that people use."""

    key: str
    """Name of the field, in SI."""
    name: str
    value: float | None
    unit: str
    basis: str
    """Empty where the value is not known."""
    condition: str = ""


@dataclass(frozen=True, slots=True)
class _Shown:
    name: str
    unit: str
    factor: float = 1.0
    condition_field: str = ""


_FIGURES: Final[dict[str, _Shown]] = {
    "capacity_ah": _Shown("capacity, typical", "Ah"),
    "rated_capacity_ah": _Shown("capacity, guaranteed", "Ah"),
    "nominal_v": _Shown("nominal voltage", "V"),
    "full_v": _Shown("full voltage", "V"),
    "cutoff_v": _Shown("cut-off voltage", "V"),
    "standard_charge_a": _Shown("standard charge", "A"),
    "max_charge_a": _Shown("highest charge", "A", 1.0, "max_charge_condition"),
    "continuous_a": _Shown("continuous discharge", "A", 1.0, "continuous_condition"),
    "temperature_cut_degc": _Shown("needs a cut at", "degC"),
    "uncut_continuous_a": _Shown("continuous, no cut needed", "A"),
    "independent_continuous_a": _Shown("continuous, found by a tester", "A"),
    "unrated_a": _Shown("on a label, no rating", "A", 1.0, "unrated_condition"),
    "pulse_a": _Shown("pulse discharge", "A", 1.0, "pulse_condition"),
    "pulse_s": _Shown("length of that pulse", "s"),
    "ac_resistance_ohm": _Shown("impedance at 1 kHz", "mohm", 1000.0),
    "dc_resistance_ohm": _Shown("DC resistance", "mohm", 1000.0),
    "dc_resistance_tolerance_ohm": _Shown("its tolerance, plus or minus", "mohm", 1000.0),
    "dc_resistance_pulse_s": _Shown("pulse it was read with", "s"),
    "diameter_m": _Shown("diameter", "mm", 1000.0),
    "thickness_m": _Shown("thickness", "mm", 1000.0),
    "width_m": _Shown("width", "mm", 1000.0),
    "length_m": _Shown("length", "mm", 1000.0),
    "mass_kg": _Shown("mass", "g", 1000.0),
    "price": _Shown("price of one", "", 1.0, "currency"),
    "charge_min_degc": _Shown("charge from", "degC"),
    "charge_max_degc": _Shown("charge up to", "degC"),
    "discharge_min_degc": _Shown("discharge from", "degC"),
    "discharge_max_degc": _Shown("discharge up to", "degC"),
}


def cell_figures(cell: Cell, *, with_unknown: bool = False) -> tuple[CellFigure, ...]:
    """Give the figures of a cell.

    Parameters
    ----------
    cell : Cell
        The cell.
    with_unknown : bool
        Whether to give those that are not known, too.
    """
    found = []
    for key, shown in _FIGURES.items():
        value = getattr(cell, key)
        if value is None and not with_unknown:
            continue
        condition = getattr(cell, shown.condition_field) if shown.condition_field else ""
        found.append(
            CellFigure(
                key=key,
                name=shown.name,
                value=None if value is None else value * shown.factor,
                unit=shown.unit,
                basis="" if value is None else str(cell.basis_of(key)),
                condition=condition,
            )
        )
    return tuple(found)


def cells_object(cells: Sequence[Cell], *, among: int) -> dict[str, Any]:
    """Give what ``packdesign cells --json`` prints.

    Parameters
    ----------
    cells : sequence of Cell
        The cells chosen.
    among : int
        How many there are in all. [-]
    """
    return {"schema": _SCHEMA, "count": len(cells), "among": among,
            "cells": [_facts(cell) for cell in cells]}  # fmt: skip


def cell_object(cell: Cell) -> dict[str, Any]:
    """Give what ``packdesign cells NAME --json`` prints.

    Parameters
    ----------
    cell : Cell
        The cell.
    """
    return {"schema": _SCHEMA, "cell": _facts(cell)}


def _facts(cell: Cell) -> dict[str, Any]:
    """Give every fact; figures in SI under their field's name, each with its basis."""
    return {
        "name": cell.name,
        "maker": cell.maker,
        "part_number": cell.part_number,
        "form": str(cell.form),
        "size_code": cell.size_code,
        "family": str(cell.family),
        "chemistry": cell.chemistry,
        "confidence": str(cell.confidence),
        "source": cell.source,
        "figures": {
            figure.key: {
                "value": number(getattr(cell, figure.key)),
                "basis": figure.basis,
                "condition": figure.condition,
            }
            for figure in cell_figures(cell, with_unknown=True)
        },
        "continuous_needs_temperature_cut": cell.continuous_needs_temperature_cut,
        "has_protection": cell.has_protection,
        "cycle_life": cell.cycle_life,
        "notes": cell.notes,
    }
