"""Storage: how full, how cool, and when to look again."""

from __future__ import annotations

import datetime
from dataclasses import dataclass
from typing import Final

import numpy as np

from packdesign.data.cells import Family
from packdesign.data.charge_tables import self_discharge_rows
from packdesign.data.chemistries import load_chemistry
from packdesign.foundation.basis import Basis, weakest
from packdesign.foundation.errors import OutOfRangeError

__all__ = ["LeakFigure", "StorageCase", "StoragePlan", "plan_storage", "self_discharge_of"]

_CHECK_DAYS: Final = 90
# makers: top up every 90 days (creup sheet) or 6 months (hengchuang, 2018); the shorter is taken
_LEAST_SOC: Final = 0.20
# top up before this: assumed, well above the floor of any family
_RULE_PERCENT_PER_MONTH: Final = 3.0
# 2 to 3 % a month, rule of thumb: diracdelta.co.uk, undated
_DAYS_PER_MONTH: Final = 30.0
_DOUBLING_K: Final = 10.0
# twice as fast each 10 K warmer: rule of thumb, from memory; used only above the tabled temperature


_MAH_PER_DAY_OF_1_A: Final = 24.0 * 1000.0


@dataclass(frozen=True, slots=True, kw_only=True)
class LeakFigure:
    """Self-discharge at a temperature and charge."""

    fraction_per_month: float
    """Share of the full capacity lost in a month. [-]"""
    basis: Basis
    source: str


@dataclass(frozen=True, slots=True, kw_only=True)
class StorageCase:
    """How a pack is put away."""

    family: Family
    capacity_ah: float
    """Capacity of the pack. [A h]"""
    soc: float
    """State of charge when it is put away. [-]"""
    storage_degc: float
    board_drain_a: float = 0.0
    """What the protection board draws all the time. [A]"""
    device_drain_a: float = 0.0
    """What is known of what the device draws while it is switched off. [A]"""
    device_drain_is_whole: bool = True
    """Whether nothing is missing from that."""
    divider_drain_a: float = 0.0
    """What the divider of the gauge draws while it is fed. [A]"""
    divider_is_switched_off: bool = False
    """Whether a switch is taken to cut the divider off; it is then not in the device's drain."""

    def __post_init__(self) -> None:
        least_a = min(self.board_drain_a, self.device_drain_a, self.divider_drain_a)
        if self.capacity_ah <= 0 or not 0 < self.soc <= 1 or least_a < 0:
            msg = (
                "storage needs capacity above 0 Ah, charge above 0 up to 1 and a drain of 0 A or "
                f"more; got {self.capacity_ah}, {self.soc} and {least_a}"
            )
            raise OutOfRangeError(msg)

    @property
    def drain_a(self) -> float:
        """What is known of all that draws. [A]"""
        return self.board_drain_a + self.device_drain_a

    @property
    def drain_name(self) -> str:
        """The larger of the two drains."""
        is_device = self.device_drain_a > self.board_drain_a
        return "device drain" if is_device else "board drain"


@dataclass(frozen=True, slots=True, kw_only=True)
class StoragePlan:
    """Where it is kept, at what charge, and when it is looked at again."""

    target_soc: float
    days_to_top_up: float
    """Until it has fallen to the least charge, at most the makers' check. [day]"""
    next_check: datetime.date
    set_by: str
    """"self-discharge", "board drain", "device drain" or "makers' check"."""
    leak: LeakFigure
    drain_mah_per_day: float
    """What is known of all that draws besides the cells' own leak. [mA h]"""
    notes: tuple[str, ...]


