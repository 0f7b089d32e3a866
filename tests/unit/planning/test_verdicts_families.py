"""Each family of verdicts: at, within and beyond its limit, and what a missing fact does."""

from __future__ import annotations

import pytest

from packdesign.foundation.basis import Band, Basis
from packdesign.planning.verdicts import (
    board,
    charge,
    conductors,
    fit,
    fuse,
    performance,
    temperature,
    voltage_window,
)
from packdesign.planning.verdicts.verdict import Status

OK, CAUTION, STOP, UNKNOWN = Status.OK, Status.CAUTION, Status.STOP, Status.UNKNOWN
SHEET = Basis.DATASHEET


def test_clearance_and_swelling_room():
    tight = fit.clearance(gap_m=Band(0.2e-3, 0.4e-3, 0.6e-3), required_m=0.3e-3, basis=SHEET)
    assert tight.status is CAUTION
    # 8 to 10 % is the room named in the hazard list; 10 % must pass, 5 % must not.
    assert fit.swelling_room(free_fraction=0.10).status is OK
    assert fit.swelling_room(free_fraction=0.05).status is STOP


def test_a_device_is_judged_at_both_ends():
    low = voltage_window.device_minimum(
        device="Motor driver", worst_v=Band(8.0, 9.2, 9.8), minimum_v=9.0, basis=SHEET
    )
    high = voltage_window.device_maximum(
        device="Motor driver", full_v=12.6, maximum_v=12.0, basis=SHEET
    )
    assert (low.id, low.status) == ("voltage_min_motor_driver", CAUTION)
    assert (high.id, high.status) == ("voltage_max_motor_driver", STOP)
    assert high.margin == pytest.approx(-0.05)


def test_device_without_a_stated_range_is_unknown():
    low = voltage_window.device_minimum(device="camera", worst_v=9.0, minimum_v=None)
    high = voltage_window.device_maximum(device="camera", full_v=12.6, maximum_v=None)
    assert {low.status, high.status} == {UNKNOWN}


def test_rail_headroom_counts_the_dropout():
    facts = {"rail": "5 V", "output_v": 5.0, "dropout_v": 1.0, "basis": SHEET, "source": "sheet"}
    assert performance.rail_headroom(worst_input_v=6.2, **facts).status is OK
    assert performance.rail_headroom(worst_input_v=5.5, **facts).status is STOP
    facts["dropout_v"] = None
    assert performance.rail_headroom(worst_input_v=6.2, **facts).status is UNKNOWN


def test_run_time_against_the_wish():
    assert performance.run_time(runtime_s=Band(50.0, 70.0, 80.0), wished_s=60.0).status is CAUTION
    assert performance.run_time(runtime_s=Band(40.0, 50.0, 70.0), wished_s=60.0).status is STOP
    assert performance.run_time(runtime_s=50.0, wished_s=None).status is UNKNOWN


def test_cell_temperature_at_both_ends():
    hot = temperature.cell_temperature(peak_degc=Band(50.0, 57.0, 64.0), maximum_degc=60.0)
    cold = temperature.cell_cold(start_degc=-15.0, minimum_degc=-20.0)
    assert (hot.status, cold.status) == (CAUTION, OK)
    assert temperature.cell_cold(start_degc=-25.0, minimum_degc=-20.0).status is STOP


@pytest.mark.parametrize(
    ("peak_degc", "status", "word"),
    [
        (Band(50.0, 57.0, 59.9), OK, "within"),
        (Band(50.0, 57.0, 60.0), CAUTION, "may reach it"),
        (Band(55.0, 60.0, 60.0), STOP, "reaches"),
        (60.0, STOP, "reaches"),
    ],
)
def test_a_run_cut_at_the_limit_of_its_cells_is_no_pass(peak_degc, status, word):
    found = temperature.cell_temperature(peak_degc=peak_degc, maximum_degc=60.0)
    assert found.status is status
    assert word in found.reason
    assert bool(found.fix) is (status is not OK)


@pytest.mark.parametrize(
    ("material", "contact_s", "peak_degc", "status"),
    [
        ("metal", 600.0, 47.0, OK),
        ("metal", 600.0, 49.0, STOP),
        ("plastic", 600.0, 49.0, STOP),
        ("plastic", 4 * 3600.0, 45.0, STOP),  # held for hours: 43 degC
        ("plastic", 30.0, 58.0, OK),
        ("metal", 30.0, 52.0, STOP),
        ("metal", 600.0, None, UNKNOWN),
    ],
)
def test_surface_against_the_hand(material, contact_s, peak_degc, status):
    verdict = temperature.surface_temperature(
        peak_degc=peak_degc, material=material, contact_s=contact_s
    )
    assert verdict.status is status
    assert "from memory" in verdict.source


def test_a_temperature_names_its_air_and_the_hottest_day_that_its_upper_end_is_for():
    when = temperature.RunAir(usual_degc=24.0, hottest_degc=36.0, run_s=3000.0)
    warm = temperature.surface_temperature(
        peak_degc=Band(35.0, 36.9, 54.1), material="plastic", contact_s=1200.0, when=when
    )
    assert warm.status is CAUTION
    assert "one run of 50 min in air of 24 degC, is 36.9 degC" in warm.reason
    assert "touched for 20 min (43 degC)" in warm.reason
    assert "in air of 36 degC" in warm.reason
    cool = temperature.surface_temperature(peak_degc=Band(30.0, 31.0, 32.0), when=when)
    assert "36 degC" not in cool.reason


