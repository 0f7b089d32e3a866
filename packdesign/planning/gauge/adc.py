"""The analogue input of a controller, as far as reading a pack's voltage needs it."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from typing import Final

from packdesign.data.controllers import ControllerInput
from packdesign.foundation.basis import Basis
from packdesign.foundation.errors import OutOfRangeError

__all__ = ["DEFAULT_SAMPLE_F", "DEFAULT_SOURCE_OHM", "Adc", "adc_from_controller", "best_adc"]

DEFAULT_SOURCE_OHM: Final = 10_000.0
"""Source impedance where the sheet gives none: that of the AVR sheets, the common case. [ohm]"""

DEFAULT_SAMPLE_F: Final = 14e-12
"""Sampling capacitor where the sheet gives none: that of the AVR sheets. [F]"""

_SUPPLY_TOLERANCE_FRACTION: Final = 0.02
"""Spread of a regulated supply used as reference; common practice, no source. [-]"""
_UNSTATED_TOLERANCE_FRACTION: Final = 0.10
"""Spread of an inner reference whose sheet gives none, as wide as those seen; chosen here. [-]"""
_MILLIVOLT_V: Final = 0.001


@dataclass(frozen=True, slots=True, kw_only=True)
class Adc:
    """One analogue input at one setting."""

    name: str
    bits: int
    reference_v: float
    """Voltage that reads as full scale. [V]"""
    reference_tolerance_fraction: float
    """How far the reference may be off, as a fraction of it. [-]"""
    input_max_v: float
    """Highest voltage that reads true. [V]"""
    input_min_v: float = 0.0
    """Lowest voltage that reads true. [V]"""
    max_source_ohm: float = DEFAULT_SOURCE_OHM
    """Highest impedance of the source. [ohm]"""
    reads_millivolt: bool = False
    """True where the maker's own driver turns the raw reading into millivolts at the pin; a count
    is then 1 mV."""
    error_lsb: float = 2.0
    """Largest error of the converter itself, in steps. [-]"""
    sample_cap_f: float = DEFAULT_SAMPLE_F
    """Capacitor that is charged for each reading. [F]"""
    leakage_a: float = 0.0
    input_ohm: float = float("inf")
    basis: Basis = Basis.ASSUMED
    source: str = ""

    def __post_init__(self) -> None:
        if not 6 <= self.bits <= 24:
            msg = f"{self.name}: bits must be 6 to 24; got {self.bits}"
            raise OutOfRangeError(msg)
        if not self.input_max_v > 0 or not self.reference_v > 0 or self.max_source_ohm <= 0:
            msg = (
                f"{self.name}: reference, input range and source impedance must be above 0; got "
                f"{self.reference_v} V, {self.input_max_v} V and {self.max_source_ohm} ohm"
            )
            raise OutOfRangeError(msg)

    @property
    def steps(self) -> int:
        """Highest reading, in counts. [-]"""
        if self.reads_millivolt:
            return round(self.reference_v / _MILLIVOLT_V)
        return int(2**self.bits - 1)

    @property
    def count_words(self) -> str:
        """What a count is, as it goes on in a sentence."""
        return "a millivolt at the pin" if self.reads_millivolt else "a step of the converter"

    @property
    def apart_counts(self) -> int:
        """Counts by which two readings of one voltage may differ: both errors, rounded. [-]"""
        return int(2 * self.error_lsb + 1)

    @property
    def lsb_v(self) -> float:
        """One count at the pin. [V]"""
        return self.reference_v / self.steps


def best_adc(rows: Sequence[ControllerInput], *, supply_v: float) -> Adc:
    """Make the input of a controller at its best setting.

    Of the rows that describe a converter, the one with the widest range is taken, then the one that
    bears the highest source impedance (the longest sampling).

    Parameters
    ----------
    rows : sequence of ControllerInput
        Settings of one controller, one or more.
    supply_v : float
        Supply of the controller. [V]

    Returns
    -------
    Adc
        The input.

    Raises
    ------
    OutOfRangeError
        If none of its rows says how many bits the converter has.
    """
    with_bits = [row for row in rows if row.bits is not None] or list(rows)
    inputs = [adc_from_controller(row, supply_v=supply_v) for row in with_bits]
    return max(inputs, key=lambda adc: (adc.input_max_v, adc.max_source_ohm))


def adc_from_controller(row: ControllerInput, *, supply_v: float) -> Adc:
    """Make an input from a row of the controller table.

    Where the row names no reference voltage, the supply is taken, 2 % off at most. Where it states
    a usable range, an attenuator lies ahead of the converter: the counts are then millivolts as the
    maker's driver gives them.

    Parameters
    ----------
    row : ControllerInput
        The row.
    supply_v : float
        Supply of the controller. [V]

    Returns
    -------
    Adc
        The input.

    Raises
    ------
    OutOfRangeError
        If the row does not say how many bits the converter has.
    """
    if row.bits is None:
        msg = (
            f"the controller table gives no bits for {row.controller}; say them in the brief, "
            "adc_bits in [monitor]"
        )
        raise OutOfRangeError(msg)
    reference_v, tolerance = _reference(row, supply_v)
    usable_v = row.usable_high_v
    return Adc(
        name=row.controller,
        bits=row.bits,
        reference_v=reference_v if usable_v is None else usable_v,
        reference_tolerance_fraction=tolerance,
        input_max_v=reference_v * (1 - tolerance) if usable_v is None else usable_v,
        input_min_v=row.usable_low_v or 0.0,
        reads_millivolt=usable_v is not None,
        max_source_ohm=row.source_impedance_most_ohm or DEFAULT_SOURCE_OHM,
        error_lsb=row.error_most_lsb if row.error_most_lsb is not None else 2.0,
        sample_cap_f=row.sample_cap_f or DEFAULT_SAMPLE_F,
        leakage_a=row.input_leakage_most_a or 0.0,
        input_ohm=row.input_ohm or float("inf"),
        basis=row.basis,
        source=row.source,
    )


def _reference(row: ControllerInput, supply_v: float) -> tuple[float, float]:
    if row.reference_v is None:
        inner = row.usable_high_v is not None
        return supply_v, _UNSTATED_TOLERANCE_FRACTION if inner else _SUPPLY_TOLERANCE_FRACTION
    if row.reference_min_v is None or row.reference_max_v is None:
        return row.reference_v, _UNSTATED_TOLERANCE_FRACTION
    off_v = max(row.reference_max_v - row.reference_v, row.reference_v - row.reference_min_v)
    return row.reference_v, off_v / row.reference_v
