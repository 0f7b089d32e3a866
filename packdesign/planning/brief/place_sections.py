"""``[cavity]`` and ``[surroundings]``: what the pack must fit in, and what is around it."""

from __future__ import annotations

import itertools
from typing import Final, Literal

from pydantic import model_validator

from packdesign.engineering.geometry.allowances import LARGEST_ALLOWANCE_M
from packdesign.engineering.geometry.cavities import LARGEST_M, SMALLEST_M
from packdesign.planning.brief.keys import entry, quantity_key
from packdesign.planning.brief.section import Count, FilePath, Flag, Section, Text, reject

__all__ = ["Cavity", "CavityStep", "ReservedVolume", "Surroundings"]

_SHORTEST_MM: Final = 1000 * SMALLEST_M
_LONGEST_MM: Final = 1000 * LARGEST_M
"""The bounds are those of the geometry: what a brief may say, it can lay out. [mm]"""
_WIDEST_GAP_MM: Final = 1000 * LARGEST_ALLOWANCE_M


class CavityStep(Section):
    """``[[cavity.steps]]``: one length of a stepped tube, from its open end inwards."""

    bore_m: float | None = quantity_key(
        "bore",
        unit="mm",
        low=_SHORTEST_MM,
        high=_LONGEST_MM,
        about="inner diameter of this length",
        example=46,
    )
    length_m: float | None = quantity_key(
        "length", unit="mm", low=_SHORTEST_MM, high=_LONGEST_MM, about="how long it is", example=100
    )

    @model_validator(mode="after")
    def _is_complete(self) -> CavityStep:
        if self.bore_m is None or self.length_m is None:
            reject("each step needs a bore and a length")
        return self


class ReservedVolume(Section):
    """``[[cavity.reserved]]``: room taken by something else than cells."""

    name: Text = entry("what sits there", example="protection board", default="reserved")
    length_m: float | None = quantity_key(
        "length", unit="mm", low=0, high=_LONGEST_MM, about="along the cavity", example=12
    )
    width_m: float | None = quantity_key(
        "width", unit="mm", low=0, high=_LONGEST_MM, about="across; left out: all of it", example=40
    )
    height_m: float | None = quantity_key(
        "height", unit="mm", low=0, high=_LONGEST_MM, about="across; left out: all of it", example=4
    )
    place: Literal["open_end", "closed_end", "side", "top", "bottom", "anywhere"] | None = entry(
        "where it must be: in a box at that wall, edges as given; in a tube at that end",
        example="open_end",
    )


