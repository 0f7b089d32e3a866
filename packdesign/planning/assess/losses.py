"""Where the volts and the watts of a pack go at one current: cells first, then every joint."""

from __future__ import annotations

from dataclasses import dataclass, replace
from typing import Final

from packdesign.engineering.electrical.pack_path import PathLoss
from packdesign.planning.assess.design import PackDesign

__all__ = ["PackLosses", "pack_losses"]

_SOC: Final = 0.5
_DEGC: Final = 25.0
_PULSE_S: Final = 10.0
"""Half charged, 25 degC, 10 s: the usual way to read a resistance; common practice."""
_CELLS: Final = "inside the cells"


@dataclass(frozen=True, slots=True, kw_only=True)
class PackLosses:
    """What is lost between the chemistry of the cells and the terminals of the pack."""

    current_a: float
    parts: tuple[PathLoss, ...]
    """Largest first; the shares add up to 1."""
    unknown: tuple[str, ...]
    """What is in the path but whose resistance nobody gave: it is missing from the sum."""
    volts: float
    """All of them together. [V]"""
    watts: float
    """All of them together. [W]"""


def pack_losses(design: PackDesign, *, current_a: float) -> PackLosses:
    """Say where volts and watts go, half charged and at 25 degC, ten seconds into the current.

    Parameters
    ----------
    design : PackDesign
        The pack.
    current_a : float
        Current of the pack. [A]

    Returns
    -------
    PackLosses
        The cells together and every part of the path.

    Notes
    -----
    Ohm's law and Joule's for each part. The resistance of the cells is that of the model, the parts
    of the path at the middle of their bands.
    """
    model = design.model
    cells_ohm = (
        model.cell.pulse_ohm(
            soc=_SOC,
            temperature_degc=_DEGC,
            current_a=max(current_a, 1e-6) / design.parallel,
            pulse_s=_PULSE_S,
        )
        * design.series
        / design.parallel
    )
    cells = PathLoss(
        name=_CELLS,
        volts=current_a * cells_ohm,
        watts=current_a**2 * cells_ohm,
        share_fraction=0.0,
        basis=model.cell.basis,
    )
    parts = (cells, *design.path.losses(current_a=current_a))
    volts = sum(part.volts for part in parts)
    shared = (replace(part, share_fraction=part.volts / volts if volts else 0.0) for part in parts)
    return PackLosses(
        current_a=current_a,
        parts=tuple(sorted(shared, key=lambda part: -part.volts)),
        unknown=design.path.unknown,
        volts=volts,
        watts=volts * current_a,
    )
