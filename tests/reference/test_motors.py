"""Motors against their makers' sheets, textbooks and published examples, source beside each."""

from __future__ import annotations

import csv
import math
from pathlib import Path

import pytest

from packdesign.engineering.demand.circuit import Circuit, Machine
from packdesign.engineering.demand.drive import Drive
from packdesign.engineering.demand.inertia import disc_kg_m2, ring_kg_m2, rod_about_end_kg_m2
from packdesign.engineering.demand.load_torque import LoadTorque
from packdesign.engineering.demand.motor import Motor
from packdesign.engineering.demand.motor_case import MotorCase, torque_constant_nm_per_a
from packdesign.engineering.demand.motor_sheet import MotorSheet, motor_from_sheet
from packdesign.engineering.demand.motor_sources import SpeedKnowledge, motor_from_locked_rotor
from packdesign.engineering.demand.regeneration import stop
from packdesign.engineering.demand.steady import steady_point
from packdesign.engineering.demand.transient import running_state, simulate
from packdesign.engineering.electrical.source import PackSource
from packdesign.foundation.errors import OutOfRangeError

TABLE = Path(__file__).parent / "tables" / "motor_sheets.csv"
RAD_PER_S = math.pi / 30
SHEETS = {row["motor"]: row for row in csv.DictReader(TABLE.open(encoding="utf-8"))}


def number(row: dict[str, str], column: str) -> float | None:
    try:
        return float(row[column])
    except ValueError:
        return None


def sheet_of(row: dict[str, str], *, nominal_v: float | None = None) -> MotorSheet:
    def scaled(column: str, factor: float) -> float | None:
        value = number(row, column)
        return None if value is None else value * factor

    return MotorSheet(
        name=row["motor"],
        nominal_v=nominal_v or number(row, "nominal_v") or math.nan,
        no_load_rad_per_s=scaled("no_load_rpm", RAD_PER_S),
        no_load_a=number(row, "no_load_a"),
        stall_a=number(row, "stall_a"),
        stall_torque_nm=scaled("stall_torque_mnm", 1e-3),
        resistance_ohm=number(row, "resistance_ohm"),
        torque_constant_nm_per_a=scaled("torque_constant_mnm_per_a", 1e-3),
        gear_ratio=number(row, "gear_ratio") or 1.0,
        load_torque_nm=scaled("load_torque_mnm", 1e-3),
        load_rad_per_s=scaled("load_rpm", RAD_PER_S),
        load_a=number(row, "load_a"),
    )


FAULHABER = [name for name in SHEETS if " SR " in name]
POLOLU_37D = [name for name in SHEETS if name.startswith("37D 12 V")]
WITH_LOAD_POINT = [
    name
    for name, row in SHEETS.items()
    if row["load_rpm"] and row["load_torque_mnm"] and row["stall_torque_mnm"]
]
UNUSABLE = {
    "RS-540S", "RS-380S",  # no voltage
    "N20 6 V 100:1 class",  # from memory, no figures
    "25D LP 6 V (motor)", "25D HP 6 V (motor)", "25D LP 12 V (motor)", "25D MP 12 V (motor)",
    "25D HP 12 V (motor)",  # no speed, no torque
}  # fmt: skip


def test_the_table_holds_all_56_motors() -> None:
    assert len(SHEETS) == 56
    assert len(FAULHABER) == 13


@pytest.mark.parametrize("name", FAULHABER)
def test_coreless_sheets_agree_with_themselves(name: str) -> None:
    """Faulhaber 1524, 1331 and 0816 SR sheets: R, kM, I0 against MH (4 %) and n0 (1 %)."""
    row = SHEETS[name]
    motor = MotorCase(
        resistance_ohm=float(row["resistance_ohm"]),
        torque_constant_nm_per_a=float(row["torque_constant_mnm_per_a"]) * 1e-3,
        no_load_a=float(row["no_load_a"]),
    )
    volts = float(row["nominal_v"])
    torque = motor.stall_torque_nm(voltage_v=volts)
    assert torque == pytest.approx(float(row["stall_torque_mnm"]) * 1e-3, rel=0.04)
    speed = motor.no_load_rad_per_s(voltage_v=volts)
    assert speed == pytest.approx(float(row["no_load_rpm"]) * RAD_PER_S, rel=0.01)
    assert motor_from_sheet(sheet_of(row)).notes == ()


