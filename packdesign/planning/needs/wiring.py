"""The way of the current from cell to device: strips, joints, leads and devices of a brief."""

from __future__ import annotations

from packdesign.engineering.electrical.pack_path import (
    PackPath,
    PackWiring,
    PathPart,
    fuse_cold_ohm_from_rating,
    pack_path,
)
from packdesign.engineering.geometry.arrangement import Arrangement
from packdesign.foundation.basis import Band, Basis
from packdesign.planning.brief.pack_section import Pack
from packdesign.planning.brief.schema import Brief
from packdesign.planning.needs.fuse_parts import fuse_of
from packdesign.planning.needs.parts import board_of, connector_of, switch_of

__all__ = ["lead_awg_of", "nearest_awg", "pack_path_of", "strip_metal_of", "wiring_of"]

_METALS = {"nickel": "pure nickel", "plated_steel": "plated steel"}
_DEFAULT_AWG = 16
_DEFAULT_LEAD_M = 0.15
_GIVEN_SPREAD = 0.15
"""How far a resistance that the builder states may be off, as a fraction; own choice."""


def pack_path_of(brief: Brief, arrangement: Arrangement) -> PackPath:
    """Give every resistance between the cells and the device, by name.

    Parameters
    ----------
    brief : Brief
        The brief.
    arrangement : Arrangement
        Where the cells sit; its strips give the length of a link where the brief does not.

    Raises
    ------
    UnknownNameError
        If the strip metal is unknown.
    """
    return pack_path(wiring_of(brief, arrangement))


def wiring_of(brief: Brief, arrangement: Arrangement) -> PackWiring:
    """Give how a pack is joined and led out: as the brief says, else as is usual.

    Parameters
    ----------
    brief : Brief
        The brief.
    arrangement : Arrangement
        Where the cells sit; its strips give the length of a link where the brief does not.
    """
    pack = brief.pack or Pack()
    strips = pack.strips
    lengths_m = arrangement.series_strip_m
    link_m = sum(lengths_m) / len(lengths_m) if lengths_m else 0.0
    given: dict[str, object] = {}
    if strips is not None:
        if strips.length_m is not None:
            link_m = strips.length_m
        if strips.material is not None:
            given["strip_metal"] = strip_metal_of(strips.material)
        if strips.width_m is not None:
            given["strip_width_m"] = strips.width_m
        if strips.thickness_m is not None:
            given["strip_thickness_m"] = strips.thickness_m
        if strips.joint_resistance_ohm is not None:
            given["joint_ohm"] = _given(strips.joint_resistance_ohm)
            given["joint_basis"] = Basis.MEASURED
        given["strip_layers"] = strips.layers or 1
    given["lead_awg"] = lead_awg_of(brief)
    lead = pack.lead
    if lead is not None:
        given["lead_length_m"] = _DEFAULT_LEAD_M if lead.length_m is None else lead.length_m
    devices, unknown = _devices(pack)
    return PackWiring(
        series=arrangement.series,
        parallel=arrangement.parallel,
        link_length_m=link_m,
        devices=devices,
        unknown=unknown,
        **given,  # type: ignore[arg-type]
    )


def lead_awg_of(brief: Brief) -> int:
    """Give the gauge of the leads: stated, nearest to the area stated, or the usual one.

    Parameters
    ----------
    brief : Brief
        The brief.
    """
    lead = brief.pack.lead if brief.pack is not None else None
    if lead is None:
        return _DEFAULT_AWG
    return lead.awg if lead.awg is not None else nearest_awg(lead.area_m2)


def strip_metal_of(material: str | None) -> str | None:
    """Give the name that the table of metals has for the material of a strip.

    Parameters
    ----------
    material : str or None
        As the brief writes it; None: it does not.
    """
    return None if material is None else _METALS.get(material, material)


def nearest_awg(area_m2: float | None) -> int:
    """Give the gauge whose cross-section is nearest to an area, or the usual one without an area.

    Parameters
    ----------
    area_m2 : float or None
        Cross-section of the conductor. [m2]

    Notes
    -----
    AWG diameter 0.127 mm times 92 to the power (36 - n) / 39 (ASTM B258, from memory).

    Examples
    --------
    >>> nearest_awg(1.31e-6)
    16
    """
    from packdesign.engineering.electrical.conductors import wire_area_m2

    if area_m2 is None:
        return _DEFAULT_AWG
    wanted_m2 = area_m2
    return min(range(41), key=lambda awg: abs(wire_area_m2(awg=awg) - wanted_m2))


def _devices(pack: Pack) -> tuple[tuple[PathPart, ...], tuple[str, ...]]:
    """List the devices in the current, and those of which nobody knows the resistance."""
    parts: list[PathPart] = []
    unknown: list[str] = []
    fuse = fuse_of(pack)
    if fuse is not None:
        if fuse.resistance_ohm is not None:
            parts.append(_stated("fuse", fuse.resistance_ohm))
        elif fuse.rating_a is not None:
            parts.append(
                PathPart(
                    name="fuse",
                    ohm=fuse_cold_ohm_from_rating(rated_a=fuse.rating_a),
                    basis=Basis.PUBLISHED,
                    source="65 fuse sheets: cold resistance times rating",
                )
            )
        else:
            unknown.append("fuse")
    connector, board = connector_of(pack), board_of(pack)
    if connector is not None:
        contact_ohm = connector.resistance_ohm
        _add(parts, unknown, "connector", None if contact_ohm is None else 2 * contact_ohm)
    switch = switch_of(pack)
    if switch is not None and switch.kind != "none":
        _add(parts, unknown, "switch", switch.resistance_ohm)
    if board is not None and board.kind == "board":
        _add(parts, unknown, "protection board", board.resistance_ohm)
    return tuple(parts), tuple(unknown)


def _add(parts: list[PathPart], unknown: list[str], name: str, ohm: float | None) -> None:
    if ohm is None:
        unknown.append(name)
    else:
        parts.append(_stated(name, ohm))


def _stated(name: str, ohm: float) -> PathPart:
    return PathPart(name=name, ohm=_given(ohm), basis=Basis.MEASURED, source="stated in the brief")


def _given(ohm: float) -> Band:
    return Band.from_fraction(ohm, spread_fraction=_GIVEN_SPREAD)
