"""Verdicts on fuse, board, wire, strip and plug, with the tables filling in what a name implies."""

from __future__ import annotations

import pytest

from packdesign.planning.verdicts.verdict import Status

CELL = {"cell": "Samsung SDI INR18650-25R", "series": 3, "parallel": 1}


def loaded(watts: float, **pack: object) -> dict[str, object]:
    return {"pack": {**CELL, **pack}, "loads": [{"name": "heater", "watts": watts}]}


def test_a_fuse_of_the_table_is_held_to_its_own_sheet(judged):
    found = judged(**loaded(60.0, fuse={"part": "ATO 10 A"}))
    holds = found["fuse_holds"]
    # three quarters of 10 A at 25 degC, less a little: blades lose from 20 degC up
    assert 7.0 < holds.limit <= 7.5
    assert "common rule" not in holds.source
    assert "ATO 257/287 10 A" in holds.reason
    assert found["fuse_interrupts"].limit == 1000.0
    assert found["fuse_voltage"].limit == 32.0
    assert "fuse_pulses" not in found


def test_the_lead_is_held_to_the_opening_time_of_the_fuse(judged):
    def of(part: dict[str, object], awg: int | None = 18) -> object:
        lead = {} if awg is None else {"lead": {"awg": awg}}
        return judged(**loaded(10.0, fuse=part, **lead)).get("fuse_before_wire")

    ok, hair, slow, unnamed = (
        of({"part": "ATO 10 A"}), of({"part": "ATO 10 A"}, 34), of({"part": "MAXI 299 40 A"}, 18),
        of({"rating": "10 A"}),
    )  # fmt: skip
    assert ok.status is Status.OK
    assert ok.value < 0.01
    # 34 AWG is a hundredth of the copper's I2t of 24 AWG: it goes first at every current
    assert hair.status is Status.STOP
    assert slow.status is Status.STOP  # the cold pack gives less than twice its rating: 60 s
    assert unnamed.status is Status.UNKNOWN
    assert of({"part": "ATO 10 A"}, None) is None


def test_starts_above_the_rating_are_counted(judged):
    motor = {
        "nominal_voltage": "12 V", "no_load_speed": "3000 rpm", "no_load_current": "1 A",
        "stall_current": "60 A", "drives": {"shape": "disc", "mass": "500 g", "radius": "60 mm"},
    }  # fmt: skip
    mission = {"actions": [{"do": "start", "seconds": 3}, {"do": "rest", "seconds": 60}]}
    small = judged(pack={**CELL, "fuse": {"part": "ATO 5 A"}}, motor=motor, mission=mission)
    assert small["fuse_overload"].status is Status.STOP
    assert small["fuse_pulses"].status is Status.CAUTION
    assert " times what it bears" in small["fuse_pulses"].reason
    large = judged(pack={**CELL, "fuse": {"part": "MAXI 299 40 A"}}, motor=motor, mission=mission)
    assert large["fuse_holds"].status is Status.OK
    overload = large.get("fuse_overload")
    assert overload is None or overload.value < small["fuse_overload"].value


def test_a_board_by_name_alone_is_judged(judged):
    board = {"kind": "board", "board": "3S 40A board, standard"}
    found = judged(**loaded(60.0, protection=board))
    assert found["board_series"].status is Status.OK
    assert found["board_current"].limit == 40.0
    assert found["board_peak"].limit == pytest.approx(64.0)
    wrong = judged(**loaded(60.0, protection={"kind": "board", "board": "HX-2S-D20"}))
    assert wrong["board_series"].status is Status.STOP


@pytest.mark.parametrize(
    ("trip", "delay", "status"),
    [("40 A", "10 ms", Status.OK), ("8 A", "10 ms", Status.CAUTION), ("4 A", "10 ms", Status.STOP)],
)
def test_the_board_is_judged_by_current_tolerance_and_delay(judged, trip, delay, status):
    # 60 W from 3 cells: 5 to 8 A for good; a trip stated without tolerance counts 20 % each way
    board = {"kind": "board", "overcurrent_trip": trip, "overcurrent_delay": delay}
    assert judged(**loaded(60.0, protection=board))["board_peak"].status is status


