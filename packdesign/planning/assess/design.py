"""A pack laid out and modelled: one cell type, counts, arrangement, current path, way of heat."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass, replace

from packdesign.data.cells import Cell
from packdesign.engineering.discharge.cell_model import CellModel
from packdesign.engineering.discharge.datasheet_model import model_from_datasheet
from packdesign.engineering.discharge.run import PackModel
from packdesign.engineering.electrical.pack_path import PackPath
from packdesign.engineering.electrical.source import PackSource
from packdesign.engineering.geometry.arrange import arrangements
from packdesign.engineering.geometry.arrangement import Arrangement
from packdesign.foundation.errors import UnknownNameError
from packdesign.planning.assess.measured_capacity import (
    with_lots_capacity,
    with_measured_capacity,
)
from packdesign.planning.assess.measured_resistance import (
    PulseMoment,
    as_read_at_the_connectors,
    with_resistance,
)
from packdesign.planning.assess.worn_cells import as_worn, is_worn, wear_of
from packdesign.planning.brief.schema import Brief
from packdesign.planning.needs.cavity import allowances_of, cavity_of
from packdesign.planning.needs.heat import thermal_path_of
from packdesign.planning.needs.wiring import pack_path_of
from packdesign.planning.refit.open_circuit import with_open_circuit_moved

__all__ = ["PackDesign", "cell_model_of", "design_pack", "laid_out"]


@dataclass(frozen=True, slots=True, kw_only=True)
class PackDesign:
    """One pack for one brief, ready to be run and judged."""

    cell: Cell
    arrangement: Arrangement
    path: PackPath
    model: PackModel

    @property
    def series(self) -> int:
        """Groups in series. [-]"""
        return self.model.series

    @property
    def parallel(self) -> int:
        """Cells in each group. [-]"""
        return self.model.parallel

    @property
    def full_v(self) -> float:
        """Voltage of the full pack. [V]"""
        return self.series * self.cell.full_v

    @property
    def nominal_v(self) -> float:
        """Nominal voltage of the pack. [V]"""
        return self.series * self.cell.nominal_v

    @property
    def cutoff_v(self) -> float:
        """Voltage at which every cell stands at its cut-off. [V]"""
        return self.series * self.cell.cutoff_v

    @property
    def capacity_ah(self) -> float:
        """Capacity as rated. [A h]"""
        return self.parallel * self.cell.capacity_ah

    @property
    def energy_wh(self) -> float:
        """Nominal energy. [W h]"""
        return self.capacity_ah * self.nominal_v

    def source(
        self,
        *,
        soc: float,
        temperature_degc: float,
        current_a: float,
        resistance_factor: float = 1.0,
    ) -> PackSource:
        """Give the pack at its terminals at one moment, for transients.

        Parameters
        ----------
        soc : float
            State of charge, 0 to 1. [-]
        temperature_degc : float
            Cell temperature. [degC]
        current_a : float
            Pack current at which the charge transfer is taken. [A]
        resistance_factor : float
            Cell resistance relative to the model's. [-]
        """
        cell = self.model.cell
        scale = self.series / self.parallel * resistance_factor
        instant_ohm = cell.instant_ohm(
            soc=soc, temperature_degc=temperature_degc, current_a=current_a / self.parallel
        )
        relaxing = cell.relaxing_at(soc=soc, temperature_degc=temperature_degc)
        return PackSource(
            open_circuit_v=self.series * cell.ocv_at(soc, temperature_degc=temperature_degc),
            instant_ohm=instant_ohm * scale + self.model.path_ohm,
            rc_ohm=tuple(ohm * scale for ohm, _ in relaxing),
            rc_time_s=tuple(time_s for _, time_s in relaxing),
            full_v=self.full_v,
        )


def laid_out(brief: Brief, cell: Cell, *, series: int, parallel: int) -> Arrangement:
    """Choose the arrangement: the one the brief names, else the best that fits.

    Parameters
    ----------
    brief : Brief
        The brief.
    cell : Cell
        The cell.
    series, parallel : int
        Groups in series, and cells in each. [-]

    Returns
    -------
    Arrangement
        Where nothing fits, the one that misses by least.

    Raises
    ------
    UnknownNameError
        If the brief names an arrangement that is none of those possible.
    """
    found = arrangements(
        cell,
        cavity_of(brief),
        series=series,
        parallel=parallel,
        allowances=allowances_of(brief, cell),
    )
    wanted = brief.pack.arrangement if brief.pack is not None else None
    if wanted is None:
        return found[0]
    return _named(found, wanted)


def cell_model_of(brief: Brief, cell: Cell) -> CellModel:
    """Give the circuit of a cell: its sheet, less its wear; what was measured goes before both.

    Parameters
    ----------
    brief : Brief
        The brief.
    cell : Cell
        The cell.
    """
    model = model_from_datasheet(cell)
    pack, measured = brief.pack, brief.measured
    if pack is not None and is_worn(pack):
        model = as_worn(model, wear_of(pack, cell))
    if measured is None:
        return model
    if measured.cell_capacity_ah is not None:
        model = with_measured_capacity(model, measured.cell_capacity_ah)
    if measured.cell_resistance_ohm is not None:
        model = with_resistance(
            model,
            measured.cell_resistance_ohm,
            PulseMoment(soc=0.5, temperature_degc=20.0, current_a=cell.capacity_ah, pulse_s=10.0),
            spread_fraction=measured.cell_resistance_spread_fraction or 0.05,
        )
    if measured.open_circuit_shift_v:
        model = with_open_circuit_moved(model, measured.open_circuit_shift_v)
    if measured.entropic_shift_v_per_k is not None:
        entropic = model.entropic_v_per_k + measured.entropic_shift_v_per_k
        model = replace(model, entropic_v_per_k=entropic)
    return model


def design_pack(brief: Brief, cell: Cell, *, series: int, parallel: int) -> PackDesign:
    """Lay out and model a pack for a brief.

    Parameters
    ----------
    brief : Brief
        The brief.
    cell : Cell
        The cell.
    series, parallel : int
        Groups in series, and cells in each. [-]
    """
    arrangement = laid_out(brief, cell, series=series, parallel=parallel)
    path = pack_path_of(brief, arrangement)
    pack = brief.pack
    is_this_pack = pack is not None and (pack.series, pack.parallel or 1) == (series, parallel)
    measured = brief.measured if is_this_pack else None
    model = PackModel(
        cell=as_read_at_the_connectors(
            with_lots_capacity(
                cell_model_of(brief, cell), measured, cell, series=series, parallel=parallel
            ),
            measured,
            series=series,
            parallel=parallel,
            path_ohm=path.ohm.mid,
        ),
        series=series,
        parallel=parallel,
        path_ohm=path.ohm.mid,
        thermal=thermal_path_of(brief, arrangement),
    )
    return PackDesign(cell=cell, arrangement=arrangement, path=path, model=model)


def _named(found: Sequence[Arrangement], wanted: str) -> Arrangement:
    key = wanted.casefold()
    for each in found:
        if key in (each.kind.casefold(), each.name.casefold()):
            return each
    known = [name for each in found for name in (each.kind, each.name)]
    raise UnknownNameError(kind="arrangement", name=wanted, known=known, where="pack.arrangement")
