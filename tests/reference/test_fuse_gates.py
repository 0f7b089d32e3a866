"""Fuse times, pulse heating and melting wire against printed gates, rules and examples."""

from __future__ import annotations

import csv
import itertools
import math

import numpy as np
import pytest
from scipy.integrate import quad

from packdesign.data.fuses import Fuse, FuseGate
from packdesign.engineering.electrical.conductors import wire_area_m2, wire_diameter_m
from packdesign.engineering.electrical.fuse import opening_time, rerating_fraction
from packdesign.engineering.electrical.fusing import (
    PREECE_A_PER_IN_1_5,
    current_melting_wire_onderdonk,
    current_melting_wire_preece,
    time_melting_wire_onderdonk,
)
from packdesign.engineering.electrical.pulse import (
    PulseShape,
    pulse_i2t_a2s,
    pulse_withstand_fraction,
    trapezoid_i2t_a2s,
)
from packdesign.foundation.basis import Basis

INCH_M = 0.0254


def _fuse(rated_a: float, gates: list[dict[str, str]], body: str = "automotive blade") -> Fuse:
    def seconds(text: str) -> float | None:
        return float(text) if text and float(text) > 0 else None

    return Fuse(
        series="printed gates",
        maker="",
        body=body,
        speed="",
        rated_a=rated_a,
        rated_v_dc=32.0,
        rated_v_ac=None,
        breaking_capacity_a=1000.0,
        breaking_condition="",
        cold_resistance_ohm=None,
        melting_i2t_a2s=None,
        drop_at_rated_v=None,
        basis=Basis.PUBLISHED,
        source="",
        notes="",
        gates=tuple(
            FuseGate(
                rating_fraction=float(row["percent_of_rating"]) / 100,
                shortest_s=seconds(row["shortest_s"]),
                longest_s=seconds(row["longest_s"]),
            )
            for row in gates
        ),
    )


def _printed(published) -> dict[str, list[dict[str, str]]]:
    with (published / "fuse_gates.csv").open(newline="") as file:
        rows = list(csv.DictReader(file))
    found: dict[str, list[dict[str, str]]] = {}
    for row in rows:
        found.setdefault(row["fuse"], []).append(row)
    return found


def test_every_printed_gate_is_met_at_its_own_current(published):
    # Gates of tests/reference/tables/fuse_gates.csv, each with its source.
    checked = 0
    for name, rows in _printed(published).items():
        fuse = _fuse(30.0, rows)
        for row in rows:
            found = opening_time(fuse, current_a=30.0 * float(row["percent_of_rating"]) / 100)
            if row["shortest_s"] and float(row["shortest_s"]) > 0:
                assert found.shortest_s == pytest.approx(float(row["shortest_s"])), name
                checked += 1
            if row["longest_s"]:
                assert found.longest_s == pytest.approx(float(row["longest_s"])), name
                checked += 1
    assert checked > 40


def test_a_band_between_gates_stays_between_them(published):
    for rows in _printed(published).values():
        fuse = _fuse(10.0, rows)
        times = [opening_time(fuse, current_a=amps) for amps in np.linspace(5, 150, 200)]
        longest = [time.longest_s for time in times]
        assert all(late <= early for early, late in itertools.pairwise(longest))


def test_a_ul_fuse_need_not_open_below_135_percent(published):
    # UL 248-14: carries 100 %, opens at 135 % within an hour, at 200 % within two minutes.
    rows = _printed(published)["UL/CSA/ANCE 248-14"]
    fuse = _fuse(10.0, [row for row in rows if row["percent_of_rating"] != "100"])
    assert opening_time(fuse, current_a=13.0).longest_s == math.inf
    assert opening_time(fuse, current_a=13.5).longest_s == pytest.approx(3600)


@pytest.mark.parametrize(("degc", "ampere"), [(20, 40), (65, 34), (85, 30), (110, 25), (125, 22)])
def test_the_blade_rerating_is_the_printed_one(degc, ampere):
    # MAXI 299, 40 A: second hand from the maker's sheet.
    assert 40 * rerating_fraction(_fuse(40.0, []), ambient_degc=degc) == pytest.approx(ampere)


@pytest.mark.parametrize(
    ("pulses", "share"), [(100_000, 0.22), (10_000, 0.29), (1_000, 0.38), (100, 0.48)]
)
def test_the_printed_pulse_shares(pulses, share):
    # Littelfuse, Fuse and Mounting catalogue, page 12.
    assert pulse_withstand_fraction(pulses=pulses) == pytest.approx(share)


