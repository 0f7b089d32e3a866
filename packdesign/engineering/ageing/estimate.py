"""The record in which every ageing estimate comes: what is left, how sure, and from where."""

from __future__ import annotations

from dataclasses import dataclass

from packdesign.foundation.basis import Band, Basis, weakest

__all__ = ["AgeingEstimate", "both"]


@dataclass(frozen=True, slots=True, kw_only=True)
class AgeingEstimate:
    """Capacity left and resistance relative to new; None where nothing published was found."""

    capacity_fraction: Band | None
    """Capacity over that of the new cell. [-]"""
    resistance_ratio: Band | None
    """Resistance over that of the new cell. [-]"""
    basis: Basis
    source: str
    cautions: tuple[str, ...] = ()
    """Where the estimate leaves the range of its data, in plain words."""


def both(first: AgeingEstimate, second: AgeingEstimate) -> AgeingEstimate:
    """Add two kinds of ageing: losses of capacity and gains of resistance add up.

    Parameters
    ----------
    first, second : AgeingEstimate
        Usually rest and cycling.

    Returns
    -------
    AgeingEstimate
        Unknown as soon as one part is unknown.

    Notes
    -----
    Plain addition is the usual first approach (Wang et al., J. Power Sources 269 (2014) 937 add a
    calendar and a cycle loss); true losses can be more or less than the sum.

    Examples
    --------
    >>> half = AgeingEstimate(
    ...     capacity_fraction=Band.exact(0.95),
    ...     resistance_ratio=None,
    ...     basis=Basis.PUBLISHED,
    ...     source="",
    ... )
    >>> round(both(half, half).capacity_fraction.mid, 2)
    0.9
    """
    return AgeingEstimate(
        capacity_fraction=_sum(first.capacity_fraction, second.capacity_fraction, least=0.0),
        resistance_ratio=_sum(first.resistance_ratio, second.resistance_ratio, least=1.0),
        basis=weakest(first.basis, second.basis),
        source="; ".join(dict.fromkeys(text for text in (first.source, second.source) if text)),
        cautions=tuple(dict.fromkeys((*first.cautions, *second.cautions))),
    )


def _sum(first: Band | None, second: Band | None, *, least: float) -> Band | None:
    if first is None or second is None:
        return None
    low, mid, high = (
        max(least, one + other - 1.0)
        for one, other in (
            (first.low, second.low),
            (first.mid, second.mid),
            (first.high, second.high),
        )
    )
    return Band(low, mid, high)
