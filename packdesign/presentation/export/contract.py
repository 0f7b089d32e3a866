"""The machine contract, schema 1: results as the objects that scripts depend on.

Keys named in the contract come first and never change within a schema; more may follow them.
"""

from __future__ import annotations

from collections.abc import Sequence
from typing import Any, Final

from packdesign.planning.assess.discharge import DischargeOutcome
from packdesign.planning.assess.judge_electrical import peak_current_a
from packdesign.planning.assess.loading import Loading
from packdesign.planning.assess.own_stop import own_stop_s
from packdesign.planning.assess.pack_figures import PackFigures, pack_figures
from packdesign.planning.assess.parts import (
    JudgedCharge,
    JudgedDischarge,
    JudgedGauge,
    JudgedPart,
)
from packdesign.planning.assess.record import Assessment
from packdesign.planning.assess.start_report import StartReport
from packdesign.planning.assess.steady_heat import SteadyHeat
from packdesign.planning.assess.weakest_group import WeakestGroup
from packdesign.planning.gauge.service import gauge_as_json
from packdesign.planning.verdicts.verdict import Verdict, overall_status
from packdesign.presentation.export.charge_object import charge_plan_object, charge_study_object
from packdesign.presentation.export.plain import band, number, numbers_in

__all__ = [
    "SCHEMA",
    "assessment_object",
    "charge_object",
    "discharge_object",
    "gauge_object",
    "pack_object",
    "verdict_objects",
]

SCHEMA: Final = 1


def assessment_object(assessment: Assessment, starts: Sequence[StartReport] = ()) -> dict[str, Any]:
    """Give what ``packdesign assess --json`` prints.

    Parameters
    ----------
    assessment : Assessment
        The whole job.
    starts : sequence of StartReport
        What each motor takes; not part of the contract's keys.
    """
    return {
        "schema": SCHEMA,
        "overall": str(assessment.overall),
        "pack": pack_object(pack_figures(assessment.design)),
        "discharge": {
            **_discharge(assessment.discharge, assessment.loading),
            "own_stop_s": number(
                own_stop_s(assessment.discharge.as_it_ends.trace, assessment.gauge)
            ),
        },
        "charge": charge_plan_object(assessment.charge),
        "gauge": numbers_in(gauge_as_json(assessment.gauge)),
        "verdicts": verdict_objects(assessment.verdicts),
        "cautions": list(assessment.cautions),
        "title": assessment.brief.title or "",
        "hazards": [verdict.id for verdict in assessment.hazards],
        "starts": [_start(each) for each in starts],
        "bases": dict(assessment.design.model.cell.bases),
        "cooling_basis": str(assessment.design.model.thermal.basis),
    }


def discharge_object(found: JudgedDischarge) -> dict[str, Any]:
    """Give what ``packdesign discharge --json`` prints.

    Parameters
    ----------
    found : JudgedDischarge
        The discharge with its verdicts.
    """
    return {
        "schema": SCHEMA,
        "pack": pack_object(pack_figures(found.design)),
        "discharge": _discharge(found.outcome, found.loading),
        "bases": dict(found.design.model.cell.bases),
        "cooling_basis": str(found.design.model.thermal.basis),
        **_judged(found),
    }


def charge_object(found: JudgedCharge) -> dict[str, Any]:
    """Give what ``packdesign charge --json`` prints.

    Parameters
    ----------
    found : JudgedCharge
        The charge plan with its verdicts.
    """
    return {
        "schema": SCHEMA,
        "pack": pack_object(pack_figures(found.design)),
        "charge": charge_plan_object(found.plan),
        **_judged(found),
        "study": charge_study_object(found.study),
    }


def gauge_object(found: JudgedGauge) -> dict[str, Any]:
    """Give what ``packdesign gauge --json`` prints.

    Parameters
    ----------
    found : JudgedGauge
        The gauge with its verdicts.
    """
    return {
        "schema": SCHEMA,
        "pack": pack_object(pack_figures(found.design)),
        "gauge": numbers_in(gauge_as_json(found.gauge)),
        **_judged(found),
    }


def _judged(found: JudgedPart) -> dict[str, Any]:
    return {
        "overall": str(overall_status(found.verdicts)),
        "verdicts": verdict_objects(found.verdicts),
        "cautions": list(found.cautions),
    }


