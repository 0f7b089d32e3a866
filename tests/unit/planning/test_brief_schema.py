"""What a brief refuses, and how it says so."""

from __future__ import annotations

import re
from typing import Any

import pytest

from packdesign.foundation.errors import BriefError
from packdesign.planning.brief.load import brief_from_mapping, brief_from_text
from tests.briefs import BENCH


def test_the_machine_contract_loads_as_written() -> None:
    brief = brief_from_text(BENCH)
    assert brief.pack is not None
    assert brief.surroundings is not None
    assert brief.charger is not None
    assert (brief.pack.cell, brief.pack.series) == ("Samsung SDI INR18650-30Q", 1)
    assert brief.surroundings.ambient_degc == 22.8
    assert brief.surroundings.heat_loss_w_per_k == 0.07
    assert brief.surroundings.added_thermal_mass_j_per_k == 40.0
    assert brief.charger.balance_current_a == pytest.approx(0.06, rel=1e-12)
    assert brief.start is not None
    assert brief.start.soc_fraction == 1.0
    assert brief.log_given


def test_the_plain_load_list_of_the_contract_loads() -> None:
    brief = brief_from_mapping(
        {
            "loads": [
                {"name": "pump", "watts": 12, "duty": 0.25, "min_voltage_v": 9},
                {"name": "lamp", "amps": 0.5, "duty": "80 %", "max_voltage": "14.5 V"},
            ]
        }
    )
    pump, lamp = brief.loads
    assert (pump.power_w, pump.current_a, pump.duty_fraction, pump.min_v) == (12, None, 0.25, 9)
    assert (lamp.power_w, lamp.current_a, lamp.duty_fraction) == (None, 0.5, 0.8)
    assert lamp.max_v == 14.5


@pytest.mark.parametrize(
    ("written", "expected_m"),
    [
        ({"wall_thickness": "46 mm"}, 0.046),
        ({"wall_thickness": "1.2 in"}, 0.03048),  # 1 in = 25.4 mm exactly
        ({"wall_thickness_mm": 46}, 0.046),
        ({"wall_thickness_in": 1.2}, 0.03048),
        ({"wall_thickness_m": 0.046}, 0.046),
    ],
)
def test_a_length_is_read_however_it_is_written(written: dict[str, Any], expected_m: float) -> None:
    brief = brief_from_mapping({"cavity": written})
    assert brief.cavity is not None
    assert brief.cavity.wall_thickness_m == pytest.approx(expected_m, rel=1e-12)


