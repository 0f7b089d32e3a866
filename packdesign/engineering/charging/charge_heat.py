"""How hot a charge makes the cells by itself: settled resistance, stepped through the charge.

Quick, for checks that run before a charge is simulated; the course of a charge is for ``cc_cv``.
"""

from __future__ import annotations

from typing import Final

from packdesign.engineering.charging.charge_branch import on_charge
from packdesign.engineering.charging.charge_run import ChargeSettings
from packdesign.engineering.discharge.cell_model import CellModel
from packdesign.engineering.discharge.nodes import SOC_GRID
from packdesign.engineering.discharge.run import Conditions, PackModel
from packdesign.engineering.thermal.path import ThermalPath
from packdesign.foundation.constants import SECONDS_PER_HOUR, ZERO_CELSIUS_K

__all__ = ["hottest_cell_of_charge_degc"]

_STEP_SOC: Final = 0.005
"""Charge that one step brings. [-]"""
_LONGEST_STEP_S: Final = 600.0
_NO_RISE_K: Final = 1e-6


def hottest_cell_of_charge_degc(
    pack: PackModel, settings: ChargeSettings, conditions: Conditions
) -> float:
    r"""Hottest that the cells get in a charge from where it starts to its end current. [degC]

    Parameters
    ----------
    pack : PackModel
        The pack, in its place.
    settings : ChargeSettings
        What the charger is set to; the temperature at which it stops is left out.
    conditions : Conditions
        Air, start temperature and start charge.

    Returns
    -------
    float
        Never below the start temperature. [degC]

    Notes
    -----
    Each step brings half a percent of charge at the current
    :math:`I = \min(I_{cc}, (V_{end} - V_{oc}) / R)` with all that settles counted in R. Heat of
    the cell :math:`I^2 R + I T \, dV_{oc}/dT`; both nodes of the thermal path are stepped
    implicitly. Resistance follows the temperature of the cell. Within 0.5 K of the simulated charge
    up to three times the resistance of the sheet; a cell of thirty times begins with a current that
    has not settled, and is up to a fourth of its rise hotter than here.
    """
    lifted = on_charge(pack)
    cell, path = lifted.cell, lifted.thermal
    full_s = cell.capacity_ah * SECONDS_PER_HOUR
    soc, cell_degc = conditions.start_soc, conditions.start_degc
    surface_degc = hottest_degc = cell_degc
    end_a = settings.end_a / pack.parallel
    for _ in range(2 * SOC_GRID.size):
        ohm = _settled_ohm(cell, soc=soc, degc=cell_degc, current_a=end_a)
        current_a = _current_a(lifted, settings, soc=soc, degc=cell_degc, cell_ohm=ohm)
        if current_a <= end_a:
            break
        step_s = min(_STEP_SOC * full_s / current_a, _LONGEST_STEP_S)
        ohm = _settled_ohm(cell, soc=soc, degc=cell_degc, current_a=current_a)
        heat_w = current_a**2 * ohm + _reversible_w(cell, soc, cell_degc, current_a)
        cell_degc, surface_degc = _warmed(
            path,
            heat_w=heat_w,
            cell_j_per_k=cell.heat_capacity_j_per_k,
            step_s=step_s,
            at_degc=(cell_degc, surface_degc, conditions.ambient_degc),
        )
        hottest_degc = max(hottest_degc, cell_degc)
        soc += current_a * step_s / full_s
    return hottest_degc


def _settled_ohm(cell: CellModel, *, soc: float, degc: float, current_a: float) -> float:
    instant_ohm = cell.instant_ohm(soc=soc, temperature_degc=degc, current_a=current_a)
    return instant_ohm + sum(ohm for ohm, _ in cell.relaxing_at(soc=soc, temperature_degc=degc))


def _current_a(
    pack: PackModel, settings: ChargeSettings, *, soc: float, degc: float, cell_ohm: float
) -> float:
    """Charging current of one cell. [A]"""
    room_v = settings.end_v_per_cell - pack.cell.ocv_at(soc, temperature_degc=degc)
    ohm = cell_ohm + pack.path_ohm * pack.parallel / pack.series
    return min(settings.charge_a / pack.parallel, room_v / ohm)


def _reversible_w(cell: CellModel, soc: float, degc: float, current_a: float) -> float:
    index = min(max(round(soc * (SOC_GRID.size - 1)), 0), SOC_GRID.size - 1)
    return current_a * (degc + ZERO_CELSIUS_K) * float(cell.entropic_v_per_k[index])


def _warmed(
    path: ThermalPath,
    *,
    heat_w: float,
    cell_j_per_k: float,
    step_s: float,
    at_degc: tuple[float, float, float],
) -> tuple[float, float]:
    """Temperatures of cell and surface after a step; ``at_degc`` are cell, surface, air. [degC]"""
    cell_degc, surface_degc, air_degc = at_degc
    rise_k = max(abs(surface_degc - air_degc), _NO_RISE_K)
    to_air = float(path.loss_w(rise_k)) / rise_k
    inward = path.cell_to_surface_w_per_k
    of_cell, of_surface = cell_j_per_k / step_s, path.surface_j_per_k / step_s
    from_cell = (of_cell * cell_degc + heat_w) / (of_cell + inward)
    passed = inward * of_cell / (of_cell + inward)
    new_surface = (of_surface * surface_degc + to_air * air_degc + inward * from_cell) / (
        of_surface + to_air + passed
    )
    return (of_cell * cell_degc + heat_w + inward * new_surface) / (of_cell + inward), new_surface
