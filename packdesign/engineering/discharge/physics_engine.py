"""A second opinion: one pack through a physics model with a parameter set published for its cell.

Single particle model with electrolyte, or the full Doyle-Fuller-Newman model, by PyBaMM, with the
same two heat nodes as the other engines. Each set was measured on one cell; it says nothing of the
scatter between cells, and it misses measured discharges of the very same cell by some 50 to 280 mV.
PyBaMM is imported inside the functions.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any, Final

import numpy as np

from packdesign.data.cells import Cell
from packdesign.engineering.demand.profile import Demand
from packdesign.engineering.discharge.pybamm_elements import import_pybamm
from packdesign.engineering.discharge.pybamm_engine import solution_columns, stop_times
from packdesign.engineering.discharge.pybamm_model import asked_over_time
from packdesign.engineering.discharge.run import (
    Conditions,
    EndReason,
    PackModel,
    Trace,
    as_followed,
)
from packdesign.engineering.thermal.path import loss_share
from packdesign.foundation.constants import ZERO_CELSIUS_K
from packdesign.foundation.errors import SolverError, UnknownNameError

__all__ = ["PHYSICS_SETS", "PhysicsSet", "physics_set_for", "run_pack_physics"]


@dataclass(frozen=True, slots=True, kw_only=True)
class PhysicsSet:
    """A published parameter set and the cells it stands for."""

    name: str
    """As PyBaMM names it."""
    part_numbers: tuple[str, ...]
    capacity_ah: float
    """Of the cell that the set's own current is scaled to. [A h]"""
    source: str


PHYSICS_SETS: Final = (
    PhysicsSet(
        name="Chen2020",
        part_numbers=("INR21700-M50", "INR21700 M50T", "INR21700 M50LT"),
        capacity_ah=5.0,
        source="Chen et al., J. Electrochem. Soc. 167, 080534, 2020: LG INR21700 M50",
    ),
    PhysicsSet(
        name="Prada2013",
        part_numbers=("ANR26650M1-B", "ANR26650M1 (M1A)"),
        capacity_ah=2.3,
        source="Prada et al., J. Electrochem. Soc. 160, A616, 2013: A123 26650 of 2.3 Ah",
    ),
    PhysicsSet(
        name="Ecker2015",
        part_numbers=("SLPB75106100",),
        capacity_ah=0.15625,
        source="Ecker et al., J. Electrochem. Soc. 162, A1836, 2015: Kokam 7.5 Ah pouch; PyBaMM's "
        "set is of 0.15625 Ah, 1/48 of the cell, as its own note says",
    ),
    PhysicsSet(
        name="Ai2020",
        part_numbers=("Enertech 2.28 Ah pouch",),
        capacity_ah=2.28,
        source="Ai et al., J. Electrochem. Soc. 167, 013512, 2020: Enertech pouch of 2.28 Ah",
    ),
)
"""Sets that stand for a cell by its part number."""

_WHERE_LACKING: Final = {
    "Negative current collector thickness [m]": 1e-5,
    "Positive current collector thickness [m]": 1e-5,
    "Negative current collector conductivity [S.m-1]": 5.8e7,
    "Positive current collector conductivity [S.m-1]": 3.5e7,
    "Negative electrode OCP entropic change [V.K-1]": 0.0,
    "Positive electrode OCP entropic change [V.K-1]": 0.0,
    "Contact resistance [Ohm]": 0.0,
}
"""For sets without heat (Prada2013): foils without noticeable drop, no heat of reaction."""
_CHARGE_MARGIN: Final = 1.3
"""Charge beyond the sheet's capacity for which repeats are laid out: a set may hold more. [-]"""
_VARIABLES: Final = {
    "current_a": "Current [A]",
    "voltage_v": "Voltage [V]",
    "moved_ah": "Discharge capacity [A.h]",
    "cell_degc": "Volume-averaged cell temperature [C]",
    "surface_k": "Surface temperature [K]",
}
_LIMITS: Final = {
    "Minimum voltage": EndReason.CUTOFF,
    "cut-off": EndReason.CUTOFF,
    "rail": EndReason.RAIL,
    "temperature": EndReason.TEMPERATURE,
}


def physics_set_for(cell: Cell) -> str | None:
    """Name the published set that stands for a cell, or None.

    Parameters
    ----------
    cell : Cell
        A row of the cell table.

    Examples
    --------
    >>> from packdesign.data.cell_table import load_cells
    >>> physics_set_for(load_cells().find("INR21700-M50"))
    'Chen2020'
    """
    found = _set_for(cell)
    return None if found is None else found.name


def run_pack_physics(
    pack: PackModel,
    demand: Demand,
    conditions: Conditions,
    cell: Cell,
    *,
    full: bool = False,
) -> Trace:
    """Run one demand through one pack with the physics model of its cell.

    Parameters
    ----------
    pack : PackModel
        Counts, path, cooling, heat capacity and limits are taken from it; its cell's circuit is not
        used. The current is scaled by the capacities of cell and set.
    demand : Demand
        What is asked of it.
    conditions : Conditions
        Where it starts and what ends it.
    cell : Cell
        The row of the cell table, which names the set.
    full : bool
        The full Doyle-Fuller-Newman model in place of the single particle with electrolyte.

    Returns
    -------
    Trace
        As the other engines give it; the state of charge counts the charge drawn.

    Raises
    ------
    UnknownNameError
        If no published set stands for the cell.
    SolverError
        If the solver finds no solution.
    """
    published = _set_for(cell)
    if published is None:
        known = [part for each in PHYSICS_SETS for part in each.part_numbers]
        raise UnknownNameError(kind="physics set for a cell", name=cell.part_number, known=known)
    pybamm = import_pybamm()
    pybamm.set_logging_level("ERROR")
    work = _PhysicsRun(pybamm, pack, demand, conditions, published)
    try:
        solution = work.solve(full=full)
    except (pybamm.SolverError, ValueError) as error:
        msg = f"{published.name} found no solution for {pack.series}S{pack.parallel}P: {error}"
        raise SolverError(msg) from error
    return work.trace(solution)


