"""Runs that many tests ask for alike are worked out once.

A brief with another gauge, another fuse or another wish for its charge is discharged as before.
Planning asks engineering for a run with nothing but values and gets a frozen record, so the same
question has the same answer. Tests of the engines import them by name and are left alone.
"""

from __future__ import annotations

import dataclasses
import functools
from collections.abc import Callable, Hashable, Iterator
from contextlib import contextmanager
from enum import Enum
from typing import Any

import numpy as np
import pytest


@contextmanager
def runs_remembered() -> Iterator[None]:
    """Keep every run that planning asks for until the block ends."""
    from packdesign.engineering.charging import plan_choice
    from packdesign.planning.assess import discharge, log_fit, weakest_group
    from packdesign.planning.charge_plan import plan

    with pytest.MonkeyPatch.context() as patched:
        patched.setattr(discharge, "discharge_bands", remembering(discharge.discharge_bands))
        patched.setattr(weakest_group, "run_unlike", remembering(weakest_group.run_unlike))
        patched.setattr(plan, "banded_charge", remembering(plan.banded_charge))
        patched.setattr(plan_choice, "simulate_charge", remembering(plan_choice.simulate_charge))
        patched.setattr(log_fit, "refit", remembering(log_fit.refit))
        yield


def remembering(run: Callable[..., Any]) -> Callable[..., Any]:
    """Give a function that works out each answer once; what it raises is raised each time anew."""
    kept: dict[Hashable, Any] = {}

    @functools.wraps(run)
    def remembered(*args: Any, **named: Any) -> Any:
        asked = value_key((args, named))
        if asked not in kept:
            kept[asked] = run(*args, **named)
        return kept[asked]

    return remembered


def value_key(value: Any) -> Hashable:
    """Give a key that two values share only if they are equal to the last digit."""
    if dataclasses.is_dataclass(value):
        fields = (value_key(getattr(value, each.name)) for each in dataclasses.fields(value))
        return (type(value), *fields)
    if isinstance(value, np.ndarray):
        return (value.dtype.str, value.shape, value.tobytes())
    if isinstance(value, dict):
        return tuple((name, value_key(each)) for name, each in value.items())
    if isinstance(value, tuple | list):
        return (type(value), *(value_key(each) for each in value))
    if value is None or isinstance(value, bool | int | float | str | Enum):
        return (type(value), value)
    msg = f"no key for {type(value).__name__}: teach value_key to compare it by value"
    raise TypeError(msg)