def self_discharge_of(family: Family, *, storage_degc: float, soc: float) -> LeakFigure:
    """Give the self-discharge of a family, the most cautious figure for its temperature.

    Parameters
    ----------
    family : Family
        Chemistry family.
    storage_degc : float
        Where it is kept. [degC]
    soc : float
        State of charge. [-]

    Returns
    -------
    LeakFigure
        The table's figure at the nearest temperature, by charge between its rows; doubled for
        each 10 K warmer than that (from memory). Families without a figure: 3 % a month.

    Examples
    --------
    >>> self_discharge_of(Family.LMO, storage_degc=20, soc=0.5).fraction_per_month
    0.03
    """
    rows = self_discharge_rows(family)
    if not rows:
        return LeakFigure(
            fraction_per_month=_RULE_PERCENT_PER_MONTH / 100,
            basis=Basis.PRACTICE,
            source="2 to 3 % a month, rule of thumb (diracdelta.co.uk, undated)",
        )
    nearest = min((row.temperature_degc for row in rows), key=lambda at: abs(at - storage_degc))
    here = sorted(
        (row for row in rows if row.temperature_degc == nearest),
        key=lambda row: (row.soc, row.percent_per_month),
    )
    percent = float(
        np.interp(soc, [row.soc for row in here], [row.percent_per_month for row in here])
    )
    warmer_k = max(0.0, storage_degc - nearest)
    return LeakFigure(
        fraction_per_month=percent / 100 * 2 ** (warmer_k / _DOUBLING_K),
        basis=weakest(*(row.basis for row in here)),
        source="; ".join(dict.fromkeys(row.source for row in here)),
    )


def plan_storage(case: StorageCase, *, today: datetime.date) -> StoragePlan:
    """Plan the storage of a pack and the date it is next looked at.

    Parameters
    ----------
    case : StorageCase
        How it is put away.
    today : date
        The day it is put away.

    Returns
    -------
    StoragePlan
        Target charge, days to the next top-up, and the date.

    Notes
    -----
    Charge falls evenly by self-discharge plus drain times time, down to 20 %; the makers' check of
    90 days comes first where the leak is slow.

    Examples
    --------
    >>> case = StorageCase(
    ...     family=Family.NMC, capacity_ah=2.5, soc=0.4, storage_degc=20, board_drain_a=0.0
    ... )
    >>> plan_storage(case, today=datetime.date(2026, 1, 1)).next_check
    datetime.date(2026, 4, 1)
    """
    leak = self_discharge_of(case.family, storage_degc=case.storage_degc, soc=case.soc)
    leak_per_day = leak.fraction_per_month / _DAYS_PER_MONTH
    drain_per_day = case.drain_a * 24.0 / case.capacity_ah
    spare = max(0.0, case.soc - _LEAST_SOC)
    falling = spare / (leak_per_day + drain_per_day) if leak_per_day + drain_per_day else np.inf
    days = min(float(_CHECK_DAYS), float(falling))
    if falling >= _CHECK_DAYS:
        set_by = "makers' check"
    else:
        set_by = case.drain_name if drain_per_day > leak_per_day else "self-discharge"
    limits = load_chemistry(case.family).limits
    return StoragePlan(
        target_soc=(limits.storage_low_soc + limits.storage_high_soc) / 2,
        days_to_top_up=days,
        next_check=today + datetime.timedelta(days=int(days)),
        set_by=set_by,
        leak=leak,
        drain_mah_per_day=case.drain_a * _MAH_PER_DAY_OF_1_A,
        notes=_notes(case, drain_per_day=drain_per_day, leak_per_day=leak_per_day),
    )


def _divider_words(case: StorageCase) -> str:
    per_day_mah = case.divider_drain_a * _MAH_PER_DAY_OF_1_A
    if case.divider_is_switched_off:
        return (
            f"The switch is taken to cut off the divider of the gauge too: ahead of the switch it "
            f"would draw {per_day_mah:.3g} mAh a day more, day and night."
        )
    return (
        f"The divider of the gauge draws {per_day_mah:.3g} mAh a day of what is counted here, at "
        "the full pack; put it behind a switch, or unplug the pack."
    )


def _notes(case: StorageCase, *, drain_per_day: float, leak_per_day: float) -> tuple[str, ...]:
    notes = [
        "Cool, dry (75 % humidity or less) and away from what burns; 0 to 25 degC is best.",
        "A parked car in the sun reaches 47 degC in the cabin and 70 degC on the dashboard within "
        "an hour (Arizona State University, 2018-05-24).",
    ]
    if drain_per_day > leak_per_day:
        notes.append("The electronics draw more than the cells leak: unplug them for storage.")
    if case.divider_drain_a > 0:
        notes.append(_divider_words(case))
    if not case.device_drain_is_whole:
        notes.append(
            "What the rest of the device draws while it is off is not known and left out: measure "
            "it, or unplug the pack."
        )
    if case.soc > 0.80:
        notes.append("Nearly full for weeks ages it; use it down to its storage charge first.")
    if case.storage_degc > 45:
        notes.append("Above 45 degC makers allow about a month.")
    return tuple(notes)