@pytest.mark.parametrize(
    ("text", "message"),
    [
        # unknown keys and sections
        ("[cavity]\nboer = 4", "[cavity]: there is no key 'boer' here; nearest: bore"),
        ("[cavty]\nbore = 4", "there is no key 'cavty' here; nearest: cavity"),
        ("[[loads]]\nwatt = 3", "[[loads]] (number 1): there is no key 'watt' here; nearest"),
        ("[cavity]\nbore_volts = 3", "there is no key 'bore_volts' here"),
        ("[pack]\nseries_mm = 3", "[pack]: there is no key 'series_mm' here; nearest: series"),
        # quantities
        ("[cavity]\nbore = 46", '[cavity]: bore is 46 with no unit; write bore = "46 mm"'),
        ('[cavity]\nbore = "46 kg"', "bore is in 'kg', which is not convertible"),
        ('[cavity]\nbore = "wide"', "bore is 'wide'; write a number with its unit"),
        ("[cavity]\nbore = true", "bore is True; write a number with its unit"),
        ("[cavity]\nbore = [46]", "bore is [46]; write a number with its unit"),
        ('[cavity]\nbore_mm = "46 mm"', "its ending names the unit already"),
        ('[cavity]\nbore_mm = 46\nbore = "46 mm"', "'bore' and 'bore_mm' say the same"),
        ("[cavity]\nbore_mm = nan", "bore_mm is not a finite number"),
        ("[cavity]\nbore_mm = -46", "bore_mm is -46; allowed: 3 to 2000 mm"),
        ('[cavity]\nlength = "9 km"', "length is '9 km'; allowed: 3 to 2000 mm"),
        ('[charger]\ncurrent = "5000 A"', "current is '5000 A'; allowed: 0.001 to 500 A"),
        ("[surroundings]\nambient_degc = 900", "ambient_degc is 900; allowed: -60 to 90 degC"),
        ("[[loads]]\nwatts = 1\nduty = 1.5", "duty is 1.5; allowed: 0 to 1"),
        ("[[rails]]\nefficiency = 1.2", "efficiency is 1.2; allowed: 0.01 to 1"),
        ("[motor]\ngear_efficiency_percent = 120", "gear_efficiency_percent is 120; allowed"),
        ("[start]\nsoc = -0.1", "soc is -0.1; allowed: 0 to 1"),
        # words, counts, yes and no
        ('[cavity]\nshape = "tub"', "shape is 'tub'; allowed: open, tube, stepped_tube, box, mesh"),
        ('[pack]\nseries = "3"', "series is '3'; allowed: a whole number, without quotes"),
        ("[pack]\nseries = 2.5", "series is 2.5; allowed: a whole number"),
        ("[pack]\nseries = 0", "series is 0; allowed: at least 1"),
        ("[pack]\nparallel = 900", "parallel is 900; allowed: at most 200"),
        ('[pack]\nholder = "yes"', "holder is 'yes'; allowed: true or false, without quotes"),
        ("[pack]\ncell = 18650", "cell is 18650; allowed: words in quotes"),
        ('[pack]\ncell = ""', "cell is ''; allowed: at least one character"),
        ("[pack]\nstrips = 3", "strips is 3; allowed: a table of its own"),
        ('[pack]\nmixed_cells = ["a", 3]', "mixed_cells number 2 is 3; allowed: words in quotes"),
        ("pack = 3", "pack is 3; allowed: a table of its own"),
        ("[motor]\ngear_ratio = 0", "gear_ratio is 0; allowed: above 0"),
        ("loads = 3", "loads is 3; allowed: a list"),
        ("[rails]\nname = 'a'", "allowed: tables in double brackets, [[rails]]"),
        ("[motor]\nohmmeter_readings_ohm = 3", "ohmmeter_readings_ohm is 3; write a list"),
        ("[load]\nlog = 3", "log is 3; allowed: a file name in quotes"),
        ('[load]\nlog = ""', "log is not a file name"),
        # what contradicts itself within a section
        ('[cavity]\nshape = "tube"\nbore_mm = 46', 'shape = "tube" also needs length'),
        ('[cavity]\nshape = "box"', 'shape = "box" also needs length and width and height'),
        ('[cavity]\nshape = "mesh"', 'shape = "mesh" also needs mesh'),
        ("[cavity]\nbore_mm = 40\nrib_height_mm = 20", "rib_height (20 mm) must be below half"),
        ("[[cavity.steps]]\nbore_mm = 40", "each step needs a bore and a length"),
        (
            "[surroundings]\nambient_degc = 5\nambient_min_degc = 10",
            "ambient_min is 10 degC, above ambient (5 degC)",
        ),
        (
            "[motor]\nstall_current_a = 1\nno_load_current_a = 1.5",
            "stall_current (1 A) must be above no_load_current (1.5 A)",
        ),
        (
            "[motor.drive]\nramp_up_s = 1\n[motor.drives]\ninertia_kgm2 = 0",
            "a ramp with drives.inertia = 0 has nothing to spin up",
        ),
        ("[motor.locked_rotor]\nvoltage_v = 2", "needs voltage and current"),
        ("[motor.drives]\nradius_mm = 5\ninner_radius_mm = 6", "must be below radius (5 mm)"),
        ('[motor.load]\nkind = "square"\ntorque_nm = 1', "needs at_speed"),
        (
            "[motor.drive]\nmin_voltage_v = 9\nmax_voltage_v = 8",
            "min_voltage (9 V) must be below max_voltage (8 V)",
        ),
        ('[[loads]]\nname = "x"', "'x' needs either watts or amps"),
        ("[[loads]]\nwatts = 1\namps = 1", "needs either watts or amps, not both"),
        ("[[loads]]\nwatts = 1\nmin_voltage_v = 9\nmax_voltage_v = 8", "below max_voltage"),
        ('[[loads]]\nwatts = 1\nburst = "3 W"', "burst also needs burst_time and burst_period"),
        (
            '[[loads]]\nwatts = 1\nburst = "3 W"\nburst_time_s = 2\nburst_period_s = 1',
            "burst_time is longer than burst_period",
        ),
        ("[[lights]]\npixels = 3\nwatts = 1", "needs one of pixels, watts or strip_power"),
        ('[[lights]]\nstrip_power = "9 W/m"', "strip_power also needs strip_length"),
        ("[[rails]]\nmin_input_v = 9\nmax_input_v = 8", "min_input (9 V) must be below max_input"),
        ("[[rails]]\n[[rails.efficiency_points]]\ncurrent_a = 1", "needs current and efficiency"),
        ("[[mission.actions]]\ndo = 'rest'", "the action 'rest' needs seconds"),
        ("[[mission.actions]]\ndo = 'rest'\nseconds = 1\nduty = 1", "cannot have a duty"),
        ("[[mission.modes]]\nname = 'idle'", "the mode 'idle' needs a share"),
        (
            "[[mission.modes]]\nshare = 0.6\n[[mission.modes]]\nshare = 0.6",
            "the shares of the modes add up to 1.2; allowed: 1 at most",
        ),
        (
            "[[mission.modes]]\nshare = 0.6\n[[mission.actions]]\nseconds = 1",
            "give actions or modes, not both",
        ),
        ("[charger]\ncurrent_a = 1\nend_current_a = 2", "end_current (2 A) must be below current"),
        (
            "[charger]\ntemperature_min_degc = 40\ntemperature_max_degc = 10",
            "temperature_min (40 degC) must be below temperature_max (10 degC)",
        ),
        (
            "[charger]\nbalances = false\nbalance_current_ma = 60",
            "balances = false contradicts a balance_current or a balance_resistor",
        ),
        (
            "[monitor]\nwarn_per_cell_v = 3.2\nstop_per_cell_v = 3.4",
            "stop_per_cell (3.4 V) must not be above warn_per_cell (3.2 V)",
        ),
        ("[measured.two_load]\nlight_voltage_v = 11", "needs light_current, light_voltage"),
        (
            "[measured.two_load]\nlight_current_a = 8\nlight_voltage_v = 11\n"
            "heavy_current_a = 1\nheavy_voltage_v = 12",
            "the heavy load must draw more current at a lower voltage",
        ),
        ("[preferences]\nseries_min = 4\nseries_max = 3", "series_min (4) is above series_max (3)"),
        # what contradicts between sections
        (
            "[[mission.actions]]\ndo = 'start'\nseconds = 1\nmotor = 'corr'\n[motor]\nname='corer'",
            "the action 'start' names 'corr', but there is no motor of that name; there is: corer",
        ),
        ("[[mission.actions]]\ndo = 'start'\nseconds = 1", "needs a motor, and there is none"),
        ("[[mission.modes]]\nshare = 1\nmotor = 'a'", "no motor of that name, and none at all"),
        ("[[loads]]\nwatts = 1\nrail = '5 V'", "there is no rail of that name; there is: battery"),
        ("[[rails]]\nname = 'a'\nfed_by = 'b'", "no rail before it of that name"),
        ("[[loads]]\nwatts = 1\n[[loads]]\nwatts = 1", "two of the loads and lights are named"),
        (
            "[load]\nlog = 'a.csv'\n[[mission.actions]]\nseconds = 1",
            "[load] log already says what the pack gives; remove it or remove mission",
        ),
        ("[load]\nlog = 'a.csv'\n[motor]\nname = 'x'", "remove it or remove motor"),
        (
            "[[mission.actions]]\ndo = 'start'\nseconds = 1\n[motor.drive]\nramp_up_s = 2",
            "ramp_up of motor 'motor' takes 2 s, longer than the action 'start' of 1 s",
        ),
        (
            "[[mission.actions]]\ndo = 'rest'\nseconds = 1\nloads_off = ['lamp']\n"
            "[[lights]]\nname = 'lamps'\nwatts = 1",
            "names 'lamp', but there is no load or light of that name; there is: lamps",
        ),
    ],
)
def test_a_slip_is_answered_with_one_sentence(text: str, message: str) -> None:
    with pytest.raises(BriefError, match=re.escape(message)) as raised:
        brief_from_text(text, name="mine.toml")
    answer = str(raised.value)
    assert answer.startswith("mine.toml: ")
    assert "pydantic" not in answer
    assert "\n" not in answer


