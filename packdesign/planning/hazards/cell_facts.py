"""Fill the facts of a situation that a cell's own datasheet and the counts of the pack give."""

from __future__ import annotations

from packdesign.data.cell_sizes import outer_volume_l
from packdesign.data.cells import Cell
from packdesign.engineering.charging.coldest import coldest_charge_degc
from packdesign.planning.hazards.situation import Situation
from packdesign.planning.verdicts.current import easy_without_cut_a

__all__ = ["claimed_wh_per_litre", "situation_of_cell"]


def claimed_wh_per_litre(cell: Cell) -> float | None:
    """Claimed energy over the volume of the cell, None where a size is not known. [W h/l]

    Parameters
    ----------
    cell : Cell
        The cell.
    """
    volume_l = outer_volume_l(cell, by_code=False)
    if volume_l is None:
        return None
    return cell.capacity_ah * cell.nominal_v / volume_l


def situation_of_cell(cell: Cell, *, series: int, parallel: int) -> Situation:
    """Start a situation from a cell and the counts of the pack; add the rest with ``replace``.

    Parameters
    ----------
    cell : Cell
        The cell.
    series : int
        Groups in series. [-]
    parallel : int
        Cells in each group. [-]

    Returns
    -------
    Situation
        Everything else None, but for one: cells of one row are of one model.
    """
    cell_wh = cell.capacity_ah * cell.nominal_v
    return Situation(
        series=series,
        parallel=parallel,
        pack_full_v=series * cell.full_v,
        energy_wh=series * parallel * cell_wh,
        cell_family=cell.family.value,
        cell_form=cell.form.value,
        cell_size_code=cell.size_code,
        cell_full_v=cell.full_v,
        cell_cutoff_v=cell.cutoff_v,
        cell_energy_wh=cell_wh,
        claimed_capacity_ah=cell.capacity_ah,
        claimed_wh_per_litre=claimed_wh_per_litre(cell),
        cell_max_charge_a=cell.max_charge_a,
        cell_charge_min_degc=None if cell.charge_min_degc is None else coldest_charge_degc(cell),
        cell_charge_max_degc=cell.charge_max_degc,
        cell_discharge_max_degc=cell.discharge_max_degc,
        cell_rating_needs_temperature_cut=cell.continuous_needs_temperature_cut,
        cell_uncut_continuous_a=cell.uncut_continuous_a,
        cell_easy_without_cut_a=easy_without_cut_a(cell),
        cells_same_model=True,
    )
