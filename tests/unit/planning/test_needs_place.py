"""From a brief to cavity, allowances, current path and way of heat."""

from __future__ import annotations

import math

import pytest

from packdesign.data.cell_table import load_cells
from packdesign.engineering.geometry.arrange import arrangements
from packdesign.engineering.geometry.cavities import Box, OpenCavity, SteppedTube, Tube
from packdesign.foundation.basis import Basis
from packdesign.foundation.errors import UnknownNameError
from packdesign.planning.assess.design import design_pack, laid_out
from packdesign.planning.brief.examples import example_names, example_text
from packdesign.planning.brief.load import brief_from_mapping, brief_from_text
from packdesign.planning.brief.schema import Brief
from packdesign.planning.needs.cavity import allowances_of, cavity_of, places_not_kept
from packdesign.planning.needs.heat import ambient_degc, hottest_day_k, thermal_path_of
from packdesign.planning.needs.wiring import nearest_awg, pack_path_of

CELL = "Samsung SDI INR18650-25R"


def brief_of(**sections: object) -> Brief:
    return brief_from_mapping(sections)


def test_no_cavity_is_free_air() -> None:
    assert isinstance(cavity_of(brief_of()), OpenCavity)


def test_a_tube_keeps_its_stops_and_what_is_reserved_along_it() -> None:
    brief = brief_of(
        cavity={
            "shape": "tube",
            "bore": "46 mm",
            "length": "160 mm",
            "end_stop": "4 mm",
            "reserved": [{"name": "board", "length": "8 mm"}],
            "closure": "sealed",
        }
    )
    tube = cavity_of(brief)
    assert isinstance(tube, Tube)
    assert tube.bore_m == pytest.approx(0.046)
    assert tube.bottom_stop_m + tube.top_stop_m == pytest.approx(0.012)
    assert tube.is_sealed


def test_a_part_for_the_closed_end_is_taken_off_that_end() -> None:
    parts = [
        {"name": "board", "length": "8 mm", "place": "closed_end"},
        {"name": "plug", "length": "5 mm", "place": "open_end"},
    ]
    tube = {"shape": "tube", "bore": "46 mm", "length": "160 mm", "end_stop": "4 mm"}
    found = cavity_of(brief_of(cavity={**tube, "reserved": parts}))
    assert isinstance(found, Tube)
    assert (found.bottom_stop_m, found.top_stop_m) == pytest.approx((0.012, 0.005))
    assert [part.name for part in found.bottom_parts] == ["board"]
    assert [part.name for part in found.top_parts] == ["plug"]


@pytest.mark.parametrize(
    ("shape", "place", "is_kept"),
    [
        ("tube", "closed_end", True), ("tube", "anywhere", True), ("tube", "top", False),
        ("stepped_tube", "open_end", True), ("stepped_tube", "closed_end", False),
        ("box", "side", True), ("mesh", "top", False), ("mesh", None, False),
    ],
)  # fmt: skip
def test_a_place_that_a_shape_does_not_keep_is_told(shape, place, is_kept) -> None:
    sizes = {
        "tube": {"bore_mm": 46, "length_mm": 160},
        "stepped_tube": {"steps": [{"bore_mm": 46, "length_mm": 80}]},
        "box": {"length_mm": 100, "width_mm": 50, "height_mm": 50},
        "mesh": {"mesh": "any.stl"},
    }
    part = {"name": "board", "length_mm": 8}
    reserved = [part if place is None else {**part, "place": place}]
    brief = brief_of(cavity={"shape": shape, **sizes[shape], "reserved": reserved})
    told = places_not_kept(brief)
    assert (told == ()) is is_kept
    assert is_kept or "board" in told[0]


def test_ribs_flat_and_channel_reach_the_tube() -> None:
    brief = brief_of(
        cavity={
            "shape": "tube",
            "bore_mm": 46,
            "length_mm": 160,
            "rib_count": 3,
            "rib_height_mm": 1,
            "flat_depth_mm": 2,
            "channel_width_mm": 6,
            "channel_depth_mm": 4,
        }
    )
    tube = cavity_of(brief)
    assert isinstance(tube, Tube)
    assert len(tube.ribs) == 3
    assert tube.ribs[1].angle_rad == pytest.approx(2 * math.pi / 3)
    assert tube.channel is not None
    assert tube.flat_depth_m == pytest.approx(0.002)


def test_box_and_stepped_tube_are_told_apart() -> None:
    box = cavity_of(
        brief_of(cavity={"shape": "box", "length_mm": 120, "width_mm": 70, "height_mm": 22})
    )
    stepped = cavity_of(
        brief_of(
            cavity={
                "shape": "stepped_tube",
                "steps": [{"bore_mm": 46, "length_mm": 80}, {"bore_mm": 40, "length_mm": 60}],
            }
        )
    )
    assert isinstance(box, Box)
    assert isinstance(stepped, SteppedTube)
    assert stepped.length_m == pytest.approx(0.140)


def test_layers_of_strip_add_up_in_the_allowances() -> None:
    brief = brief_of(pack={"strips": {"thickness_mm": 0.15, "layers": 2}, "wrap_thickness_mm": 0.3})
    allowed = allowances_of(brief, load_cells().find(CELL))
    assert allowed.strip_thickness_m == pytest.approx(0.0003)
    assert allowed.pack_wrap_m == pytest.approx(0.0003)


