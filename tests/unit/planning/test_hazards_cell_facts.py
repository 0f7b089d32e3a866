"""Facts taken from the cell record, and the line of the possible walked over every shipped cell."""

from __future__ import annotations

from dataclasses import replace

import pytest

from packdesign.data.cell_table import load_cells
from packdesign.data.cells import CellForm
from packdesign.planning.hazards.cell_facts import claimed_wh_per_litre, situation_of_cell
from packdesign.planning.hazards.design_cells import LARGEST_WH_PER_LITRE
from packdesign.planning.hazards.gate import HAZARDS, gate
from packdesign.planning.verdicts.verdict import Status

CAPACITY = next(hazard for hazard in HAZARDS if hazard.id == "impossible_capacity_claim")


def test_energy_density_of_a_can(make_cell):
    # 3.6 V x 4.0 Ah in 18.0 x 65.0 mm: 16.54 ml by hand, 871 Wh/l.
    cell = make_cell(capacity_ah=4.0, diameter_m=0.018, length_m=0.065)
    assert claimed_wh_per_litre(cell) == pytest.approx(871, abs=1)


def test_energy_density_of_a_pouch_and_of_a_cell_without_sizes(make_cell):
    pouch = make_cell(
        form=CellForm.POUCH, capacity_ah=2.0, nominal_v=3.7, thickness_m=0.010, width_m=0.034,
        length_m=0.050,
    )  # fmt: skip
    assert claimed_wh_per_litre(pouch) == pytest.approx(7.4 / 0.017, rel=1e-6)
    assert claimed_wh_per_litre(make_cell()) is None


def test_facts_follow_the_cell(make_cell):
    cell = make_cell(charge_min_degc=0.0, continuous_needs_temperature_cut=True)
    found = situation_of_cell(cell, series=3, parallel=2)
    assert found.pack_full_v == pytest.approx(12.6)
    assert found.energy_wh == pytest.approx(6 * 10.8)
    assert found.cell_family == "nmc"
    assert found.cell_rating_needs_temperature_cut is True
    assert found.has_fuse is None


def test_every_shipped_cell_is_possible_and_a_swindle_in_its_size_is_not():
    cells = load_cells()
    assert len(cells) >= 120
    for cell in cells:
        honest = situation_of_cell(cell, series=1, parallel=1)
        assert CAPACITY.holds(honest) is not True, cell.name
        density = claimed_wh_per_litre(cell)
        if density is None:
            continue
        times = 1.1 * LARGEST_WH_PER_LITRE / density
        swindle = replace(cell, capacity_ah=cell.capacity_ah * times)
        assert CAPACITY.holds(situation_of_cell(swindle, series=1, parallel=1)) is True, cell.name


def test_a_9900_mah_18650_is_stopped_by_its_capacity_alone(make_cell):
    flagged = gate(situation_of_cell(make_cell(capacity_ah=9.9), series=1, parallel=1))
    assert ("impossible_capacity_claim", Status.STOP) in {(v.id, v.status) for v in flagged}


def test_a_3500_mah_18650_is_cleared_by_its_size_alone(make_cell):
    assert CAPACITY.holds(situation_of_cell(make_cell(capacity_ah=3.5), series=1, parallel=1)) is (
        False
    )