@pytest.mark.parametrize(
    ("shape", "current", "end"),
    [
        (PulseShape.SQUARE, lambda _: 7.0, 0.3),
        (PulseShape.RAMP, lambda t: 7.0 * t / 0.3, 0.3),
        (PulseShape.HALF_SINE, lambda t: 7.0 * math.sin(math.pi * t / 0.3), 0.3),
        (PulseShape.EXPONENTIAL, lambda t: 7.0 * math.exp(-t / 0.3), 12.0),
        (PulseShape.PARABOLA, lambda t: 7.0 * (t / 0.3) ** 2, 0.3),
    ],
)
def test_the_printed_shape_factors_are_the_integrals(shape, current, end):
    # Littelfuse, Fuse and Mounting catalogue, page 12, against numerical integration.
    wanted = quad(lambda t: current(t) ** 2, 0, end)[0]
    found = pulse_i2t_a2s(shape=shape, peak_a=7.0, duration_s=0.3)
    assert found == pytest.approx(wanted, rel=1e-6)


def test_the_printed_trapezoid_is_the_integral():
    wanted = quad(lambda t: (30 - 24 * t / 0.5) ** 2, 0, 0.5)[0]
    found = trapezoid_i2t_a2s(start_a=30.0, end_a=6.0, duration_s=0.5)
    assert found == pytest.approx(wanted)


@pytest.mark.parametrize(
    ("inch", "ampere"),
    # Preece's table for copper, nessengr.com/techdata/fuse.
    [(0.0098, 10), (0.0156, 20), (0.0288, 50), (0.0457, 100), (0.0725, 200)],
)
def test_preece_table_for_copper(inch, ampere):
    found = current_melting_wire_preece(diameter_m=inch * INCH_M)
    assert found == pytest.approx(ampere, rel=0.01)


@pytest.mark.parametrize(
    ("awg", "ampere"),
    # Computed in the collection of check values from Preece's constant.
    [(18, 82.9), (20, 58.5), (22, 41.3), (24, 29.2), (26, 20.6), (28, 14.6), (30, 10.3)],
)
def test_preece_by_gauge(awg, ampere):
    found = current_melting_wire_preece(diameter_m=wire_diameter_m(awg=awg))
    assert found == pytest.approx(ampere, abs=0.06)


def test_fuse_wire_of_an_eighth_of_the_current_is_a_quarter_as_thick():
    # Mehta, Principles of Power System, example 20.1 (page 495): 0.8 mm to 0.2 mm.
    ratio = current_melting_wire_preece(diameter_m=0.8e-3) / current_melting_wire_preece(
        diameter_m=0.2e-3
    )
    assert ratio == pytest.approx(8.0)


def test_fuse_wire_of_half_the_diameter():
    # Kapoor, Electrical and Electronics Engineering Materials, chapter 2: 27.5 A to 9.723 A.
    ratio = current_melting_wire_preece(diameter_m=0.5e-3, metal="tin")
    ratio /= current_melting_wire_preece(diameter_m=0.25e-3, metal="tin")
    assert 27.5 / ratio == pytest.approx(9.723, abs=5e-4)


def test_other_metals_stand_in_the_order_of_the_table():
    # nessengr.com/techdata/fuse: Cu 10244, Al 7585, Fe 3148, Sn 1642, Pb 1379.
    assert list(PREECE_A_PER_IN_1_5.values()) == [10244, 7585, 3148, 1642, 1379]


@pytest.mark.parametrize(("seconds", "ampere"), [(5.0, 169), (1.0, 378)])
def test_onderdonk_for_sixteen_gauge_with_the_sign_right(seconds, ampere):
    # physicsforums.com thread 364495 prints 178 A for 5 s, having taken 234 - T; right is 234 + T.
    found = current_melting_wire_onderdonk(area_m2=wire_area_m2(awg=16), time_s=seconds)
    assert found == pytest.approx(ampere, abs=0.5)


def test_onderdonk_agrees_with_the_heat_that_copper_takes_up():
    # Integral of rho(T) I^2 / A^2 = density c dT with handbook copper (8960 kg/m3, 385 J/(kg K) at
    # room temperature, from memory). c grows with heat, so Onderdonk must give a little more.
    area, current = wire_area_m2(awg=20), 200.0
    resistivity, zero = 1.7241e-8, 1 / 0.00393 - 20
    log = math.log((1083 + zero) / (25 + zero)) / 0.00393
    seconds = 8960 * 385 * area**2 * log / (resistivity * current**2)
    onderdonk = time_melting_wire_onderdonk(area_m2=area, current_a=current)
    assert onderdonk / seconds == pytest.approx(1.06, abs=0.08)
