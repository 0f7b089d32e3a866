"""The cross-section of a tube: a circle, less a flat, a channel for wires and ribs.

Says how far a point is from whatever is nearest, and finds cells side by side in what is left.
"""

from __future__ import annotations

import numpy as np
from numpy.typing import NDArray

from packdesign.engineering.geometry.cavities import Tube
from packdesign.engineering.geometry.circle_packing import circle_positions

__all__ = ["inscribed", "points_across", "section_clearance"]

FloatArray = NDArray[np.float64]


def section_clearance(tube: Tube, points_m: FloatArray) -> FloatArray:
    """Distance of points to the nearest obstacle of the section; negative inside one.

    Parameters
    ----------
    tube : Tube
        The tube.
    points_m : array
        Points across the bore, shape (..., 2). [m]

    Returns
    -------
    array
        Shape (...). [m]

    Examples
    --------
    >>> tube = Tube(bore_m=0.040, length_m=0.1, flat_depth_m=0.005)
    >>> section_clearance(tube, np.array([0.0, -0.005])).round(4).item()
    0.01
    """
    radius_m = tube.bore_m / 2
    clear: FloatArray = radius_m - np.hypot(points_m[..., 0], points_m[..., 1])
    if tube.flat_depth_m:
        clear = np.minimum(clear, points_m[..., 1] + radius_m - tube.flat_depth_m)
    if tube.channel is not None:
        brick = (tube.channel.width_m, tube.channel.depth_m)
        clear = np.minimum(clear, _from_brick(points_m, np.pi / 2, radius_m, *brick))
    for rib in tube.ribs:
        brick = (rib.width_m, rib.height_m)
        clear = np.minimum(clear, _from_brick(points_m, rib.angle_rad, radius_m, *brick))
    return clear


def _from_brick(
    points_m: FloatArray, angle_rad: float, radius_m: float, width_m: float, depth_m: float
) -> FloatArray:
    """Distance to a brick that reaches inward from the wall at an angle."""
    inward = np.array([np.cos(angle_rad), np.sin(angle_rad)])
    along = points_m @ inward
    aside = np.abs(points_m @ np.array([-inward[1], inward[0]]))
    out_along = radius_m - depth_m - along
    out_aside = aside - width_m / 2
    outside = np.hypot(np.maximum(out_along, 0), np.maximum(out_aside, 0))
    distance: FloatArray = outside + np.minimum(np.maximum(out_along, out_aside), 0)
    return distance


def inscribed(tube: Tube) -> tuple[float, float]:
    """Give the diameter and the middle height of a full circle clear of everything in the section.

    Parameters
    ----------
    tube : Tube
        The tube.

    Returns
    -------
    tuple of float
        Diameter, and y of its middle. Ribs on all sides are taken at their highest. [m]

    Examples
    --------
    >>> inscribed(Tube(bore_m=0.040, length_m=0.1, flat_depth_m=0.005))
    (0.035, 0.0025)
    """
    rib_m = max((rib.height_m for rib in tube.ribs), default=0.0)
    channel_m = tube.channel.depth_m if tube.channel is not None else 0.0
    below_m, above_m = max(tube.flat_depth_m, rib_m), max(channel_m, rib_m)
    return tube.bore_m - below_m - above_m, (below_m - above_m) / 2


def points_across(tube: Tube, *, count: int, pitch_m: float) -> tuple[FloatArray, float]:
    """Place cells side by side across a bore with obstacles, as clear of all of them as can be.

    Parameters
    ----------
    tube : Tube
        The tube.
    count : int
        How many cells. [-]
    pitch_m : float
        Least distance between their middles: a diameter and a gap. [m]

    Returns
    -------
    tuple of array and float
        Middles, shape (count, 2) [m], and the distance from the nearest middle to the nearest
        obstacle. [m]

    Notes
    -----
    Packings of as many cells and up to three more are turned in steps of 3 degrees and shifted up
    and down; of the larger ones the cells nearest to an obstacle are left out.
    """
    _diameter_m, middle_m = inscribed(tube)
    angles = np.radians(np.arange(0, 360, 3))
    turn = np.array([[np.cos(angles), -np.sin(angles)], [np.sin(angles), np.cos(angles)]])
    shifts = np.unique(np.concatenate([[0.0, middle_m], np.linspace(-1, 1, 9) * pitch_m / 4]))
    best: tuple[FloatArray, float] = (np.zeros((count, 2)), -np.inf)
    for larger in range(count, count + 4):
        packing = circle_positions(larger) * (pitch_m / 2)
        turned = np.einsum("ija,nj->ani", turn, packing)
        placed = turned[:, None] + np.stack([np.zeros_like(shifts), shifts], axis=1)[:, None, :]
        clear = section_clearance(tube, placed)
        kept = np.sort(clear, axis=2)[:, :, larger - count]
        angle, shift = np.unravel_index(int(np.argmax(kept)), kept.shape)
        if kept[angle, shift] > best[1] + 1e-9:
            keep = np.argsort(clear[angle, shift], kind="stable")[larger - count :]
            best = placed[angle, shift][np.sort(keep)], float(kept[angle, shift])
    return best
