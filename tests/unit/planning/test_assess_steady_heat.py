"""Heat of use after use: the balance of a run, where it settles, and when a limit is reached."""

from __future__ import annotations

from dataclasses import replace

import pytest

from packdesign.engineering.discharge.fast_engine import run_pack
from packdesign.engineering.thermal.path import ThermalPath
from packdesign.planning.assess.design import PackDesign
from packdesign.planning.assess.discharge import conditions_of
from packdesign.planning.assess.loading import loading_of
from packdesign.planning.assess.service import design_of
from packdesign.planning.assess.steady_heat import steady_heat
from packdesign.planning.brief.load import brief_from_mapping

PATH = ThermalPath(cell_to_surface_w_per_k=0.5, surface_to_air_w_per_k=0.08, surface_j_per_k=20.0)


def lamp(watts: float):  # type: ignore[no-untyped-def]
    return brief_from_mapping(
        {
            "pack": {"cell": "Samsung SDI INR18650-25R", "series": 1, "parallel": 1},
            "loads": [{"name": "lamp", "watts": watts}],
            "surroundings": {"ambient": "20 degC"},
        }
    )


def worked(watts: float):  # type: ignore[no-untyped-def]
    brief = lamp(watts)
    found = design_of(brief)
    design: PackDesign = replace(found, model=replace(found.model, thermal=PATH))
    demand = loading_of(brief, design, with_worst=False).demand
    trace = run_pack(design.model, demand, conditions_of(brief, design))
    return design, trace, steady_heat(design, trace, ambient_degc=20.0)


def test_settled_temperatures_carry_the_mean_heat_away() -> None:
    _, trace, found = worked(10.0)
    assert found is not None
    assert found.surface_degc == pytest.approx(20.0 + found.heat_w / 0.08, abs=0.01)
    assert found.cell_degc == pytest.approx(found.surface_degc + found.heat_w / 0.5, abs=0.01)
    assert found.cell_limit_after_s is None
    # 65 J/K over 0.08 W/K, three time constants
    assert found.settles_after_s == pytest.approx(3.0 * 65.0 / 0.08, rel=0.1)
    assert found.heat_w * trace.time_s[-1] == pytest.approx(
        0.08 * float(((trace.surface_degc[1:] + trace.surface_degc[:-1]) / 2 - 20.0)
                     @ (trace.time_s[1:] - trace.time_s[:-1]))
        + 45.0 * (trace.cell_degc[-1] - 20.0) + 20.0 * (trace.surface_degc[-1] - 20.0),
        rel=0.01,
    )  # fmt: skip


def test_more_watts_settle_hotter_and_reach_the_limit() -> None:
    # at 40 W it settles so little above the limit that it gets there last of all
    mild, strong = worked(10.0)[2], worked(50.0)[2]
    assert mild is not None
    assert strong is not None
    assert strong.cell_degc > mild.cell_degc
    assert strong.cell_limit_after_s is not None
    assert 0 < strong.cell_limit_after_s < strong.settles_after_s


def test_a_run_without_length_has_no_mean_heat() -> None:
    design, trace, _ = worked(10.0)
    first = {
        name: getattr(trace, name)[:1]
        for name in ("time_s", "current_a", "voltage_v", "soc", "cell_degc", "surface_degc")
    }
    assert steady_heat(design, replace(trace, **first), ambient_degc=20.0) is None
