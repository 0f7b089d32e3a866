"""Whether what was read on the groups can be of this pack: how many, and how much they lack.

A figure that can be but is bad is no error: verdicts judge it.
"""

from __future__ import annotations

from packdesign.data.cells import Cell
from packdesign.foundation.errors import BriefError
from packdesign.planning.brief.schema import Brief
from packdesign.planning.brief.upkeep_sections import Measured

__all__ = ["check_groups"]


def check_groups(brief: Brief, cell: Cell, *, series: int, parallel: int) -> None:
    """Refuse group readings that cannot be of this pack.

    Parameters
    ----------
    brief : Brief
        The brief.
    cell : Cell
        Its cell.
    series, parallel : int
        Counts of the pack. [-]

    Raises
    ------
    BriefError
        If more or fewer groups were read than there are, or one lacks more than it holds.
    """
    measured = brief.measured or Measured()
    for key, what, read in (
        ("group_voltages", "voltages", len(measured.group_voltages_v)),
        ("group_voltages_full", "voltages", len(measured.group_voltages_full_v)),
        ("group_voltages_loaded", "voltages", len(measured.group_voltages_loaded_v)),
        ("group_behind", "values", len(measured.group_behind_ah)),
    ):
        if read and read != series:
            msg = (
                f"measured.{key} has {read} {what}, but the pack has {series} groups in "
                "series; read every group once, or correct pack.series"
            )
            raise BriefError(msg)
    holds_ah = parallel * max(cell.capacity_ah, measured.cell_capacity_ah or 0.0)
    for number, behind_ah in enumerate(measured.group_behind_ah, start=1):
        if behind_ah > holds_ah:
            msg = (
                f"measured.group_behind is {behind_ah * 1000:g} mAh for group {number}; a group "
                f"of this pack holds {holds_ah * 1000:g} mAh ({parallel} x {cell.name}): allowed "
                f"is 0 to {holds_ah * 1000:g} mAh"
            )
            raise BriefError(msg)