@pytest.mark.parametrize("name", sorted(set(SHEETS) - UNUSABLE - {"RC-260RA-2670", "TT 1:48"}))
def test_every_usable_sheet_gives_a_motor_that_reproduces_it(name: str) -> None:
    """Stall current and no-load speed of the sheet come back within its +-10 %."""
    row = SHEETS[name]
    motor = motor_from_sheet(sheet_of(row))
    volts = float(row["nominal_v"])
    stall, speed = number(row, "stall_a"), number(row, "no_load_rpm")
    if stall is not None:
        band = motor.stall_a(voltage_v=volts)
        assert band.mid == pytest.approx(stall, rel=0.005)
        assert band.low < stall < band.high
    if speed is not None:
        found = motor.typical().no_load_rad_per_s(voltage_v=volts) / motor.gear_ratio
        assert found == pytest.approx(speed * RAD_PER_S, rel=0.1)
    assert motor.narrowing_reading


@pytest.mark.parametrize("name", sorted(UNUSABLE))
def test_a_sheet_without_what_is_needed_is_refused_with_the_reading_to_take(name: str) -> None:
    row = SHEETS[name]
    volts = 6.0 if number(row, "nominal_v") is None else None
    with pytest.raises(OutOfRangeError, match=r"speed|resistance"):
        motor_from_sheet(sheet_of(row, nominal_v=volts))


SPEED_OFF = {"DCX 6 M 1.5 V": 1.11}
"""Printed speed at load is further than 10 % from the straight line of the same sheet."""


@pytest.mark.parametrize("name", WITH_LOAD_POINT)
def test_printed_load_points_lie_on_the_line_from_no_load_to_stall(name: str) -> None:
    """Pololu 37D and micro metal sheets, maxon DCX 6 M page: speed falls evenly with torque."""
    row = SHEETS[name]
    share = float(row["load_torque_mnm"]) / float(row["stall_torque_mnm"])
    ratio = float(row["no_load_rpm"]) * (1 - share) / float(row["load_rpm"])
    if name in SPEED_OFF:
        assert ratio == pytest.approx(SPEED_OFF[name], abs=0.005)
    else:
        assert ratio == pytest.approx(1.0, abs=0.1)


CURRENT_OFF = {
    "37D 12 V 6.25:1": 0.888, "37D 12 V 30:1": 1.130, "37D 12 V 50:1": 1.144,
    "37D 12 V 70:1": 1.218, "37D 12 V 102.08:1": 1.187, "37D 12 V 131.25:1": 1.225,
    "37D 12 V 150:1": 1.254, "micro metal LP 6 V 29.86:1": 0.885,
    "micro metal LP 6 V 75.81:1": 0.891, "micro metal LP 6 V 210.59:1": 0.893,
}  # fmt: skip
"""Printed current at load is further than 10 % from the straight line of the same sheet."""


@pytest.mark.parametrize("name", [n for n in WITH_LOAD_POINT if SHEETS[n]["stall_a"]])
def test_printed_load_currents_against_the_line_from_no_load_to_stall(name: str) -> None:
    row = SHEETS[name]
    share = float(row["load_torque_mnm"]) / float(row["stall_torque_mnm"])
    no_load, stall = float(row["no_load_a"]), float(row["stall_a"])
    ratio = (no_load + share * (stall - no_load)) / float(row["load_a"])
    if name in CURRENT_OFF:
        assert ratio == pytest.approx(CURRENT_OFF[name], abs=0.002)
    else:
        assert ratio == pytest.approx(1.0, abs=0.1)


@pytest.mark.parametrize("name", [n for n in POLOLU_37D if SHEETS[n]["load_w"]])
def test_printed_output_power_is_torque_times_speed(name: str) -> None:
    """Pololu 37D sheet rev 1.2; two printed digits of speed allow 5 %."""
    row = SHEETS[name]
    power = float(row["load_torque_mnm"]) * 1e-3 * float(row["load_rpm"]) * RAD_PER_S
    assert power == pytest.approx(float(row["load_w"]), rel=0.05)


