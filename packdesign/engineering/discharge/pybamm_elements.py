"""PyBaMM's equivalent circuit with the open-circuit part and the lag of the cell model here.

Two of its submodels are replaced. Open-circuit voltage and entropic coefficient are tables over the
charge within reach at the cell's temperature; the coefficient over voltage, as PyBaMM has it, would
be ambiguous on a flat LFP curve. And its diffusion element, a partial differential equation, gives
way to one time constant. Resistances and the coefficient are read at the charge of the surface.

PyBaMM is imported inside the functions: it costs over a second.
"""

from __future__ import annotations

import os
from typing import Any

__all__ = ["cell_thevenin", "import_pybamm"]


def import_pybamm() -> Any:
    """Import PyBaMM with its telemetry off."""
    os.environ["PYBAMM_DISABLE_TELEMETRY"] = "true"
    import pybamm

    return pybamm


def cell_thevenin() -> Any:
    """Give PyBaMM's Thevenin model with the parts of this package.

    Returns
    -------
    type
        A subclass of ``pybamm.equivalent_circuit.Thevenin``, for discharge and charge alike. Its
        parameters are those of :mod:`.pybamm_parameters`.
    """
    pybamm = import_pybamm()
    elements = pybamm.equivalent_circuit_elements
    source, lag = _charge_source(pybamm), _surface_lag(pybamm)
    resistor = _at_surface(elements.ResistorElement)
    rc = _at_surface(elements.RCElement)

    class CellThevenin(pybamm.equivalent_circuit.Thevenin):  # type: ignore[misc,name-defined]
        def set_ocv_submodel(self) -> None:
            self.submodels["Open-circuit voltage"] = source(self.param, self.options)

        def set_diffusion_submodel(self) -> None:
            self.submodels["Diffusion"] = lag(self.param, self.options)

        def set_resistor_submodel(self) -> None:
            self.submodels["Element-0 (Resistor)"] = resistor(self.param, self.options)

        def set_rc_submodels(self) -> None:
            for number in range(1, 1 + self.options["number of rc elements"]):
                name = f"Element-{number} (RC)"
                self.submodels[name] = rc(self.param, number, self.options)

    return CellThevenin


def _charge_source(pybamm: Any) -> Any:
    """Open-circuit element whose tables follow charge within reach and temperature."""

    class ChargeSource(pybamm.equivalent_circuit_elements.OCVElement):  # type: ignore[misc]
        def get_fundamental_variables(self) -> Any:
            return {"SoC": pybamm.Variable("SoC")}

        def get_coupled_variables(self, variables: Any) -> Any:
            degc = variables["Cell temperature [degC]"]
            slope = pybamm.FunctionParameter(
                "Entropic change [V/K]", {"degC": degc, "SoC": variables["Surface SoC"]}
            )
            heat = -variables["Current [A]"] * variables["Cell temperature [K]"] * slope
            variables.update(
                {
                    "Open-circuit voltage [V]": _open_v(pybamm, degc, variables["Held SoC"]),
                    "Entropic change [V/K]": slope,
                    "Reversible heat generation [W]": heat,
                }
            )
            return variables

    return ChargeSource


def _surface_lag(pybamm: Any) -> Any:
    """Diffusion element of one time constant: how far the surface runs ahead of the mean."""

    class SurfaceLag(pybamm.BaseSubModel):  # type: ignore[misc]
        def __init__(self, param: Any, options: Any) -> None:
            super().__init__(param)
            self.model_options = options

        def get_fundamental_variables(self) -> Any:
            return {"Lag": pybamm.Variable("Lag")}

        def get_coupled_variables(self, variables: Any) -> Any:
            degc = variables["Cell temperature [degC]"]
            empty = pybamm.FunctionParameter("Charge out of reach [-]", {"degC": degc})
            # below what the cold keeps out of reach the curve stays at its end
            held = pybamm.maximum(variables["SoC"], empty)
            surface = held - variables["Lag"]
            lost_v = _open_v(pybamm, degc, surface) - _open_v(pybamm, degc, held)
            variables.update(
                {
                    "Charge out of reach [-]": empty,
                    "Held SoC": held,
                    "Surface SoC": surface,
                    "Diffusion overpotential [V]": lost_v,
                }
            )
            return variables

        def set_rhs(self, variables: Any) -> None:
            degc = {"degC": variables["Cell temperature [degC]"]}
            per_a = pybamm.FunctionParameter("Lag [A-1]", degc)
            time_s = pybamm.FunctionParameter("Lag time [s]", degc)
            lag = variables["Lag"]
            self.rhs = {lag: (per_a * variables["Current [A]"] - lag) / time_s}

        def set_initial_conditions(self, variables: Any) -> None:
            self.initial_conditions = {variables["Lag"]: pybamm.Scalar(0)}

    return SurfaceLag


def _open_v(pybamm: Any, degc: Any, soc: Any) -> Any:
    return pybamm.FunctionParameter("Open-circuit voltage [V]", {"degC": degc, "SoC": soc})


def _at_surface(element: Any) -> Any:
    """Make an element that reads its parameters at the charge of the surface."""

    class AtSurface(element):  # type: ignore[misc]
        def get_coupled_variables(self, variables: Any) -> Any:
            seen = dict(variables)
            seen["SoC"] = variables["Surface SoC"]
            found = super().get_coupled_variables(seen)
            found["SoC"] = variables["SoC"]
            return found

    return AtSurface
