"""A re-fit on the terminal: what the logs say, and how far predictions lay off before and after."""

from __future__ import annotations

from typing import TYPE_CHECKING, Final

from packdesign.engineering.discharge.nodes import OCV_NODES
from packdesign.presentation.cli.screen import heading, indented, plain_table, show_table
from packdesign.presentation.cli.words import amount

if TYPE_CHECKING:
    from rich.console import Console

    from packdesign.foundation.basis import Band
    from packdesign.planning.assess.log_fit import FittedLog, LogFit

__all__ = ["show_refit"]

_NOT_TOLD: Final = "no log tells"


def show_refit(console: Console, found: LogFit) -> None:
    """Show a re-fit.

    Parameters
    ----------
    console : Console
        Where.
    found : LogFit
        The fit.
    """
    fit = found.fit
    heading(console, "What the logs say")
    table = plain_table("what", "likely", "low", "high", "unit", numbers=3)
    rows: tuple[tuple[str, Band | None, str], ...] = (
        ("resistance, relative to before", fit.resistance_factor, ""),
        ("capacity of a cell", fit.capacity_ah, "Ah"),
        ("heat loss of a cell", fit.heat_loss_w_per_k, "W/K"),
        ("thermal mass beside a cell", fit.added_thermal_mass_j_per_k, "J/K"),
        ("open-circuit voltage over temperature", found.entropic_shift_mv_per_k, "mV/K"),
    )
    for what, band, unit in rows:
        if band is None:
            table.add_row(what, _NOT_TOLD)
            continue
        table.add_row(what, *(amount(each, "") for each in (band.mid, band.low, band.high)), unit)
    show_table(console, table)
    indented(console, "Low and high are the ends of the 95 % interval.")
    moved = ", ".join(amount(each * 1000, "") for each in fit.ocv_shift_v.tolist())
    at = ", ".join(f"{100 * each:g}" for each in OCV_NODES)
    indented(console, f"Open-circuit voltage of a cell moved by {moved} mV at {at} % charge.")
    indented(
        console,
        f"A cell has {amount(found.resistance_ohm * 1000, 'mohm')} "
        "(half charged, 20 degC, after 10 s at 1C).",
    )
    heading(console, "Predictions against the logs")
    for each in found.logs:
        _show_errors(console, each)
    indented(
        console,
        "An error on a log that was fitted says little of other loads: hold another log, at "
        "another current, against the new brief before you trust it.",
    )


def _show_errors(console: Console, found: FittedLog) -> None:
    indented(console, found.words)
    table = plain_table("error", "before", "after", numbers=2)
    before, after = found.errors_before, found.errors_after
    for what, one, other, unit in (
        ("voltage, root mean square", before.rms_v * 1000, after.rms_v * 1000, "mV"),
        ("voltage, mean", before.bias_v * 1000, after.bias_v * 1000, "mV"),
        ("delivered energy", before.energy_percent, after.energy_percent, "%"),
        ("rise of the surface at the end", before.rise_error_k, after.rise_error_k, "K"),
    ):
        table.add_row(what, amount(one, unit), amount(other, unit))
    show_table(console, table)