def _set_for(cell: Cell) -> PhysicsSet | None:
    return next((each for each in PHYSICS_SETS if cell.part_number in each.part_numbers), None)


class _PhysicsRun:
    """One run: the model of a pack around PyBaMM's model of a cell."""

    def __init__(
        self,
        pybamm: Any,
        pack: PackModel,
        demand: Demand,
        conditions: Conditions,
        published: PhysicsSet,
    ) -> None:
        self._pybamm, self._pack = pybamm, pack
        self._demand, self._ends_by = as_followed(
            demand, voltage_v=pack.series * pack.cell.ocv_at(0.5)
        )
        self._conditions, self._set = conditions, published
        self._scale = pack.cell.capacity_ah / published.capacity_ah
        """Cells of the set that make one real cell."""

    def solve(self, *, full: bool) -> Any:
        """Build the model and run it."""
        pybamm = self._pybamm
        kind = pybamm.lithium_ion.DFN if full else pybamm.lithium_ion.SPMe
        options = {
            "thermal": "lumped",
            "surface temperature": "lumped",
            "use lumped thermal capacity": "true",
            "operating mode": self._residual,
        }
        model = kind(options)
        self._let_loss_grow(model)
        limits = self._conditions.max_cell_degc
        limit_degc = self._pack.cell.discharge_max_degc if limits is None else limits
        kept = [event for event in model.events if event.name.startswith("Minimum voltage")]
        model.events = [
            *kept,
            pybamm.Event("rail", self._terminal_v(model.variables) - self._demand.minimum_v),
            pybamm.Event(
                "temperature",
                limit_degc - model.variables["Volume-averaged cell temperature [C]"],
            ),
        ]
        simulation = pybamm.Simulation(
            model,
            parameter_values=self._values(),
            solver=pybamm.IDAKLUSolver(rtol=1e-5, atol=1e-6),
        )
        stop_s = stop_times(
            self._pack, self._demand, self._conditions, charge_margin=_CHARGE_MARGIN
        )
        return simulation.solve(t_eval=stop_s, initial_soc=self._conditions.start_soc)

    def trace(self, solution: Any) -> Trace:
        """Read the solution at pack level."""
        ends_by = self._ends_by
        for name, reason in _LIMITS.items():
            if name in str(solution.termination):
                ends_by = reason

        time_s, read = solution_columns(solution, _VARIABLES)
        current_a = read["current_a"] * self._scale * self._pack.parallel
        moved_ah = read["moved_ah"] * self._scale
        return Trace(
            time_s=time_s,
            current_a=current_a,
            voltage_v=self._pack.series * read["voltage_v"] - self._pack.path_ohm * current_a,
            soc=self._conditions.start_soc - moved_ah / self._pack.cell.capacity_ah,
            cell_degc=read["cell_degc"],
            surface_degc=read["surface_k"] - ZERO_CELSIUS_K,
            ends_by=ends_by,
        )

    def _let_loss_grow(self, model: Any) -> None:
        """Add what the surface loses to its own draught to the linear loss that PyBaMM has."""
        variables = model.variables
        surface = variables["Surface temperature [K]"]
        rise_k = surface - variables["Ambient temperature [K]"]
        more = loss_share(self._pack.thermal.buoyant_fraction, rise_k) - 1
        mass = self._pybamm.Parameter("Casing heat capacity [J.K-1]")
        model.rhs[surface] += variables["Environment total cooling [W]"] * more / mass

    def _terminal_v(self, variables: Any) -> Any:
        return self._pack.series * variables["Voltage [V]"] - self._pack.path_ohm * self._current_a(
            variables
        )

    def _current_a(self, variables: Any) -> Any:
        return variables["Current [A]"] * self._scale * self._pack.parallel

    def _residual(self, variables: Any) -> Any:
        asked_a, asked_w = asked_over_time(self._pybamm, self._demand)
        lacking_a = self._current_a(variables) - asked_a
        if not np.any(self._demand.power_w > 0):
            return lacking_a
        return lacking_a * self._terminal_v(variables) - asked_w

    def _values(self) -> Any:
        """Parameters of the set, with the heat nodes and limits of the pack."""
        conditions, path, scale = self._conditions, self._pack.thermal, self._scale
        cutoff_v = conditions.cutoff_v
        values = self._pybamm.ParameterValues(self._set.name)
        lacking = {key: each for key, each in _WHERE_LACKING.items() if key not in values}
        values.update(lacking, check_already_exists=False)
        values.update(
            {
                "Ambient temperature [K]": conditions.ambient_degc + ZERO_CELSIUS_K,
                "Initial temperature [K]": conditions.start_degc + ZERO_CELSIUS_K,
                "Lower voltage cut-off [V]": self._pack.cell.cutoff_v
                if cutoff_v is None
                else cutoff_v,
                "Cell volume [m3]": 1.0,
                "Cell cooling surface area [m2]": 1.0,
                "Cell heat capacity [J.K-1.m-3]": self._pack.cell.heat_capacity_j_per_k / scale,
                "Total heat transfer coefficient [W.m-2.K-1]": path.cell_to_surface_w_per_k / scale,
                "Casing heat capacity [J.K-1]": path.surface_j_per_k / scale,
                "Environment thermal resistance [K.W-1]": scale / path.surface_to_air_w_per_k,
            },
            check_already_exists=False,
        )
        return values
