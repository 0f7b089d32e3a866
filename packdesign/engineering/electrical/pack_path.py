"""Everything the current of a pack runs through beside the cells, and where the volts go.

Strips, joints, leads, fuse, connector, switch and protection board, each a named resistance with a
band and a basis. What a wire or strip has per metre is in ``conductors``.
"""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import Final

from packdesign.engineering.electrical.conductors import conductor_metal, strip_ohm, wire_ohm
from packdesign.foundation.basis import Band, Basis, weakest
from packdesign.foundation.errors import OutOfRangeError

__all__ = [
    "TYPICAL_FUSE_DROP_V",
    "TYPICAL_WELD_OHM",
    "PackPath",
    "PackWiring",
    "PathLoss",
    "PathPart",
    "fuse_cold_ohm_from_rating",
    "hardest_strip_share",
    "pack_path",
]

TYPICAL_WELD_OHM: Final = Band(0.05e-3, 0.15e-3, 0.5e-3)
"""One joint of strip and cell terminal (a pair of spots). [ohm]

From memory, no source seen; a cold joint can be far above it.
"""

TYPICAL_FUSE_DROP_V: Final = Band(0.040, 0.076, 0.180)
"""Cold resistance of a fuse times its rating. [V]

5th, 50th and 95th percentile of 65 cartridge and surface-mount fuses of 2 A and more, from the
data sheets of Littelfuse, Eaton and Bourns; blade fuses (from memory) lie at 0.059 to 0.089.
"""


@dataclass(frozen=True, slots=True, kw_only=True)
class PathPart:
    """One named resistance that carries the whole current of the pack."""

    name: str
    """What it is, in words for the builder: "strips between the cells"."""
    ohm: Band
    """Resistance as the pack current sees it. [ohm]"""
    basis: Basis
    source: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class PathLoss:
    """What one part takes at a current."""

    name: str
    volts: float
    """Voltage lost. [V]"""
    watts: float
    """Heat made. [W]"""
    share_fraction: float
    """Share of all the loss of the path. [-]"""
    basis: Basis


@dataclass(frozen=True, slots=True, kw_only=True)
class PackPath:
    """All parts between the cells and the load, in the order of the current."""

    parts: tuple[PathPart, ...]
    unknown: tuple[str, ...] = ()
    """What is surely in the path but whose resistance nobody gave."""

    @property
    def ohm(self) -> Band:
        """Sum of the parts; their spreads are independent, so they add as squares. [ohm]"""
        mid = sum(part.ohm.mid for part in self.parts)
        below = math.hypot(*(part.ohm.mid - part.ohm.low for part in self.parts))
        above = math.hypot(*(part.ohm.high - part.ohm.mid for part in self.parts))
        return Band(mid - below, mid, mid + above)

    @property
    def basis(self) -> Basis:
        """Weakest basis among the parts; a path with no part is assumed."""
        if not self.parts:
            return Basis.ASSUMED
        return weakest(*(part.basis for part in self.parts))

    def losses(self, *, current_a: float) -> tuple[PathLoss, ...]:
        """Say where the volts go at a current, largest first.

        Parameters
        ----------
        current_a : float
            Current of the pack. [A]

        Returns
        -------
        tuple of PathLoss
            One for each part, at its middle resistance.
        """
        total = sum(part.ohm.mid for part in self.parts)
        ordered = sorted(self.parts, key=lambda part: part.ohm.mid, reverse=True)
        return tuple(
            PathLoss(
                name=part.name,
                volts=current_a * part.ohm.mid,
                watts=current_a**2 * part.ohm.mid,
                share_fraction=part.ohm.mid / total if total else 0.0,
                basis=part.basis,
            )
            for part in ordered
        )


@dataclass(frozen=True, slots=True, kw_only=True)
class PackWiring:
    """How a pack is joined and led out; a part left out (None) is not in the pack."""

    series: int
    parallel: int
    link_length_m: float
    """Strip between the terminals of two neighbouring cells, centre to centre. [m]"""
    strip_metal: str = "pure nickel"
    strip_width_m: float = 0.008
    strip_thickness_m: float = 0.00015
    """Thickness of one layer. [m]"""
    strip_layers: int = 1
    joint_ohm: Band = TYPICAL_WELD_OHM
    """One joint of strip and terminal: weld, solder or spring. [ohm]"""
    joint_basis: Basis = Basis.ASSUMED
    lead_awg: int | None = 16
    lead_length_m: float = 0.15
    """One lead, from the pack to the connector; there are two. [m]"""
    conductor_degc: float = 25.0
    """Temperature of strips and leads. [degC]"""
    devices: tuple[PathPart, ...] = ()
    """Fuse, connector (both contacts together), switch, protection board, as they are known."""
    unknown: tuple[str, ...] = ()
    """Devices that are there but whose resistance is not known."""

    def __post_init__(self) -> None:
        counts = (self.series, self.parallel, self.strip_layers)
        if min(counts) < 1:
            msg = f"series, parallel and strip_layers must be 1 or more; got {counts}"
            raise OutOfRangeError(msg)
        if min(self.link_length_m, self.lead_length_m) < 0:
            msg = (
                "link_length_m and lead_length_m must be 0 or more; "
                f"got {self.link_length_m} and {self.lead_length_m}"
            )
            raise OutOfRangeError(msg)