@pytest.mark.parametrize(
    ("protection", "status"),
    [
        ({"overcharge_trip": "4.25 V"}, Status.OK),
        ({"overcharge_trip": "4.15 V"}, Status.CAUTION),
        ({"board": "HX-2S-D20"}, Status.OK),  # 4.25 to 4.35 V on order, 0.05 V either way
        ({"board": "4S LiFePO4 20A board"}, Status.CAUTION),  # 3.75 V: ends the charge half done
        ({}, None),  # "board_overcharge" says already that the trip is not known
    ],
)
def test_the_board_comes_after_the_charger(judged, protection, status):
    found = judged(**loaded(10.0, protection={"kind": "board", **protection}))
    assert getattr(found.get("board_after_charge"), "status", None) is status
    assert (found["board_overcharge"].status is Status.UNKNOWN) is (status is None)


def test_a_circuit_over_transistors_is_known_by_their_resistance(judged):
    # DW01A: 150 mV, 30 mV either way; 50 mohm, 15 % either way, 1.24 times at 85 degC
    board = {"kind": "board", "board": "H&M DW01A"}
    assert judged(**loaded(10.0, protection=board))["board_peak"].status is Status.UNKNOWN
    told = judged(**loaded(10.0, protection={**board, "resistance": "50 mohm"}))["board_peak"]
    assert told.limit == pytest.approx(0.120 / (0.050 * 1.15 * 1.24))
    assert told.status is Status.OK


def test_the_board_comes_after_the_device(judged):
    board = {"kind": "board", "undervoltage_trip": "3.0 V"}
    brief = loaded(10.0, protection=board)
    late = judged(**brief, monitor={"stop_per_cell": "3.2 V"})["board_after_device"]
    early = judged(**brief, monitor={"stop_per_cell": "2.9 V"})["board_after_device"]
    assert (late.status, early.status) == (Status.OK, Status.CAUTION)


def test_a_wire_is_judged_by_table_and_by_heat(judged):
    thin = judged(**loaded(60.0, lead={"awg": 24, "insulation": "pvc"}))
    assert thin["wire_current_24_awg"].status is Status.STOP
    assert thin["wire_temperature"].limit == 80.0  # UL1007, the lowest PVC of the table
    thick = judged(**loaded(100.0, lead={"awg": 12, "insulation": "silicone"}))
    # 700 circular mil per ampere is for bundles: 9.3 A at 12 AWG, 41 A alone
    assert thick["wire_current_12_awg"].status in (Status.OK, Status.CAUTION)
    assert thick["wire_temperature"].status is Status.OK
    assert thick["wire_temperature"].value < thin["wire_temperature"].value


@pytest.mark.parametrize(
    ("lead", "load", "fuse"),
    [
        ({}, Status.CAUTION, Status.CAUTION),
        ({"bundled": True}, Status.CAUTION, Status.CAUTION),
        ({"bundled": False}, Status.OK, Status.OK),
        ({"awg": 22}, Status.STOP, Status.STOP),
    ],
)
def test_load_and_fuse_are_held_to_the_same_ampacity_of_the_lead(judged, lead, load, fuse):
    """14 AWG: 5.9 A in a bundle, 32 A alone; 22 AWG: 7 A alone. About 9 A flow."""
    lead = {"awg": 14, **lead}
    found = judged(**loaded(95.0, fuse={"part": "ATO 20 A"}, lead=lead))
    carries, spares = found[f"wire_current_{lead['awg']}_awg"], found["fuse_spares_wire"]
    assert (carries.status, spares.status) == (load, fuse)
    assert carries.limit == spares.limit
    case = "alone in free air" if load is not Status.CAUTION else "in a bundle"
    assert case in carries.reason
    assert case in spares.reason


def test_thin_strip_runs_warmer(judged):
    pack = {**CELL, "parallel": 2}
    thin, thick = (
        judged(
            pack={**pack, "strips": {"material": "nickel", "width": "5 mm", "thickness": each}},
            loads=[{"name": "heater", "watts": 150}],  # 20 A when nearly empty
        )["strip_rise_strip_between_cells"]
        for each in ("0.05 mm", "0.1 mm")
    )
    # heat per volume goes with 1 / thickness squared, and nearly all leaves through the ends
    assert thin.value / thick.value == pytest.approx(4.0, rel=0.2)
    assert (thin.status, thick.status) == (Status.STOP, Status.OK)