@pytest.mark.parametrize(
    ("cavity_mm", "pack_mm", "wall_mm", "between_mm"),
    [(0.5, 3, 0.5, 3), (3, 0.5, 3, 0.5), (2, None, 2, 0.5), (None, 2, 0.5, 2)],
)
def test_clearance_of_the_cavity_and_gap_of_the_pack_are_kept_apart(
    cavity_mm, pack_mm, wall_mm, between_mm
) -> None:
    tube = {"shape": "tube", "bore_mm": 46, "length_mm": 80}
    cavity = tube if cavity_mm is None else {**tube, "clearance_mm": cavity_mm}
    pack = {} if pack_mm is None else {"cell_gap_mm": pack_mm}
    allowed = allowances_of(brief_of(cavity=cavity, pack=pack), load_cells().find(CELL))
    assert (allowed.wall_gap_m, allowed.gap_m) == pytest.approx((wall_mm / 1e3, between_mm / 1e3))


def test_the_path_names_each_device_and_what_nobody_knows() -> None:
    brief = brief_of(
        pack={
            "fuse": {"kind": "fuse", "rating": "15 A"},
            "connector": {"resistance_milliohm": 0.6},
            "switch": {"kind": "mechanical"},
            "protection": {"kind": "board", "resistance_milliohm": 5},
        }
    )
    arrangement = laid_out(brief, load_cells().find(CELL), series=3, parallel=1)
    path = pack_path_of(brief, arrangement)
    parts = {part.name: part for part in path.parts}
    assert parts["connector"].ohm.mid == pytest.approx(0.0012)  # two contacts
    assert parts["fuse"].basis is Basis.PUBLISHED
    assert parts["protection board"].ohm.mid == pytest.approx(0.005)
    assert path.unknown == ("switch",)


def test_a_fuse_told_to_be_missing_is_not_in_the_path() -> None:
    brief = brief_of(pack={"fuse": {"part": "none"}})
    arrangement = laid_out(brief, load_cells().find(CELL), series=2, parallel=1)
    assert "fuse" not in {part.name for part in pack_path_of(brief, arrangement).parts}


@pytest.mark.parametrize(("area_mm2", "awg"), [(1.31, 16), (0.52, 20), (3.31, 12)])
def test_an_area_becomes_the_nearest_gauge(area_mm2: float, awg: int) -> None:
    # areas of the AWG table, Handbook of Electronic Tables and Formulas
    assert nearest_awg(area_mm2 * 1e-6) == awg


def test_measured_cooling_goes_before_computed() -> None:
    brief = brief_of(surroundings={"heat_loss": "0.07 W/K", "added_thermal_mass": "40 J/K"})
    arrangement = laid_out(brief, load_cells().find(CELL), series=1, parallel=1)
    path = thermal_path_of(brief, arrangement)
    assert path.surface_to_air_w_per_k == pytest.approx(0.07)
    assert path.surface_j_per_k == pytest.approx(40, rel=0.2)  # the sleeve comes on top


def test_a_tube_cools_worse_than_free_air() -> None:
    cell = load_cells().find(CELL)
    open_brief = brief_of()
    tube = brief_of(cavity={"shape": "tube", "bore_mm": 46, "length_mm": 160})
    in_air = thermal_path_of(open_brief, laid_out(open_brief, cell, series=3, parallel=1))
    in_tube = thermal_path_of(tube, laid_out(tube, cell, series=3, parallel=1))
    total = [
        1 / (1 / p.cell_to_surface_w_per_k + 1 / p.surface_to_air_w_per_k)
        for p in (in_air, in_tube)
    ]
    assert total[1] < total[0]


def test_temperatures_have_defaults() -> None:
    assert ambient_degc(brief_of()) == 25.0
    assert hottest_day_k(brief_of()) == 0.0
    hot = brief_of(surroundings={"ambient_degc": 20, "ambient_max_degc": 35})
    assert hottest_day_k(hot) == pytest.approx(15.0)


def test_an_arrangement_of_another_name_offers_those_there_are() -> None:
    brief = brief_of(pack={"arrangement": "triangel"})
    with pytest.raises(UnknownNameError, match="triangle"):
        laid_out(brief, load_cells().find(CELL), series=3, parallel=1)


@pytest.mark.parametrize("name", example_names())
def test_the_pack_of_each_example_fits(name: str) -> None:
    brief = brief_from_text(example_text(name), name=name)
    assert brief.pack is not None
    cell = load_cells().find(brief.pack.cell or "")
    design = design_pack(
        brief, cell, series=brief.pack.series or 1, parallel=brief.pack.parallel or 1
    )
    assert design.arrangement.fits
    assert design.model.path_ohm > 0


def test_measured_resistance_replaces_the_datasheet() -> None:
    cell = load_cells().find(CELL)
    brief = brief_of(measured={"cell_resistance": "40 mohm", "cell_capacity": "2.4 Ah"})
    design = design_pack(brief, cell, series=1, parallel=1)
    read = design.model.cell.pulse_ohm(
        soc=0.5, temperature_degc=20, current_a=cell.capacity_ah, pulse_s=10
    )
    assert read == pytest.approx(0.040, rel=0.05)
    assert design.model.cell.capacity_ah == pytest.approx(2.4)


def test_the_middle_of_a_bundle_cools_the_worse_the_more_rings_lie_around_it() -> None:
    # 7 and 19 cells across a bore are one and two rings round a middle cell
    cell = load_cells().find(CELL)
    inner_w_per_k = []
    for series, bore_mm in ((7, 65), (19, 105)):
        brief = brief_of(cavity={"shape": "tube", "bore_mm": bore_mm, "length_mm": 80})
        allowed = allowances_of(brief, cell)
        found = arrangements(cell, cavity_of(brief), series=series, parallel=1, allowances=allowed)[
            0
        ]
        assert found.fits
        inner_w_per_k.append(thermal_path_of(brief, found).cell_to_surface_w_per_k)
    assert inner_w_per_k[1] < inner_w_per_k[0]
