"""The free parts of a box once leads and reserved bricks are off: overlapping boxes, largest first.

A reserved brick sits in the far corner; what is left of the box is then three overlapping boxes.
"""

from __future__ import annotations

import itertools
import math
from dataclasses import dataclass

from packdesign.engineering.geometry.arrangement import PlacedReserve
from packdesign.engineering.geometry.cavities import Box
from packdesign.engineering.geometry.layout import Job
from packdesign.foundation.errors import InputError

__all__ = ["BoxRoom", "checked_rooms"]

Edges = tuple[float, float, float]

_MOST_ROOMS = 6
"""How many free parts are looked at; chosen here to bound the time."""


@dataclass(frozen=True, slots=True, kw_only=True)
class BoxRoom:
    """One free part: its lowest corner and its edges."""

    low_m: Edges
    size_m: Edges
    reserves: tuple[PlacedReserve, ...] = ()

    @property
    def volume_m3(self) -> float:
        """Its volume. [m3]"""
        return math.prod(self.size_m)


def checked_rooms(job: Job, box: Box) -> list[BoxRoom]:
    """List the free parts of a box in which cells may be arranged, largest first.

    Parameters
    ----------
    job : Job
        For the room that leads take, off the far end of the length.
    box : Box
        The box.

    Returns
    -------
    list of BoxRoom
        One for a box with nothing reserved; up to six otherwise.

    Raises
    ------
    InputError
        If what is reserved does not go into the box.
    """
    size = (box.length_m - job.allowances.lead_m, box.width_m, box.height_m)
    rooms = [BoxRoom(low_m=(0.0, 0.0, 0.0), size_m=size)]
    for reserved in sorted(box.reserved, key=lambda each: -each.volume_m3):
        cut = [
            part
            for room in rooms
            for edges in sorted(set(itertools.permutations(reserved.size_m)))
            for part in _around(room, reserved.name, (edges[0], edges[1], edges[2]))
        ]
        rooms = sorted(cut, key=lambda each: -each.volume_m3)[:_MOST_ROOMS]
    if not rooms:
        names = ", ".join(reserved.name for reserved in box.reserved)
        msg = f"the reserved room ({names}) does not go into the box in any way round"
        raise InputError(msg)
    return rooms


def _around(room: BoxRoom, name: str, edges: Edges) -> list[BoxRoom]:
    """Put a brick into the far corner of a free part, and give what is left beside it."""
    if any(edge > there + 1e-12 for edge, there in zip(edges, room.size_m, strict=True)):
        return []
    high = [low + there for low, there in zip(room.low_m, room.size_m, strict=True)]
    low = [far - edge for far, edge in zip(high, edges, strict=True)]
    placed = PlacedReserve(
        name=name, low_m=(low[0], low[1], low[2]), high_m=(high[0], high[1], high[2])
    )
    parts = []
    for cut in range(3):
        size = list(room.size_m)
        size[cut] -= edges[cut]
        if size[cut] > 1e-6:
            parts.append(
                BoxRoom(
                    low_m=room.low_m,
                    size_m=(size[0], size[1], size[2]),
                    reserves=(*room.reserves, placed),
                )
            )
    return parts