def test_the_strip_at_the_lead_carries_all_cells_of_its_group_but_one(judged):
    """One strip of four gathers three quarters of the current, not one: nine times the heat."""
    strips = {"material": "nickel", "width": "8 mm", "thickness": "0.15 mm", "length": "20 mm"}

    def rise_k(parallel: int, series: int = 3) -> float:
        pack = {**CELL, "series": series, "parallel": parallel, "strips": strips}
        loads = [{"name": "heater", "amps": "12 A"}]
        found = judged(pack=pack, loads=loads)["strip_rise_strip_between_cells"]
        assert "towards a lead" in found.source
        return found.value

    shares = {1: 1.0, 2: 1 / 2, 3: 2 / 3, 4: 3 / 4}
    whole_k = rise_k(1)
    for parallel, share in shares.items():
        assert rise_k(parallel) == pytest.approx(share**2 * whole_k, rel=0.01)
    assert rise_k(4, series=1) == pytest.approx((3 / 4) ** 2 * whole_k, rel=0.01)


def test_a_hopeless_wire_has_no_number(judged):
    brief = loaded(40.0, lead={"awg": 34, "length": "10 mm", "insulation": "pvc"})
    found = judged(**brief)["wire_temperature"]
    assert (found.status, found.value) == (Status.STOP, None)


def test_a_pack_that_cannot_carry_the_work_is_stopped(judged):
    found = judged(**loaded(200.0, lead={"awg": 34}))["mission_possible"]
    assert found.status is Status.STOP
    assert "does not get through one use" in found.reason
    assert "more power than the pack can give" in found.reason


def test_plug_and_switch(judged):
    pack = {
        "connector": {"name": "XT60"},
        "switch": {"kind": "mechanical", "rating": "10 A", "rated_voltage": "12 V"},
    }
    found = judged(**loaded(60.0, **pack))
    assert found["contact_current_connector"].limit == 30.0
    assert found["contact_voltage_switch"].status is Status.STOP  # 12.6 V full on a 12 V switch


def test_the_fuse_of_the_charge_port(judged):
    charger = {"current": "2.5 A", "port_fuse": "3 A"}
    found = judged(**loaded(10.0), charger=charger)["charge_port_fuse"]
    assert (found.status, found.limit) == (Status.CAUTION, 2.25)


def test_a_charger_set_too_high_stops_and_is_not_made_smaller(judged):
    found = judged(**loaded(10.0), charger={"current": "1 A", "end_voltage_per_cell": "4.35 V"})
    assert found["charge_voltage"].status is Status.STOP
    assert found["charge_voltage"].value == 4.35


@pytest.mark.parametrize(
    ("end_v", "is_told"), [("2.0 V", True), ("3.65 V", True), ("4.1 V", False), ("4.2 V", False)]
)
def test_a_charger_set_too_low_is_told(judged, end_v, is_told):
    # 3.65 V is the setting for LFP, 2.0 V no lithium cell's: neither fills a cell of 4.2 V
    found = judged(**loaded(10.0), charger={"current": "1 A", "end_voltage_per_cell": end_v})
    assert ("charge_share" in found) is is_told
    if is_told:
        assert found["charge_share"].status is Status.CAUTION


@pytest.mark.parametrize(("soc", "is_stopped"), [(1.0, True), (0.97, True), (0.8, False)])
def test_a_log_that_feeds_back_into_a_full_pack_stops(judged, tmp_path, soc, is_stopped):
    # 1 A into 2.5 Ah for 6 minutes is 4 % of it
    (tmp_path / "brake.csv").write_text("time_s,current_a\n0,-1\n360,-1\n")
    found = judged(
        tmp_path, pack={**CELL, "series": 1}, load={"log": "brake.csv"}, start={"soc": soc}
    )
    assert ("overcharged_in_use" in found) is is_stopped
    if is_stopped:
        assert found["overcharged_in_use"].status is Status.STOP


def test_what_goes_above_the_rating_need_not_be_a_start(judged, tmp_path):
    """A log of 60 A for a second through 5 A: no start, and thousands of percent are times."""
    rows = ["time_s,current_a", "0,1", "599,1", "600,60", "601,60", "602,1", "1200,1"]
    (tmp_path / "work.csv").write_text("\n".join(rows))
    pack = {**CELL, "parallel": 3, "fuse": {"part": "ATO 5 A"}}
    found = judged(tmp_path, pack=pack, load={"log": "work.csv"})
    for name in ("fuse_pulses", "fuse_overload"):
        assert "start" not in f"{found[name].reason} {found[name].fix}"
        assert " times " in found[name].reason
        assert "%" not in found[name].reason
