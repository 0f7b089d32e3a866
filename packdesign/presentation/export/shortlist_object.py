"""The shortlist as JSON of the machine contract and as CSV."""

from __future__ import annotations

import csv
import io
from collections.abc import Sequence
from typing import Any, Final

from packdesign.planning.shortlist.record import Candidate, Rejected, Shortlist
from packdesign.presentation.export.contract import SCHEMA, pack_object
from packdesign.presentation.export.plain import band, number

__all__ = ["CSV_COLUMNS", "shortlist_csv", "shortlist_object", "why_object"]

CSV_COLUMNS: Final = (
    "rank", "status", "cell", "series", "parallel", "arrangement", "capacity_ah", "energy_wh",
    "mass_g", "runtime_low_s", "runtime_mid_s", "runtime_high_s", "min_voltage_v",
    "peak_current_a", "peak_cell_degc", "margin", "margin_of", "because",
    "price", "currency",
)  # fmt: skip


def shortlist_object(
    found: Shortlist, *, with_all: bool = False, only: Sequence[Candidate] | None = None
) -> dict[str, Any]:
    """Give what ``packdesign shortlist --json`` prints.

    Parameters
    ----------
    found : Shortlist
        The shortlist.
    with_all : bool
        Whether every pack that was run is among the candidates, not only the best of each cell.
    only : sequence of Candidate or None
        Give these as the candidates instead.
    """
    listed = (*found.candidates, *found.others) if with_all else found.candidates
    listed = tuple(listed if only is None else only)
    return {
        "schema": SCHEMA,
        "candidates": [_candidate(each) for each in listed],
        "considered": found.considered,
        "fit": found.fit,
        "seconds": number(found.seconds),
        "run": found.run,
        "screened_s": number(found.screened_s),
        "why_not": [_rejected(each) for each in found.rejected],
    }


def shortlist_csv(listed: Sequence[Candidate]) -> str:
    """Write candidates as CSV, one a line.

    Parameters
    ----------
    listed : sequence of Candidate
        The candidates.
    """
    text = io.StringIO()
    writer = csv.writer(text, lineterminator="\n")
    writer.writerow(CSV_COLUMNS)
    for each in listed:
        pack, run = each.pack, each.run
        figures = (
            pack.capacity_ah, pack.energy_wh, pack.mass_g, run.run_time_s.low, run.run_time_s.mid,
            run.run_time_s.high, run.min_voltage_v.mid, run.peak_current_a, run.peak_cell_degc.mid,
            each.figures.margin_fraction,
        )  # fmt: skip
        writer.writerow(
            [each.rank, str(each.status), pack.cell, pack.series, pack.parallel, pack.arrangement]
            + ["" if number(value) is None else number(value) for value in figures]
            + [each.figures.margin_name, "; ".join(each.because)]
            + [*_money(each, unknown="")]
        )
    return text.getvalue()


def why_object(cell: str, fallen: Rejected | None) -> dict[str, Any]:
    """Give what ``packdesign shortlist --why CELL --json`` prints.

    Parameters
    ----------
    cell : str
        The cell asked about.
    fallen : Rejected or None
        None where a pack of it passes.
    """
    told = {"cell": cell} if fallen is None else _rejected(fallen)
    return {"schema": SCHEMA, "passes": fallen is None, **told}


def _candidate(each: Candidate) -> dict[str, Any]:
    run = each.run
    return {
        "pack": pack_object(each.pack),
        "discharge": {
            "runtime_s": band(run.run_time_s),
            "delivered_ah": number(run.delivered_ah),
            "delivered_wh": number(run.delivered_wh),
            "min_voltage_v": band(run.min_voltage_v),
            "peak_current_a": number(run.peak_current_a),
            "rms_current_a": number(run.rms_current_a),
            "peak_cell_degc": band(run.peak_cell_degc),
            "peak_surface_degc": number(run.peak_surface_degc),
            "ends_by": run.ends_by,
        },
        "rank": each.rank,
        "status": str(each.status),
        "because": list(each.because),
        "assessed_in_full": each.is_exact,
        "margin": number(each.figures.margin_fraction),
        "margin_of": each.figures.margin_name,
        "doubts": list(each.figures.doubts),
        **dict(zip(("price", "currency"), _money(each, unknown=None), strict=True)),
    }


def _money(each: Candidate, *, unknown: str | None) -> tuple[object, object]:
    """Price of all cells and its currency; unknown is never 0."""
    figures = each.figures
    if figures.price is None:
        return unknown, unknown
    return round(figures.price, 2), figures.currency


def _rejected(each: Rejected) -> dict[str, Any]:
    return {
        "cell": each.cell.name,
        "series": each.series,
        "parallel": each.parallel,
        "limit": each.limit,
        "reason": each.reason,
        "over": number(each.over_fraction),
        "change": each.change,
        "change_keys": dict(each.keys),
        "change_admits": each.admits,
    }
