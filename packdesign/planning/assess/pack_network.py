"""The strips and joints between the cells of a pack, as the ladder that shares its current."""

from __future__ import annotations

from packdesign.engineering.electrical.network import PackNetwork
from packdesign.engineering.electrical.pack_path import TYPICAL_WELD_OHM
from packdesign.planning.assess.design import PackDesign

__all__ = ["network_of"]


def network_of(design: PackDesign) -> PackNetwork:
    """Give joints and strips between the cells, both leads at one end of the strips.

    Parameters
    ----------
    design : PackDesign
        The pack.

    Notes
    -----
    The path counts (series - 1) / parallel bridges and two gathering strips of one pitch.
    """
    joint_ohm = 2 * TYPICAL_WELD_OHM.mid
    count = design.parallel
    strips = next((each for each in design.path.parts if each.name.startswith("strips")), None)
    if strips is None or count == 1:
        return PackNetwork(joint_ohm=joint_ohm)
    gathering = (count - 1) * (2 * count - 1) / (6 * count)
    pitches = (design.series - 1) / count + 2 * gathering
    return PackNetwork(joint_ohm=joint_ohm, strip_ohm=strips.ohm.mid / pitches)