@pytest.mark.parametrize("name", [n for n in SHEETS if n.startswith("25D")])
def test_printed_greatest_power_is_within_a_quarter_of_stall_power(name: str) -> None:
    """Pololu 25D sheet: no motor gives more than V x Is / 4."""
    row = SHEETS[name]
    bound = float(row["nominal_v"]) * float(row["stall_a"]) / 4
    assert 0.5 * bound < float(row["load_w"]) < bound


def test_gear_loss_implied_by_the_sheets_grows_with_the_ratio() -> None:
    """Pololu 37D 12 V: one motor, nine gears; more stages lose more."""
    implied = [
        motor_from_sheet(sheet_of(SHEETS[name])).gear_efficiency_fraction.mid
        for name in POLOLU_37D[1:]
    ]
    assert 0.5 < implied[-1] < implied[0] < 0.85


def test_the_rc_260_figures_are_flagged_as_not_one_set() -> None:
    """MIT 2.007 page: 6 V / kt gives 28 600 rpm against 24 000 printed."""
    row = SHEETS["RC-260RA-2670"]
    motor = motor_from_sheet(sheet_of(row))
    assert pytest.approx(28_600, rel=0.005) == 6 / 0.002 / RAD_PER_S
    assert any("torque constant" in note and "differ" in note for note in motor.notes)
    assert motor.torque_constant_nm_per_a.low < 0.002 < motor.torque_constant_nm_per_a.high


def test_the_two_pages_on_the_tt_motor_contradict_each_other() -> None:
    """One page prints 0.6 A when stalled, another about 1.2 A at 6 V: no 10 % band holds both."""
    sheet = sheet_of(SHEETS["TT 1:48"], nominal_v=6.0)
    assert sheet.no_load_rad_per_s is None  # "90-200" is a range, not a figure
    stall = motor_from_sheet(sheet).stall_a(voltage_v=6.0)
    assert stall.low < 0.6 < stall.high < 1.2


def test_rc_260_in_its_system() -> None:
    """MIT 2.007 page: 1.7 ohm, 2.0 mN m/A, 6 V: stall 3.5 A, 7.0 mN m, 4.4 W at most."""
    motor = MotorCase(resistance_ohm=1.7, torque_constant_nm_per_a=0.002, no_load_a=0.0)
    assert motor.stall_a(voltage_v=6) == pytest.approx(3.5, rel=0.015)
    torque = motor.stall_torque_nm(voltage_v=6)
    assert torque == pytest.approx(0.0070, rel=0.015)
    assert torque * 24_000 * RAD_PER_S / 4 == pytest.approx(4.4, rel=0.015)


def test_load_points_ten_times_too_high_are_refused() -> None:
    """RS-540S: 200 g cm is 19.6 mN m; read as 196 mN m it gives five times what 7.2 V can feed."""
    row = dict(SHEETS["RS-540S"])
    sheet_of(row, nominal_v=7.2)
    row["load_torque_mnm"] = "196.1"
    with pytest.raises(OutOfRangeError, match="efficiency must be below 1"):
        sheet_of(row, nominal_v=7.2)


MAXON_FORMAT = [
    # 48 V, 8490 rpm (type not named in the source file)
    {"volts": 48, "ohm": 2.45, "constant": 53.8e-3, "no_load": 78.6e-3, "inertia": 34.7e-7,
         "stall": 19.6, "torque": 1.050, "gradient": 8.09, "time_s": 2.94e-3, "efficiency": 0.88},
    # 48 V, 7590 rpm (type not named in the source file)
    {"volts": 48, "ohm": 1.13, "constant": 60.3e-3, "no_load": 68.6e-3, "inertia": 137e-7,
         "stall": 42.4, "torque": 2.560, "gradient": 2.97, "time_s": 4.28e-3, "efficiency": 0.92},
]  # fmt: skip


@pytest.mark.parametrize("sheet", MAXON_FORMAT, ids=["8490 rpm", "7590 rpm"])
def test_catalogue_sheets_in_the_maxon_format(sheet: dict[str, float]) -> None:
    """Two sheets in project files: every derived figure within 1.5 %."""
    motor = MotorCase(
        resistance_ohm=sheet["ohm"],
        torque_constant_nm_per_a=sheet["constant"],
        no_load_a=sheet["no_load"],
        rotor_inertia_kg_m2=sheet["inertia"],
    )
    volts = sheet["volts"]
    assert motor.stall_a(voltage_v=volts) == pytest.approx(sheet["stall"], rel=0.015)
    assert motor.stall_torque_nm(voltage_v=volts) == pytest.approx(sheet["torque"], rel=0.015)
    gradient = motor.speed_torque_gradient_rad_per_s_nm / RAD_PER_S * 1e-3
    assert gradient == pytest.approx(sheet["gradient"], rel=0.015)
    assert motor.mechanical_time_s() == pytest.approx(sheet["time_s"], rel=0.015)
    best = (1 - math.sqrt(motor.no_load_a / motor.stall_a(voltage_v=volts))) ** 2
    assert best == pytest.approx(sheet["efficiency"], rel=0.015)