def test_further_problems_are_counted() -> None:
    text = '[pack]\nseries = "3"\nparallel = 0\n[cavity]\nbore_mm = -1'
    with pytest.raises(BriefError, match=r"series is '3'.*\(and 2 more problems after this one\)"):
        brief_from_text(text)


def test_dangerous_is_not_an_error() -> None:
    brief = brief_from_mapping(
        {
            "pack": {"cell_origin": "scrap", "fuse": {"kind": "none"}, "series": 4},
            "cavity": {"closure": "sealed", "rigid": True},
            "charger": {
                "kind": "bare_supply",
                "chemistry": "lead_acid",
                "end_voltage_per_cell": "4.6 V",
                "temperature_min": "-10 degC",
            },
        }
    )
    assert brief.charger is not None
    assert brief.charger.end_voltage_per_cell_v == 4.6


def test_one_motor_and_several_are_read_alike() -> None:
    one = brief_from_mapping({"motor": {"name": "wheel"}})
    several = brief_from_mapping({"motors": [{"name": "wheel"}, {"name": "arm"}]})
    assert [motor.name for motor in one.all_motors] == ["wheel"]
    assert [motor.name for motor in several.all_motors] == ["wheel", "arm"]


def test_a_list_of_readings_is_read_in_ohms() -> None:
    brief = brief_from_mapping({"motor": {"ohmmeter_readings": ["1.3 ohm", "1500 mOhm"]}})
    assert brief.motor is not None
    assert brief.motor.ohmmeter_readings_ohm == pytest.approx((1.3, 1.5))
