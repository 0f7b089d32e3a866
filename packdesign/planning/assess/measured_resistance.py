"""The resistance read at the connectors of a pack, brought into the model of its cells."""

from __future__ import annotations

import math
from dataclasses import dataclass, replace
from typing import Final

from scipy.optimize import brentq

from packdesign.engineering.discharge.cell_model import CellModel
from packdesign.foundation.basis import Band
from packdesign.planning.brief.upkeep_sections import Measured
from packdesign.planning.owned.two_load import (
    PackReading,
    cells_share_ohm,
    pack_reading,
    reading_spread_fraction,
)

__all__ = ["PulseMoment", "as_read_at_the_connectors", "with_resistance"]

_WIDEST_LOG: Final = 20.0
_SOC: Final = 0.5
_DEGC: Final = 25.0
_PULSE_S: Final = 10.0
"""Half charged, 25 degC, 10 s at 1C, where the reading says nothing else: as a pack is named by."""
_LEAST_SOC: Final = 0.05
_USUAL_SPREAD: Final = 0.05


@dataclass(frozen=True, slots=True, kw_only=True)
class PulseMoment:
    """Charge, temperature, current of one cell and length of the pulse that reads a resistance."""

    soc: float
    temperature_degc: float
    current_a: float
    pulse_s: float

    def of(self, model: CellModel) -> float:
        """Give what the pulse reads of a cell. [ohm]"""
        return model.pulse_ohm(
            soc=self.soc,
            temperature_degc=self.temperature_degc,
            current_a=self.current_a,
            pulse_s=self.pulse_s,
        )


def with_resistance(
    model: CellModel, read_ohm: float, found: PulseMoment, *, spread_fraction: float
) -> CellModel:
    """Scale every resistance of a cell so that a pulse reads what was measured.

    Parameters
    ----------
    model : CellModel
        The cell.
    read_ohm : float
        Resistance measured of one cell. [ohm]
    found : PulseMoment
        When it was measured.
    spread_fraction : float
        How sure the measured figure is, one side. [-]

    Notes
    -----
    The voltage of the charge transfer is no straight line over current, so the pulse does not grow
    in proportion with the resistances and their factor is searched for. A reading below what the
    lag of the surface alone takes, a slip of the unit, scales them in proportion.
    """

    def beyond_ohm(log_factor: float) -> float:
        worn = model.aged(capacity_fraction=1.0, resistance_factor=math.exp(log_factor))
        return found.of(worn) - read_ohm

    if beyond_ohm(-_WIDEST_LOG) < 0:
        factor = math.exp(float(brentq(beyond_ohm, -_WIDEST_LOG, _WIDEST_LOG, xtol=1e-12)))
    else:
        factor = read_ohm / found.of(model)
    return replace(
        model.aged(capacity_fraction=1.0, resistance_factor=factor),
        spread=replace(model.spread, resistance_fraction=spread_fraction),
        bases=model.bases | {"resistance": "measured, from the brief"},
    )


def as_read_at_the_connectors(
    model: CellModel, measured: Measured | None, *, series: int, parallel: int, path_ohm: float
) -> CellModel:
    """Scale a cell so that its pack has the resistance that was read between the connectors.

    Parameters
    ----------
    model : CellModel
        The cell.
    measured : Measured or None
        What was read: a cell resistance goes first and is in the model already, then
        ``pack_resistance``, then ``two_load``.
    series, parallel : int
        Groups in series, and cells in each. [-]
    path_ohm : float
        Joints, leads and devices between the connectors. [ohm]

    Returns
    -------
    CellModel
        The cell as it was where nothing was read of the pack. A reading below what the path alone
        takes leaves the cells a fifth of it.
    """
    if measured is None or measured.cell_resistance_ohm is not None:
        return model
    if measured.pack_resistance_ohm is not None:
        soc = _SOC
        found = _plain(measured, measured.pack_resistance_ohm, whole_a=model.capacity_ah * parallel)
        spread = measured.cell_resistance_spread_fraction or _USUAL_SPREAD
    elif measured.two_load is not None:
        found = pack_reading(measured.two_load)
        soc = min(max(model.soc_at(found.at_rest_v / series), _LEAST_SOC), 1.0)
        spread = reading_spread_fraction(found.resistance_ohm, path_ohm=path_ohm)
    else:
        return model
    moment = PulseMoment(
        soc=soc,
        temperature_degc=found.temperature_degc,
        current_a=found.heavy_a / parallel,
        pulse_s=found.pulse_s,
    )
    cells_ohm = cells_share_ohm(found.resistance_ohm.mid, path_ohm=path_ohm)
    cell_ohm = cells_ohm * parallel / series
    return with_resistance(model, cell_ohm, moment, spread_fraction=spread)


def _plain(measured: Measured, read_ohm: float, *, whole_a: float) -> PackReading:
    """Give a bare figure the moment that a pack's resistance is usually read at."""
    degc = measured.temperature_degc
    return PackReading(
        resistance_ohm=Band(read_ohm, read_ohm, read_ohm),
        at_rest_v=0.0,
        pulse_s=_PULSE_S,
        temperature_degc=_DEGC if degc is None else degc,
        heavy_a=whole_a,
    )