def pack_object(figures: PackFigures) -> dict[str, Any]:
    """Give the object "pack" of the contract.

    Parameters
    ----------
    figures : PackFigures
        The pack.
    """
    return {
        "cell": figures.cell,
        "series": figures.series,
        "parallel": figures.parallel,
        "arrangement": figures.arrangement,
        "capacity_ah": number(figures.capacity_ah),
        "energy_wh": number(figures.energy_wh),
        "full_v": number(figures.full_v),
        "nominal_v": number(figures.nominal_v),
        "cutoff_v": number(figures.cutoff_v),
        "resistance_ohm": number(figures.resistance_ohm),
        "mass_g": number(figures.mass_g),
        "mass_is_estimated": figures.mass_is_estimated,
        "fits": figures.fits,
    }


def _discharge(outcome: DischargeOutcome, loading: Loading) -> dict[str, Any]:
    peak_a = peak_current_a(loading, outcome)
    outcome = outcome.as_it_ends
    summary, bands = outcome.summary, outcome.bands
    return {
        "runtime_s": band(outcome.run_time_s),
        "delivered_ah": number(summary.delivered_ah),
        "delivered_wh": number(summary.delivered_wh),
        "min_voltage_v": band(outcome.min_voltage_v),
        "peak_current_a": number(peak_a),
        "rms_current_a": number(summary.rms_current_a),
        "peak_cell_degc": band(outcome.peak_cell_degc),
        "peak_surface_degc": number(summary.peak_surface_degc),
        "ends_by": outcome.ends_by,
        "engine": str(outcome.engine),
        "end_soc": number(summary.end_soc),
        "doubt_about": bands.ranked_by,
        "doubts": [{"input": name, "share": number(share)} for name, share in bands.ranking],
        "measure_first": bands.advice,
        "weakest_group": None if outcome.weakest is None else _weakest(outcome.weakest),
        "used_on_and_on": None if outcome.steady is None else _steady(outcome.steady),
    }


def _weakest(found: WeakestGroup) -> dict[str, Any]:
    return {
        "share_of_run_time": band(found.share),
        "group": found.group,
        "cells": found.cells,
    }


def _steady(found: SteadyHeat) -> dict[str, float | None]:
    return {
        "heat_w_per_cell": number(found.heat_w),
        "cell_degc": number(found.cell_degc),
        "surface_degc": number(found.surface_degc),
        "settles_after_s": number(found.settles_after_s),
        "cell_limit_after_s": number(found.cell_limit_after_s),
    }


def verdict_objects(verdicts: Sequence[Verdict]) -> list[dict[str, Any]]:
    """Give the list "verdicts" of the contract.

    Parameters
    ----------
    verdicts : sequence of Verdict
        The verdicts.
    """
    return [
        {
            "id": verdict.id,
            "status": str(verdict.status),
            "value": number(verdict.value),
            "limit": number(verdict.limit),
            "unit": verdict.unit,
            "margin": number(verdict.margin),
            "reason": verdict.reason,
            "fix": verdict.fix,
            "basis": str(verdict.basis),
            "source": verdict.source,
        }
        for verdict in verdicts
    ]


def _start(report: StartReport) -> dict[str, Any]:
    passing = report.passing
    return {
        "motor": report.motor,
        "count": report.count,
        "start_battery_a": number(report.start_battery_a),
        "start_motor_a": number(report.start_motor_a),
        "steady_battery_a": number(report.steady_battery_a),
        "steady_motor_a": number(report.steady_motor_a),
        "steady_is_stalled": report.steady_is_stalled,
        "stall_battery_a": number(report.stall_battery_a),
        "stall_motor_a": number(report.stall_motor_a),
        "stall_is_limited": report.stall_is_limited,
        "lowest_rail_v": number(report.lowest_rail_v),
        "lowest_rail_time_s": number(report.lowest_rail_time_s),
        "lowest_rail_when": report.lowest_rail_when,
        "needed_rail_v": number(report.needed_rail_v),
        "ramp_s": number(report.ramp_s),
        "passing_ramp_s": None if passing is None else number(passing.value),
        "passing_ramp_hinges_on": "" if passing is None else passing.hinges_on,
        "passing_ramp_note": report.passing_note,
        "ways": list(report.ways),
    }
