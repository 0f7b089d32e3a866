"""Fuse times, pulse heating and melting wire against printed gates, rules and examples."""

from __future__ import annotations

import csv
import itertools
import math

import numpy as np
import pytest

from packdesign.data.fuses import Fuse, FuseGate
from packdesign.engineering.electrical.conductors import wire_area_m2
from packdesign.engineering.electrical.fuse_opening import opening_time, rerating_fraction
from packdesign.engineering.electrical.fusing import time_melting_wire_onderdonk
from packdesign.engineering.electrical.pulse import pulse_withstand_fraction
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


@pytest.mark.parametrize(("seconds", "ampere"), [(5.0, 169), (1.0, 378)])
def test_onderdonk_for_sixteen_gauge_with_the_sign_right(seconds, ampere):
    # physicsforums.com thread 364495 prints 178 A for 5 s, having taken 234 - T; right is 234 + T.
    found = time_melting_wire_onderdonk(area_m2=wire_area_m2(awg=16), current_a=ampere)
    assert found == pytest.approx(seconds, rel=1.0 / ampere)


def test_onderdonk_agrees_with_the_heat_that_copper_takes_up():
    # Integral of rho(T) I^2 / A^2 = density c dT with handbook copper (8960 kg/m3, 385 J/(kg K) at
    # room temperature, from memory). c grows with heat, so Onderdonk must give a little more.
    area, current = wire_area_m2(awg=20), 200.0
    resistivity, zero = 1.7241e-8, 1 / 0.00393 - 20
    log = math.log((1083 + zero) / (25 + zero)) / 0.00393
    seconds = 8960 * 385 * area**2 * log / (resistivity * current**2)
    onderdonk = time_melting_wire_onderdonk(area_m2=area, current_a=current)
    assert onderdonk / seconds == pytest.approx(1.06, abs=0.08)