def test_wire_strip_and_contacts():
    assert conductors.wire_current(wire="pack lead", load_a=12.0, ampacity_a=10.0).status is STOP
    assert conductors.strip_rise(strip="series strip", rise_k=12.0, limit_k=20.0).status is OK
    plug = conductors.contact_current(part="plug", load_a=Band(25.0, 28.0, 32.0), rated_a=30.0)
    assert plug.status is CAUTION
    assert plug.id == "contact_current_plug"
    switch = conductors.contact_voltage(part="switch", full_v=12.6, rated_dc_v=None)
    assert switch.status is UNKNOWN


def test_fuse_opens_before_the_wire_melts():
    assert fuse.fuse_before_wire(used=0.003).status is OK
    singed = fuse.fuse_before_wire(used=0.4)
    assert singed.status is CAUTION
    assert "Insulation" in singed.reason
    assert "smaller or faster" in singed.fix
    assert fuse.fuse_before_wire(used=1.2).status is STOP
    never = fuse.fuse_before_wire(used=float("inf"))
    assert (never.status, never.value) == (STOP, None)
    unknown = fuse.fuse_before_wire(used=None)
    assert unknown.status is UNKNOWN
    assert "by series and rating" in unknown.fix


def test_fuse_carries_blows_breaks_and_spares_the_wire():
    assert fuse.fuse_holds(load_a=7.0, fuse_a=10.0).status is OK
    assert fuse.fuse_holds(load_a=8.0, fuse_a=10.0).status is STOP
    assert fuse.fuse_spares_wire(fuse_a=15.0, ampacity_a=15.0).status is OK
    assert fuse.fuse_spares_wire(fuse_a=20.0, ampacity_a=15.0).status is STOP
    assert fuse.fuse_blows(short_a=30.0, fuse_a=20.0).status is STOP
    assert fuse.fuse_blows(short_a=41.0, fuse_a=20.0).status is OK
    assert fuse.fuse_interrupts(short_a=210.0, interrupt_a=1000.0).status is OK
    assert fuse.fuse_interrupts(short_a=210.0, interrupt_a=None).status is UNKNOWN
    assert fuse.fuse_voltage(full_v=12.6, rated_dc_v=32.0).status is OK


def test_board_count_current_and_trips():
    assert board.board_series(board_series=4, series=3).status is STOP
    assert board.board_series(board_series=3, series=3).status is OK
    assert board.board_series(board_series=None, series=3).status is UNKNOWN
    assert board.board_current(load_a=12.0, rated_a=10.0).status is STOP
    assert board.board_peak(peak_a=25.0, trip_a=30.0).status is OK
    # The published near-miss: a 4.25 to 4.28 V trip behind a 4.20 V charger is a back-up.
    assert board.board_overcharge(trip_v=4.28, cell_full_v=4.20).status is OK
    assert board.board_overcharge(trip_v=4.28, cell_full_v=3.65).status is STOP
    # DW01A sheet: 2.4 +/- 0.1 V, below a 2.5 V cut-off.
    low = board.board_undervoltage(trip_v=Band(2.3, 2.4, 2.5), cell_cutoff_v=2.5)
    assert low.status is STOP


@pytest.mark.parametrize(
    ("per_cell_v", "status"), [(4.20, OK), (4.2005, OK), (4.21, STOP), (None, UNKNOWN)]
)
def test_charge_voltage(make_cell, per_cell_v, status):
    verdict = charge.charge_voltage(cell=make_cell(), per_cell_v=per_cell_v)
    assert verdict.status is status
    assert verdict.limit == 4.2


def test_charge_current_falls_back_on_the_standard_current(make_cell):
    both = make_cell(max_charge_a=4.0, standard_charge_a=1.5)
    only_standard = make_cell(max_charge_a=None, standard_charge_a=1.5)
    assert charge.charge_current(cell=both, per_cell_a=4.0).status is OK
    assert charge.charge_current(cell=only_standard, per_cell_a=2.0).status is STOP
    neither = make_cell(max_charge_a=None, standard_charge_a=None)
    assert charge.charge_current(cell=neither, per_cell_a=1.0).status is UNKNOWN


def test_charge_temperature_at_both_ends(make_cell):
    cell = make_cell(charge_min_degc=0.0, charge_max_degc=50.0)
    cold, hot = charge.charge_temperature(
        cell=cell, coldest_degc=-2.0, hottest_degc=Band(40.0, 46.0, 52.0)
    )
    assert (cold.status, hot.status) == (STOP, CAUTION)


def test_a_sheet_that_allows_charging_in_frost_is_named_and_not_followed(make_cell):
    cell = make_cell(charge_min_degc=-20.0)
    cold, _ = charge.charge_temperature(cell=cell, coldest_degc=-2.0, hottest_degc=20.0)
    assert (cold.status, cold.limit) == (STOP, 0.0)
    assert "-20 degC as the maker's own" in cold.reason
    warm, _ = charge.charge_temperature(cell=cell, coldest_degc=5.0, hottest_degc=20.0)
    assert warm.status is OK
    assert "ask for the current" in warm.note