class Cavity(Section):
    """``[cavity]``: the room for the pack."""

    shape: Literal["open", "tube", "stepped_tube", "box", "mesh"] = entry(
        "open (free air), tube, stepped_tube, box or mesh (a drawing file)",
        example="tube",
        default="open",
    )
    bore_m: float | None = quantity_key(
        "bore",
        unit="mm",
        low=_SHORTEST_MM,
        high=_LONGEST_MM,
        about="inner diameter of a tube",
        example=46,
    )
    length_m: float | None = quantity_key(
        "length", unit="mm", low=_SHORTEST_MM, high=_LONGEST_MM, about="inner length", example=160
    )
    width_m: float | None = quantity_key(
        "width",
        unit="mm",
        low=_SHORTEST_MM,
        high=_LONGEST_MM,
        about="inner width of a box",
        example=70,
    )
    height_m: float | None = quantity_key(
        "height",
        unit="mm",
        low=_SHORTEST_MM,
        high=_LONGEST_MM,
        about="inner height of a box",
        example=22,
    )
    steps: tuple[CavityStep, ...] = entry("the lengths of a stepped tube", default=())
    mesh: FilePath | None = entry(
        "drawing of the free inside volume (STL, 3MF, OBJ), beside the brief", example="inside.stl"
    )
    mesh_unit: Literal["mm", "cm", "m", "in"] | None = entry("unit the drawing is in", example="mm")
    wall_thickness_m: float | None = quantity_key(
        "wall_thickness", unit="mm", low=0.05, high=100, about="of the housing", example=2
    )
    wall_material: Text | None = entry(
        "abs, aluminium, steel or another name of the material table", example="abs"
    )
    closure: Literal["open", "vented", "sealed"] | None = entry(
        "whether gas can get out; a sealed rigid housing can burst", example="vented"
    )
    vent_area_m2: float | None = quantity_key(
        "vent_area", unit="mm**2", low=0, high=100000, about="open area of the vents", example=20
    )
    pressure_relief: Flag | None = entry(
        "whether a valve or a weak spot opens under pressure", example=False
    )
    relief_reversible: Flag | None = entry(
        "whether that valve could be fitted the wrong way round", example=False
    )
    rigid: Flag | None = entry("whether the housing is hard", example=True)
    clearance_m: float | None = quantity_key(
        "clearance",
        unit="mm",
        low=0,
        high=_WIDEST_GAP_MM,
        about="least gap between pack and wall",
        example=0.5,
    )
    rib_count: Count | None = entry("ribs along a tube", example=0, ge=0, le=100)
    rib_height_m: float | None = quantity_key(
        "rib_height", unit="mm", low=0, high=200, about="how far a rib stands in", example=1
    )
    end_stop_m: float | None = quantity_key(
        "end_stop", unit="mm", low=0, high=500, about="length lost to stops and caps", example=3
    )
    flat_depth_m: float | None = quantity_key(
        "flat_depth", unit="mm", low=0, high=500, about="how far a flat cuts into the bore",
        example=2,
    )  # fmt: skip
    channel_width_m: float | None = quantity_key(
        "channel_width", unit="mm", low=0, high=500, about="channel kept free for wires", example=6
    )
    channel_depth_m: float | None = quantity_key(
        "channel_depth", unit="mm", low=0, high=500, about="depth of that channel", example=4
    )
    reserved: tuple[ReservedVolume, ...] = entry("room taken by other things", default=())

    @model_validator(mode="after")
    def _has_its_sizes(self) -> Cavity:
        needed = {
            "open": (),
            "tube": ("bore_m", "length_m"),
            "stepped_tube": ("steps",),
            "box": ("length_m", "width_m", "height_m"),
            "mesh": ("mesh",),
        }[self.shape]
        missing = [name.removesuffix("_m") for name in needed if not getattr(self, name)]
        if missing:
            reject(f'shape = "{self.shape}" also needs {" and ".join(missing)}')
        self._fits_in_the_bore()
        self._leaves_some_length()
        return self

    def _leaves_some_length(self) -> None:
        if self.shape != "tube" or self.length_m is None:
            return
        across = [each for each in self.reserved if not (each.width_m and each.height_m)]
        taken = {"end_stop": self.end_stop_m or 0.0}
        taken |= {f"reserved '{each.name}'": each.length_m or 0.0 for each in across}
        if sum(taken.values()) >= self.length_m:
            told = " and ".join(f"{key} ({m * 1000:g} mm)" for key, m in taken.items() if m)
            reject(f"{told} must leave some of the length ({self.length_m * 1000:g} mm)")

    def _fits_in_the_bore(self) -> None:
        if self.bore_m is None:
            return
        for name, share, words in (
            ("rib_height_m", 0.5, "half the bore"),
            ("flat_depth_m", 0.5, "half the bore"),
            ("channel_depth_m", 0.5, "half the bore"),
            ("channel_width_m", 1.0, "the bore"),
        ):
            size_m = getattr(self, name)
            if size_m is not None and size_m >= share * self.bore_m:
                reject(f"{name.removesuffix('_m')} ({size_m * 1000:g} mm) must be below {words}")


class Surroundings(Section):
    """``[surroundings]``: the air, the hand, the wall and the water around the device."""

    ambient_degc: float | None = quantity_key(
        "ambient", unit="degC", low=-60, high=90, about="usual air temperature", example=20
    )
    ambient_min_degc: float | None = quantity_key(
        "ambient_min", unit="degC", low=-60, high=90, about="coldest day of use", example=5
    )
    ambient_max_degc: float | None = quantity_key(
        "ambient_max", unit="degC", low=-60, high=90, about="hottest day of use", example=35
    )
    heat_loss_w_per_k: float | None = quantity_key(
        "heat_loss",
        unit="W/K",
        low=0.0001,
        high=100,
        about="per cell, measured some 15 K above the air; replaces the computed cooling",
        example=0.07,
    )
    added_thermal_mass_j_per_k: float | None = quantity_key(
        "added_thermal_mass",
        unit="J/K",
        low=0,
        high=100000,
        about="per cell: holder, clamps, wall",
        example=40,
    )
    air_speed_m_per_s: float | None = quantity_key(
        "air_speed",
        unit="m/s",
        low=0,
        high=50,
        about="wind or fan along the housing, the least of it: what stops does not cool",
        example=0,
    )
    hand_held: Flag | None = entry("whether a hand holds the housing", example=True)
    touch_material: Text | None = entry(
        "what the hand touches: bare_metal, coated_metal, glass, plastic, wood", example="plastic"
    )
    touch_time_s: float | None = quantity_key(
        "touch_time", unit="s", low=0.1, high=100000, about="how long at a stretch", example=600
    )
    humidity_fraction: float | None = quantity_key(
        "humidity", unit="dimensionless", low=0, high=1, about="relative humidity", example=0.6
    )
    immersion: Flag | None = entry("whether it may fall into or stand in water", example=False)
    water_rating: Count | None = entry("second digit of the IP code", example=4, ge=0, le=9)

    @model_validator(mode="after")
    def _is_ordered(self) -> Surroundings:
        order = [
            ("ambient_min", self.ambient_min_degc),
            ("ambient", self.ambient_degc),
            ("ambient_max", self.ambient_max_degc),
        ]
        known = [(key, value) for key, value in order if value is not None]
        for (low_key, low), (high_key, high) in itertools.pairwise(known):
            if low > high:
                reject(f"{low_key} is {low:g} degC, above {high_key} ({high:g} degC)")
        return self