def test_the_first_catalogue_sheet_at_its_nominal_point() -> None:
    """48 V, 89.7 mN m: 7760 rpm and 1.74 A printed."""
    motor = MotorCase(resistance_ohm=2.45, torque_constant_nm_per_a=53.8e-3, no_load_a=78.6e-3)
    point = motor.running_point(voltage_v=48, output_torque_nm=89.7e-3)
    assert point.speed_rad_per_s / RAD_PER_S == pytest.approx(7760, rel=0.015)
    assert point.current_a == pytest.approx(1.74, rel=0.015)


def test_dcx_22_l_9_v() -> None:
    """maxon DCX 22 L sheet in a course repository, its two swapped labels put right."""
    motor = MotorCase(resistance_ohm=0.168, torque_constant_nm_per_a=6.95e-3, no_load_a=0.118)
    assert motor.stall_a(voltage_v=9) == pytest.approx(53.4, rel=0.015)
    assert motor.stall_torque_nm(voltage_v=9) == pytest.approx(0.371, rel=0.015)
    assert motor.no_load_rad_per_s(voltage_v=9) / RAD_PER_S == pytest.approx(12_300, rel=0.015)
    assert torque_constant_nm_per_a(speed_constant_rpm_per_v=1370) == pytest.approx(
        6.95e-3, rel=0.015
    )


@pytest.mark.parametrize(
    ("speed_constant", "torque_constant"),
    [(178, 53.8e-3), (158, 60.3e-3), (380, 25.1e-3)],  # the two 48 V sheets; EC-45 flat 50 W
)
def test_speed_and_torque_constants_of_the_sheets_are_one_number(
    speed_constant: float, torque_constant: float
) -> None:
    found = torque_constant_nm_per_a(speed_constant_rpm_per_v=speed_constant)
    assert found == pytest.approx(torque_constant, rel=0.005)


def test_fitzgerald_permanent_magnet_motor() -> None:
    """Fitzgerald, Electric Machinery, ch. 7: 50 V 1.25 A 1.03 ohm 2100 rpm; then 48 V 1700 rpm."""
    sheet = MotorSheet(
        nominal_v=50, no_load_rad_per_s=2100 * RAD_PER_S, no_load_a=1.25, resistance_ohm=1.03
    )
    constant = motor_from_sheet(sheet).torque_constant_nm_per_a.mid
    assert constant == pytest.approx(0.22, abs=0.005)
    rotational_w = constant * 2100 * RAD_PER_S * 1.25
    assert rotational_w == pytest.approx(61, abs=0.5)
    motor = MotorCase(resistance_ohm=1.03, torque_constant_nm_per_a=0.22, no_load_a=0.0)
    speed = 1700 * RAD_PER_S
    current = (48 - 0.22 * speed) / 1.03
    assert current == pytest.approx(8.58, abs=0.02)
    point = motor.running_point(voltage_v=48, output_torque_nm=0.22 * current)
    assert point.speed_rad_per_s == pytest.approx(178.0, abs=0.1)
    assert point.output_w - 61 == pytest.approx(275, abs=1)


@pytest.mark.parametrize(("volts", "speed"), [(40, 169.2), (50, 217.5)])
def test_fitzgerald_example_11_5(volts: float, speed: float) -> None:
    """Fitzgerald Ex. 11.5: Km 0.22, 1.03 ohm, 100 W of load."""
    motor = MotorCase(resistance_ohm=1.03, torque_constant_nm_per_a=0.22, no_load_a=0.0)
    point = motor.running_point(voltage_v=volts, output_torque_nm=100 / speed)
    assert point.speed_rad_per_s == pytest.approx(speed, abs=0.06)


