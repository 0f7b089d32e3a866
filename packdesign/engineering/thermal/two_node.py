r"""Exact step of the two-node heat model over a time of constant heat, for many packs at once.

The cell (node 1) makes heat and passes it to what it touches (node 2), which gives it to the air:

.. math:: C_1 \dot T_1 = q - G_{12} (T_1 - T_2), \qquad
          C_2 \dot T_2 = G_{12} (T_1 - T_2) - G_2 (T_2 - T_{air})

With constant heat and air this is linear, so a step of any length is one 2 by 2 matrix
exponential and carries no step error. Where the conductances come from is in ``cavity_heat``.
"""

from __future__ import annotations

from dataclasses import dataclass

import numpy as np
from numpy.typing import NDArray

from packdesign.engineering.demand.profile import FloatArray

__all__ = ["TwoNodeDecay", "two_node_decay", "two_node_settled", "two_node_step"]

FloatOrArray = float | FloatArray


@dataclass(frozen=True, slots=True, kw_only=True)
class TwoNodeDecay:
    """How much of a departure from the settled state is left after a step; entries of exp(A t)."""

    cell_from_cell: FloatArray
    """Share of the cell's departure left in the cell. [-]"""
    cell_from_surface: FloatArray
    """Share of the surface's departure that arrived in the cell. [-]"""
    surface_from_cell: FloatArray
    """Share of the cell's departure that arrived in the surface. [-]"""
    surface_from_surface: FloatArray
    """Share of the surface's departure left in the surface. [-]"""

    def rows(self, keep: NDArray[np.intp]) -> TwoNodeDecay:
        """Take some of the packs, or one pack many times."""
        return TwoNodeDecay(
            cell_from_cell=self.cell_from_cell[keep],
            cell_from_surface=self.cell_from_surface[keep],
            surface_from_cell=self.surface_from_cell[keep],
            surface_from_surface=self.surface_from_surface[keep],
        )


def two_node_decay(
    *,
    cell_j_per_k: FloatOrArray,
    surface_j_per_k: FloatOrArray,
    cell_to_surface_w_per_k: FloatOrArray,
    surface_to_air_w_per_k: FloatOrArray,
    step_s: FloatOrArray,
) -> TwoNodeDecay:
    r"""Give the 2 by 2 matrix exponential of the heat model over one step.

    Parameters
    ----------
    cell_j_per_k, surface_j_per_k : float or array
        Heat capacity of the cell and of what it touches, above zero. [J/K]
    cell_to_surface_w_per_k : float or array
        Conductance between the two, above zero. [W/K]
    surface_to_air_w_per_k : float or array
        Conductance to the air, zero or more. [W/K]
    step_s : float or array
        Length of the step, zero or more. [s]

    Returns
    -------
    TwoNodeDecay
        Four shares, broadcast over the arguments. [-]

    Notes
    -----
    Both eigenvalues of the matrix are real and they are never equal, because each node warms the
    other. With :math:`s_f < s_s \le 0` and :math:`\delta = (s_s - s_f)/2`

    .. math:: e^{At} = \tfrac{e^{s_s t} + e^{s_f t}}{2} I
              + \tfrac{e^{s_s t} - e^{s_f t}}{2\delta} (A - \tfrac{s_s + s_f}{2} I).

    The slow one is taken as determinant over fast one, so a well insulated pack keeps its digits.

    Examples
    --------
    After no time everything is where it was:

    >>> decay = two_node_decay(cell_j_per_k=45.0, surface_j_per_k=20.0,
    ...     cell_to_surface_w_per_k=0.5, surface_to_air_w_per_k=0.07, step_s=0.0)
    >>> float(decay.cell_from_cell), float(decay.surface_from_cell)
    (1.0, 0.0)
    """
    leave = np.asarray(cell_to_surface_w_per_k / np.asarray(cell_j_per_k), dtype=np.float64)
    enter = np.asarray(cell_to_surface_w_per_k / np.asarray(surface_j_per_k), dtype=np.float64)
    lose = np.asarray(surface_to_air_w_per_k / np.asarray(surface_j_per_k), dtype=np.float64)
    lead = (enter + lose - leave) / 2
    spread = np.sqrt(lead**2 + leave * enter)
    fast = -(leave + enter + lose) / 2 - spread
    slow = leave * lose / fast
    kept_slow = np.exp(slow * step_s)
    gap = -np.expm1(-2 * spread * step_s) * kept_slow
    mean = kept_slow - gap / 2
    slope = gap / (2 * spread)
    return TwoNodeDecay(
        cell_from_cell=mean + slope * lead,
        cell_from_surface=slope * leave,
        surface_from_cell=slope * enter,
        surface_from_surface=mean - slope * lead,
    )


