"""A re-fit as the object that ``packdesign refit --json`` prints."""

from __future__ import annotations

from typing import Any, Final

from packdesign.engineering.discharge.nodes import OCV_NODES
from packdesign.engineering.discharge.replay import ReplayErrors
from packdesign.foundation.basis import Band
from packdesign.planning.assess.log_fit import LogFit
from packdesign.presentation.export.contract import SCHEMA
from packdesign.presentation.export.plain import band, number

__all__ = ["refit_object"]

_MV_PER_V: Final = 1000.0


def refit_object(found: LogFit, *, written: str | None) -> dict[str, Any]:
    """Give a re-fit as plain values; bands are 95 % intervals, None where no log tells.

    "before" and "after" are those of the first log; "logs" has them all.

    Parameters
    ----------
    found : LogFit
        The fit.
    written : str or None
        The brief that was written.
    """
    fit = found.fit
    return {
        "schema": SCHEMA,
        "log": found.names,
        "logs": [
            {
                "log": each.name,
                "start_soc": number(each.start.start_soc),
                "before": _errors(each.errors_before),
                "after": _errors(each.errors_after),
            }
            for each in found.logs
        ],
        "written": written,
        "cell_resistance_ohm": number(found.resistance_ohm),
        "resistance_factor": _band(fit.resistance_factor),
        "capacity_ah": _band(fit.capacity_ah),
        "heat_loss_w_per_k": _band(fit.heat_loss_w_per_k),
        "added_thermal_mass_j_per_k": _band(fit.added_thermal_mass_j_per_k),
        "entropic_shift_v_per_k": _band(fit.entropic_shift_v_per_k),
        "open_circuit_shift_mv": [number(each * _MV_PER_V) for each in fit.ocv_shift_v.tolist()],
        "before": _errors(found.logs[0].errors_before),
        "after": _errors(found.logs[0].errors_after),
        "open_circuit_shift_soc": list(OCV_NODES),
    }


def _band(value: Band | None) -> dict[str, float | None] | None:
    return None if value is None else band(value)


def _errors(errors: ReplayErrors) -> dict[str, float | None]:
    return {
        "rms_mv": number(errors.rms_v * _MV_PER_V),
        "mean_mv": number(errors.bias_v * _MV_PER_V),
        "charge_percent": number(errors.charge_percent),
        "energy_percent": number(errors.energy_percent),
        "rise_error_k": number(errors.rise_error_k),
    }