def pack_path(wiring: PackWiring) -> PackPath:
    r"""Add up the current path of a pack from its wiring.

    Parameters
    ----------
    wiring : PackWiring
        How the pack is joined.

    Returns
    -------
    PackPath
        Strips, joints, leads, then the devices as given.

    Raises
    ------
    UnknownNameError
        If the strip metal is unknown.
    OutOfRangeError
        If the gauge or a size is out of range.

    Notes
    -----
    Between two groups each of the P cells has its own bridge, so P strips and 2 P joints lie in
    parallel. The first and the last group gather their current along a strip with the lead at one
    end; with equal cell currents that strip of pitch resistance r wastes the power of
    :math:`r (P-1)(2P-1) / (6P)`, the sum of :math:`(k/P)^2 r` over k = 1 to P - 1. How unequal the
    currents become is in ``network``.

    Examples
    --------
    Three cells in a row, 8 by 0.15 mm nickel, 15 cm of 16 AWG, no fuse given:

    >>> path = pack_path(PackWiring(series=3, parallel=1, link_length_m=0.020))
    >>> [(part.name, round(part.ohm.mid * 1000, 2)) for part in path.parts]
    [('strips between the cells', 2.4), ('joints on the cells', 0.9), ('two leads, 16 AWG', 4.17)]
    """
    metal = conductor_metal(wiring.strip_metal)
    pitch = strip_ohm(
        metal=wiring.strip_metal,
        length_m=wiring.link_length_m,
        width_m=wiring.strip_width_m,
        thickness_m=wiring.strip_thickness_m * wiring.strip_layers,
        conductor_degc=wiring.conductor_degc,
    )
    count = wiring.parallel
    gathering = (count - 1) * (2 * count - 1) / (6 * count)
    parts = [
        PathPart(
            name="strips between the cells",
            ohm=pitch.scaled((wiring.series - 1) / count + 2 * gathering),
            basis=metal.basis,
            source=metal.source,
        ),
        PathPart(
            name="joints on the cells",
            ohm=wiring.joint_ohm.scaled(2 * wiring.series / count),
            basis=wiring.joint_basis,
            source="from memory, no source seen" if wiring.joint_ohm == TYPICAL_WELD_OHM else "",
        ),
    ]
    if wiring.lead_awg is not None:
        lead = wire_ohm(
            awg=wiring.lead_awg,
            length_m=2 * wiring.lead_length_m,
            conductor_degc=wiring.conductor_degc,
        )
        name = f"two leads, {wiring.lead_awg} AWG"
        source = "AWG wire table; stranding and UL1015 maxima as the range"
        parts.append(PathPart(name=name, ohm=lead, basis=Basis.PUBLISHED, source=source))
    return PackPath(parts=(*parts, *wiring.devices), unknown=wiring.unknown)


def hardest_strip_share(*, series: int, parallel: int) -> float:
    r"""Share of the pack current in the strip that carries the most. [-]

    Parameters
    ----------
    series, parallel : int
        Groups in series, and cells in each, 1 or more. [-]

    Returns
    -------
    float
        0 for a single cell, which has no strip between cells. [-]

    Notes
    -----
    The paths of `pack_path`: between two groups each of P strips carries 1/P; along the first and
    the last group the strip gathers towards its lead at one end, and its last piece carries
    :math:`(P-1)/P`. With equal cell currents.

    Examples
    --------
    >>> [hardest_strip_share(series=3, parallel=each) for each in (1, 2, 4)]
    [1.0, 0.5, 0.75]
    """
    bridge = 1 / parallel if series > 1 else 0.0
    return max(bridge, (parallel - 1) / parallel)


def fuse_cold_ohm_from_rating(*, rated_a: float) -> Band:
    """Cold resistance of a fuse of which only the rating is known. [ohm]

    Parameters
    ----------
    rated_a : float
        Rated current, above zero. [A]

    Returns
    -------
    Band
        Wide, for fuses of one rating differ fourfold. [ohm]

    Raises
    ------
    OutOfRangeError
        If the rating is not above zero.

    Notes
    -----
    `TYPICAL_FUSE_DROP_V` over the rating. A fuse at its rated current is warm and has about 1.3 to
    1.7 times its cold resistance (Eaton CC06H sheet: 250 milliohm cold, 310 mV at 1 A; a 40 A blade
    fuse: 1.44 milliohm cold, 96 mV, second hand).

    Examples
    --------
    >>> round(fuse_cold_ohm_from_rating(rated_a=10.0).mid * 1000, 1)
    7.6
    """
    if rated_a <= 0:
        msg = f"rated_a is {rated_a}; a fuse has a rating above 0 A"
        raise OutOfRangeError(msg)
    return TYPICAL_FUSE_DROP_V.scaled(1 / rated_a)
