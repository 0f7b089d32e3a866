"""RC elements of a pack followed through a demand that repeats."""

from __future__ import annotations

import numpy as np
import pytest

from packdesign.engineering.demand.circuit import Circuit
from packdesign.engineering.demand.polarisation import sagging
from packdesign.engineering.demand.profile import Demand
from packdesign.engineering.electrical.source import PackSource

SOURCE = PackSource(
    open_circuit_v=20.0, instant_ohm=0.3, rc_ohm=(0.1, 0.7), rc_time_s=(10.0, 400.0)
)


def demand(*pieces: tuple[float, float, float]) -> Demand:
    duration_s, current_a, power_w = np.array(pieces, dtype=float).T
    return Demand(
        duration_s=duration_s,
        current_a=current_a,
        power_w=power_w,
        label=tuple(f"{k}" for k in range(len(pieces))),
    )


def stepped(asked: Demand, *, rounds: int, step_s: float = 0.02) -> list[float]:
    """The same by small steps, round after round: voltage at the end of each piece."""
    drops, ends = np.zeros(2), []
    ohm, time_s = np.array(SOURCE.rc_ohm), np.array(SOURCE.rc_time_s)
    for _ in range(rounds):
        ends = []
        for seconds, amperes in zip(asked.duration_s, asked.current_a, strict=True):
            for _ in range(round(seconds / step_s)):
                drops += step_s * (amperes * ohm - drops) / time_s
            ends.append(SOURCE.open_circuit_v - SOURCE.instant_ohm * amperes - drops.sum())
    return ends


def test_ends_of_pieces_are_those_of_many_small_steps() -> None:
    asked = demand((5.0, 8.0, 0.0), (40.0, 2.0, 0.0), (60.0, 0.0, 0.0))
    found = sagging(Circuit(source=SOURCE), asked)
    assert found.bus_v == pytest.approx(stepped(asked, rounds=30), abs=5e-3)
    assert found.before_v[0] == pytest.approx(SOURCE.open_circuit_v - found.bus_v[-1], abs=1e-9)


@pytest.mark.parametrize(("seconds", "ohm"), [(1e-3, 0.3), (1e5, 1.1)])
def test_one_piece_meets_what_its_length_lets_settle(seconds: float, ohm: float) -> None:
    """A moment after an endless rest meets the instant resistance, an endless load all of it."""
    asked = demand((seconds, 4.0, 0.0), (1e5, 0.0, 0.0))
    found = sagging(Circuit(source=SOURCE), asked)
    assert found.bus_v[0] == pytest.approx(20.0 - 4.0 * ohm, abs=1e-3)


def test_power_becomes_current_at_the_voltage_it_makes() -> None:
    """30 W settled: V = (20 + sqrt(400 - 4 x 1.1 x 30)) / 2 = 18.185 V."""
    found = sagging(Circuit(source=SOURCE), demand((1e5, 0.0, 30.0)))
    assert found.bus_v[0] == pytest.approx(18.185, abs=0.02)


def test_more_than_the_pack_gives_stays_a_number() -> None:
    found = sagging(Circuit(source=SOURCE), demand((1e5, 0.0, 1e4)))
    assert np.isfinite(found.bus_v).all()
    assert found.bus_v[0] < 0