def test_chopper_exercise() -> None:
    """Gupta and Singhal, Electric Drives, ch. 5: 500 V, D 0.5, 200 A: 50 kW, 784.4 rpm, 560 N m."""
    motor = MotorCase(resistance_ohm=0.1, torque_constant_nm_per_a=2.8, no_load_a=0.0)
    point = steady_point(
        circuit=Circuit(source=PackSource(open_circuit_v=500, instant_ohm=0)),
        machine=Machine(motor=motor, load=LoadTorque(constant_nm=560)),
        drive=Drive(duty=0.5),
    )
    assert point.motor_a == pytest.approx(200, rel=1e-6)
    assert point.speed_rad_per_s / RAD_PER_S == pytest.approx(784.4, abs=0.05)
    assert point.motors_battery_a == pytest.approx(100, rel=1e-6)
    assert point.pack_v * point.pack_a == pytest.approx(50e3, rel=1e-6)


@pytest.mark.parametrize(("motor_a", "duty", "battery_a"), [(10, 0.20, 2.0), (2, 0.95, 1.9)])
def test_e3_battery_current_is_duty_times_motor_current(
    motor_a: float, duty: float, battery_a: float
) -> None:
    """A motor controller maker's article (roboteq.freshdesk.com 70000628006)."""
    motor = MotorCase(
        resistance_ohm=duty * 12 / motor_a, torque_constant_nm_per_a=0.01, no_load_a=0.0
    )
    point = steady_point(
        circuit=Circuit(source=PackSource(open_circuit_v=12, instant_ohm=0)),
        machine=Machine(motor=motor, load=LoadTorque(constant_nm=100)),
        drive=Drive(duty=duty),
    )
    assert point.motor_a == pytest.approx(motor_a)
    assert point.motors_battery_a == pytest.approx(battery_a)


def test_e4_stall_from_a_reading_at_reduced_voltage() -> None:
    """industrialmonitordirect.com, stall current article: 8.7 V, 3.9 A, to 24 V."""
    motor = motor_from_locked_rotor(
        voltage_v=8.7, current_a=3.9, speed=SpeedKnowledge(nominal_v=24)
    )
    assert motor.resistance_ohm.mid == pytest.approx(2.2308, abs=5e-5)
    assert motor.stall_a(voltage_v=24).mid == pytest.approx(10.76, abs=0.005)


def test_e27_start_and_reversal_on_a_full_pack() -> None:
    """stevengong.co, stall current note: 12 V 5 A is 2.4 ohm; on 12.6 V 5.25 A, reversed 10.5 A."""
    sheet = MotorSheet(nominal_v=12, stall_a=5, no_load_rad_per_s=100, no_load_a=0)
    motor = motor_from_sheet(sheet)
    assert motor.resistance_ohm.mid == pytest.approx(2.4)
    assert motor.stall_a(voltage_v=12.6).mid == pytest.approx(5.25)
    circuit = Circuit(source=PackSource(open_circuit_v=12.6, instant_ohm=0))
    machine = Machine(motor=motor.typical(), inertia_kg_m2=1e-3)
    drive = Drive()
    result = simulate(
        circuit=circuit, machine=machine, drive=drive, profile=drive.reversing(hold_s=0.5),
        start_state=running_state(circuit=circuit, machine=machine, drive=drive),
    )  # fmt: skip
    assert result.motor.peak_a == pytest.approx(10.5, rel=1e-3)
    assert stop(circuit=circuit, machine=machine, drive=drive).motor.peak_a == pytest.approx(
        5.25, rel=1e-3
    )


def test_bodies_that_turn() -> None:
    """Any mechanics text (from memory): rod about its end m L2/3, ring m r2, disc m r2/2."""
    assert rod_about_end_kg_m2(mass_kg=3, length_m=2) == pytest.approx(4)
    assert ring_kg_m2(mass_kg=3, radius_m=2) == pytest.approx(12)
    assert disc_kg_m2(mass_kg=3, radius_m=2) == pytest.approx(6)


def test_a_motor_is_never_more_than_its_bands() -> None:
    """The cases to compute with are the middle and the hungry end of the bands."""
    motor: Motor = motor_from_sheet(sheet_of(SHEETS["37D 12 V 50:1"]))
    assert motor.hungriest().resistance_ohm < motor.typical().resistance_ohm
