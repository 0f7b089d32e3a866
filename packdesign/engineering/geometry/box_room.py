"""The free parts of a box once leads and reserved bricks are off: overlapping boxes, largest first.

A reserved brick sits in the far corner, or at the wall that it must touch; what is left of the box
is then three overlapping boxes.
"""

from __future__ import annotations

import itertools
import math
from collections.abc import Sequence
from dataclasses import dataclass

from packdesign.engineering.geometry.arrangement import PlacedReserve
from packdesign.engineering.geometry.cavities import Box, Place, Reserved
from packdesign.engineering.geometry.layout import Job
from packdesign.foundation.errors import InputError

__all__ = ["BoxRoom", "checked_rooms"]

Edges = tuple[float, float, float]

_WALLS: dict[Place, tuple[int, bool]] = {
    "open_end": (0, False),
    "closed_end": (0, True),
    "side": (1, False),
    "top": (2, False),
    "bottom": (2, True),
}
"""Axis of the box across the wall of each place, and whether it is the near one."""
_NOTHING_M = 1e-6

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
    whole = BoxRoom(low_m=(0.0, 0.0, 0.0), size_m=size)
    rooms = [whole]
    for reserved in sorted(box.reserved, key=lambda each: (each.place is None, -each.volume_m3)):
        touching = [room for room in rooms if _touches(room, whole, reserved.place)]
        turned = sorted(set(itertools.permutations(reserved.size_m)))
        cut = _cut(touching, reserved, turned if reserved.place is None else [reserved.size_m])
        if not cut:
            cut = _cut(touching, reserved, turned)
        rooms = sorted(cut, key=lambda each: -each.volume_m3)[:_MOST_ROOMS]
    if not rooms:
        names = ", ".join(
            reserved.name if reserved.place is None else f"{reserved.name} at {reserved.place}"
            for reserved in box.reserved
        ).replace("_", " ")
        msg = (
            f"the reserved room ({names}) does not go into the box in any way round; look at the "
            "length, width and height of both"
        )
        raise InputError(msg)
    return rooms


def _touches(room: BoxRoom, whole: BoxRoom, place: Place | None) -> bool:
    """Whether a free part reaches the wall that a brick must touch."""
    if place is None:
        return True
    axis, is_low = _WALLS[place]
    if is_low:
        return room.low_m[axis] < _NOTHING_M
    far_m = room.low_m[axis] + room.size_m[axis]
    return whole.size_m[axis] - far_m < _NOTHING_M


def _cut(
    rooms: list[BoxRoom], reserved: Reserved, ways: Sequence[Sequence[float]]
) -> list[BoxRoom]:
    low_axis = None
    if reserved.place is not None and _WALLS[reserved.place][1]:
        low_axis = _WALLS[reserved.place][0]
    return [
        part
        for room in rooms
        for edges in ways
        for part in _around(room, reserved.name, (edges[0], edges[1], edges[2]), low_axis)
    ]


def _around(room: BoxRoom, name: str, edges: Edges, low_axis: int | None) -> list[BoxRoom]:
    """Put a brick into the far corner of a free part, and give what is left beside it.

    Along ``low_axis`` it lies at the near end instead.
    """
    if any(edge > there + 1e-12 for edge, there in zip(edges, room.size_m, strict=True)):
        return []
    high = [low + there for low, there in zip(room.low_m, room.size_m, strict=True)]
    low = [far - edge for far, edge in zip(high, edges, strict=True)]
    if low_axis is not None:
        low[low_axis] = room.low_m[low_axis]
        high[low_axis] = low[low_axis] + edges[low_axis]
    placed = PlacedReserve(
        name=name, low_m=(low[0], low[1], low[2]), high_m=(high[0], high[1], high[2])
    )
    parts = []
    for cut in range(3):
        size, corner = list(room.size_m), list(room.low_m)
        size[cut] -= edges[cut]
        if cut == low_axis:
            corner[cut] += edges[cut]
        if size[cut] > _NOTHING_M:
            parts.append(
                BoxRoom(
                    low_m=(corner[0], corner[1], corner[2]),
                    size_m=(size[0], size[1], size[2]),
                    reserves=(*room.reserves, placed),
                )
            )
    return parts
