"""Re-fits of the measured cells on one rate, and what they say of the other rates of the cell."""

from __future__ import annotations

import functools
from pathlib import Path

import numpy as np
from scipy.optimize import least_squares

from packdesign.engineering.discharge.fast_engine import run_pack
from packdesign.engineering.discharge.refit import refit
from packdesign.engineering.discharge.replay import LoggedRun, replay_errors
from packdesign.engineering.discharge.run import PackModel
from tests.reference.measured_sets import SETS, discharge_log, pack_of, setting, start
from tests.reference.readme_tables import REFIT_HEADER

SAMPLES = {
    "30Q S001": ("1C", "2C", "3C"),
    "30Q S002": ("C/10", "1C", "2C", "3C"),
    "M50 25 degC": ("C/10", "C/2", "1C", "2C"),
}
"""Rates at which one and the same cell was discharged."""
TOO_SLOW = "C/10"
"""Tells the open-circuit voltage and the charge, hardly a resistance: no rate to re-fit on."""
PAIRS = tuple(
    (f"{sample} {on}", f"{sample} {other}")
    for sample, rates in SAMPLES.items()
    for on in rates
    if on != TOO_SLOW
    for other in rates
    if other != on
)
"""Set of the re-fit, and set that is predicted with it."""


@functools.cache
def refitted(name: str, folder: Path) -> PackModel:
    """The pack after a re-fit on one discharge with the rest around it."""
    file, bench = SETS[name]
    log = discharge_log(folder / file, with_rest=True)
    run = LoggedRun(log=log, start=start(name, folder))
    return refit([run], pack_of(bench)).pack


@functools.cache
def refit_score(on: str, other: str, folder: Path) -> tuple[float, float]:
    """RMS [mV] and error of the rise [K] at another rate than that of the re-fit."""
    log, _, conditions, demand = setting(other, folder)
    errors = replay_errors(log, run_pack(refitted(on, folder), demand, conditions))
    return 1000 * errors.rms_v, errors.rise_error_k or 0.0


def cooling_time_s(name: str, folder: Path) -> float:
    """Time constant with which a cell cools in the rest after its discharge. [s]"""
    log = discharge_log(folder / SETS[name][0], with_rest=True)
    ends_s = log.time_s[np.flatnonzero(log.current_a > 0.05 * np.max(log.current_a))[-1]]
    rows = (log.time_s > ends_s + 120.0) & (log.time_s < ends_s + 4000.0)
    time_s, degc = log.time_s[rows] - ends_s, log.temperature_degc[rows]

    def apart_k(x: np.ndarray) -> np.ndarray:
        return np.asarray(x[0] * np.exp(-time_s / x[1]) + x[2] - degc)

    return float(least_squares(apart_k, [10.0, 600.0, degc[-1]], x_scale=[10.0, 100.0, 10.0]).x[1])


def refit_rows(folder: Path) -> list[str]:
    """The table of the README, line by line."""
    lines = [REFIT_HEADER, "|---|---|---|---|"]
    for on, other in PAIRS:
        rms_mv, rise_k = refit_score(on, other, folder)
        lines.append(f"| {on} | {other} | {rms_mv:.1f} | {rise_k:.1f} |")
    return lines