def two_node_settled(
    *,
    heat_w: FloatOrArray,
    drawn_w: FloatOrArray = 0.0,
    ambient_degc: FloatOrArray,
    cell_to_surface_w_per_k: FloatOrArray,
    surface_to_air_w_per_k: FloatOrArray,
) -> tuple[FloatArray, FloatArray]:
    """Temperatures of cell and surface once a constant heat has gone on for ever.

    Parameters
    ----------
    heat_w : float or array
        Heat made in one cell. [W]
    drawn_w : float or array
        Heat that leaves the surface beside what the conductance carries. [W]
    ambient_degc : float or array
        Temperature of the air. [degC]
    cell_to_surface_w_per_k, surface_to_air_w_per_k : float or array
        Conductances of the path, above zero. [W/K]

    Returns
    -------
    tuple of array
        Cell and surface. [degC]

    Examples
    --------
    1 W through 0.1 W/K and then 0.5 W/K:

    >>> cell, surface = two_node_settled(heat_w=1.0, ambient_degc=20.0,
    ...     cell_to_surface_w_per_k=0.5, surface_to_air_w_per_k=0.1)
    >>> float(cell), float(surface)
    (32.0, 30.0)
    """
    surface = np.asarray(ambient_degc + (np.asarray(heat_w) - drawn_w) / surface_to_air_w_per_k)
    return np.asarray(surface + np.asarray(heat_w) / cell_to_surface_w_per_k), surface


def two_node_step(  # noqa: PLR0913  nine plain arrays of one solver step; a record would hide them
    cell_degc: FloatOrArray,
    surface_degc: FloatOrArray,
    *,
    heat_w: FloatOrArray,
    ambient_degc: FloatOrArray,
    cell_j_per_k: FloatOrArray,
    surface_j_per_k: FloatOrArray,
    cell_to_surface_w_per_k: FloatOrArray,
    surface_to_air_w_per_k: FloatOrArray,
    step_s: FloatOrArray,
) -> tuple[FloatArray, FloatArray]:
    """Take both temperatures over one step of constant heat and constant air, exactly.

    Parameters
    ----------
    cell_degc, surface_degc : float or array
        Temperatures at the start of the step. [degC]
    heat_w : float or array
        Heat made in one cell during the step; negative cools. [W]
    ambient_degc : float or array
        Temperature of the air. [degC]
    cell_j_per_k, surface_j_per_k : float or array
        Heat capacity of the cell and of what it touches, above zero. [J/K]
    cell_to_surface_w_per_k, surface_to_air_w_per_k : float or array
        Conductances of the path, above zero. [W/K]
    step_s : float or array
        Length of the step, zero or more. [s]

    Returns
    -------
    tuple of array
        Cell and surface at the end of the step. [degC]

    Notes
    -----
    Any shapes that broadcast together are taken. Values are not checked here, for this is the
    innermost line of the fast discharge engine; `ThermalPath` checks them where they are made.

    Examples
    --------
    A cell of 45 J/K that makes 2 W, after a minute (45 J/K alone would rise 2.67 K):

    >>> cell, surface = two_node_step(25.0, 25.0, heat_w=2.0, ambient_degc=25.0,
    ...     cell_j_per_k=45.0, surface_j_per_k=20.0, cell_to_surface_w_per_k=0.5,
    ...     surface_to_air_w_per_k=0.07, step_s=60.0)
    >>> round(float(cell), 2), round(float(surface), 2)
    (27.17, 26.03)
    """
    cell_end, surface_end = two_node_settled(
        heat_w=heat_w,
        ambient_degc=ambient_degc,
        cell_to_surface_w_per_k=cell_to_surface_w_per_k,
        surface_to_air_w_per_k=surface_to_air_w_per_k,
    )
    decay = two_node_decay(
        cell_j_per_k=cell_j_per_k,
        surface_j_per_k=surface_j_per_k,
        cell_to_surface_w_per_k=cell_to_surface_w_per_k,
        surface_to_air_w_per_k=surface_to_air_w_per_k,
        step_s=step_s,
    )
    cell_off, surface_off = cell_degc - cell_end, surface_degc - surface_end
    return (
        cell_end + decay.cell_from_cell * cell_off + decay.cell_from_surface * surface_off,
        surface_end + decay.surface_from_cell * cell_off + decay.surface_from_surface * surface_off,
    )
