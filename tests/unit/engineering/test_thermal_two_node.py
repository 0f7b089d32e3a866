"""The two-node step against scipy's matrix exponential and its stiff integrator."""

from __future__ import annotations

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from scipy.integrate import solve_ivp
from scipy.linalg import expm

from packdesign.engineering.thermal.two_node import (
    two_node_decay,
    two_node_settled,
    two_node_step,
)

capacities = st.floats(0.05, 5_000)
conductances = st.floats(1e-4, 20)
steps = st.floats(0, 100_000)


def _matrix(cell: float, surface: float, between: float, air: float) -> np.ndarray:
    return np.array(
        [[-between / cell, between / cell], [between / surface, -(between + air) / surface]]
    )


@settings(deadline=None)
@given(capacities, capacities, conductances, conductances, steps)
def test_the_decay_is_the_matrix_exponential(cell, surface, between, air, step):
    decay = two_node_decay(
        cell_j_per_k=cell,
        surface_j_per_k=surface,
        cell_to_surface_w_per_k=between,
        surface_to_air_w_per_k=air,
        step_s=step,
    )
    found = [
        [decay.cell_from_cell, decay.cell_from_surface],
        [decay.surface_from_cell, decay.surface_from_surface],
    ]
    wanted = expm(_matrix(cell, surface, between, air) * step)
    np.testing.assert_allclose(found, wanted, rtol=2e-8, atol=1e-9)


@pytest.mark.parametrize("surface_j_per_k", [0.5, 20.0, 400.0])
def test_a_step_agrees_with_a_stiff_integrator(surface_j_per_k):
    case = {"cell": 45.0, "surface": surface_j_per_k, "between": 0.6, "air": 0.07}
    heat, ambient, step = 3.2, 18.0, 900.0
    matrix = _matrix(**case)
    drive = np.array([heat / case["cell"], case["air"] * ambient / surface_j_per_k])
    wanted = solve_ivp(
        lambda _, state: matrix @ state + drive,
        (0, step),
        [31.0, 24.0],
        method="Radau",
        rtol=1e-10,
        atol=1e-10,
    ).y[:, -1]
    found = two_node_step(
        31.0,
        24.0,
        heat_w=heat,
        ambient_degc=ambient,
        cell_j_per_k=case["cell"],
        surface_j_per_k=surface_j_per_k,
        cell_to_surface_w_per_k=case["between"],
        surface_to_air_w_per_k=case["air"],
        step_s=step,
    )
    np.testing.assert_allclose(found, wanted, rtol=0, atol=1e-6)


def test_many_packs_at_once_equal_one_at_a_time():
    generator = np.random.default_rng(3)
    names = ("heat_w", "ambient_degc", "cell_j_per_k", "surface_j_per_k")
    names += ("cell_to_surface_w_per_k", "surface_to_air_w_per_k", "step_s")
    many = {name: generator.uniform(0.1, 50, 40) for name in names}
    start = generator.uniform(0, 60, (2, 40))
    together = np.array(two_node_step(start[0], start[1], **many))
    for index in range(40):
        one = {name: values[index] for name, values in many.items()}
        alone = two_node_step(start[0, index], start[1, index], **one)
        np.testing.assert_allclose(together[:, index], alone, rtol=1e-13)


@settings(deadline=None)
@given(steps, steps)
def test_two_steps_equal_one_of_the_summed_length(first, second):
    case = {
        "heat_w": 1.5,
        "ambient_degc": 20.0,
        "cell_j_per_k": 60.0,
        "surface_j_per_k": 25.0,
        "cell_to_surface_w_per_k": 0.4,
        "surface_to_air_w_per_k": 0.1,
    }
    halfway = two_node_step(40.0, 21.0, **case, step_s=first)
    in_two = two_node_step(*halfway, **case, step_s=second)
    in_one = two_node_step(40.0, 21.0, **case, step_s=first + second)
    np.testing.assert_allclose(in_two, in_one, rtol=0, atol=1e-9)


def test_heat_made_is_heat_stored_and_heat_given_away():
    case = {
        "ambient_degc": 25.0,
        "cell_j_per_k": 45.0,
        "surface_j_per_k": 30.0,
        "cell_to_surface_w_per_k": 0.5,
        "surface_to_air_w_per_k": 0.08,
    }
    times = np.linspace(0, 600, 6001)
    cell, surface = two_node_step(25.0, 25.0, heat_w=2.0, **case, step_s=times)
    stored = 45.0 * (cell[-1] - 25) + 30.0 * (surface[-1] - 25)
    given_away = np.trapezoid(0.08 * (surface - 25.0), times)
    assert stored + given_away == pytest.approx(2.0 * 600, rel=1e-6)


def test_a_very_long_step_ends_at_the_settled_state():
    path = {"cell_to_surface_w_per_k": 0.5, "surface_to_air_w_per_k": 0.07}
    end = two_node_step(
        5.0,
        90.0,
        heat_w=1.4,
        ambient_degc=20.0,
        cell_j_per_k=45.0,
        surface_j_per_k=40.0,
        step_s=1e7,
        **path,
    )
    settled = two_node_settled(heat_w=1.4, ambient_degc=20.0, **path)
    np.testing.assert_allclose(end, settled, rtol=1e-12)
    assert float(settled[1]) == pytest.approx(40.0)


def test_a_well_insulated_pack_keeps_its_slow_loss():
    # Losing 1e-9 W/K from 70 J/K: the departure left after 1e9 s is exp(-1e-9 * 1e9 / 70), for the
    # two nodes are as one body at that speed.
    decay = two_node_decay(
        cell_j_per_k=45.0,
        surface_j_per_k=25.0,
        cell_to_surface_w_per_k=5.0,
        surface_to_air_w_per_k=1e-9,
        step_s=1e9,
    )
    left = float(decay.cell_from_cell + decay.cell_from_surface)
    assert left == pytest.approx(np.exp(-1 / 70), rel=1e-9)
