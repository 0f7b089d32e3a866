"""The one measurement that would narrow a band most, and how to take it without harm."""

from __future__ import annotations

from typing import Final

from packdesign.engineering.discharge.cell_model import CellModel

__all__ = ["measurement_advice"]

_SAFETY: Final = (
    "Stay inside the maker's limits for current, voltage and temperature, work on a surface that "
    "does not burn with the cell fused and never left alone, and stop if it gets hot, swells or "
    "smells."
)

_KNOWN_BY: Final = ("measured", "re-fitted")
"""How the basis of an input begins that was read from the cells themselves."""

_MEASUREMENTS: Final = {
    "capacity": (
        "charge one cell full by its sheet, rest it an hour, discharge it at a fifth of its "
        "capacity per hour ({fifth_a:.2g} A) to {cutoff_v:.2f} V and count the ampere-hours"
    ),
    "resistance": (
        "on one cell near half charge and 25 degC, note the rested voltage, draw a steady "
        "{pulse_a:.2g} A for 10 s, note the voltage at its end with separate sense wires, and "
        "divide the drop by the current"
    ),
    "slow resistance": (
        "draw the current of the longest load from one cell for five minutes near half charge, "
        "log voltage and current, and re-fit from the log"
    ),
    "cold resistance": (
        "cool one cell to the lowest temperature of use for some hours (discharging only, never "
        "charge it cold), then read the drop over a 10 s load of {pulse_a:.2g} A"
    ),
    "warm resistance": (
        "warm one cell to the highest temperature it has in use (never above its limit), read the "
        "drop over a 10 s load of {pulse_a:.2g} A there, and once more at 25 degC"
    ),
    "lag in the cold": (
        "cool one cell to the lowest temperature of use for some hours, discharge it there at the "
        "current of the longest load to {cutoff_v:.2f} V (never charge it cold) and count the "
        "ampere-hours: so many the device has on such a day"
    ),
    "open-circuit voltage": (
        "discharge one cell at a twentieth of its capacity per hour ({twentieth_a:.2g} A) from "
        "full to {cutoff_v:.2f} V and log the voltage"
    ),
    "reversible heat": (
        "log the surface temperature of one cell over a slow discharge, a fifth of its capacity "
        "per hour ({fifth_a:.2g} A), with a rest after it, and re-fit from the log"
    ),
    "heat capacity": (
        "weigh one cell; better, log its surface temperature in the device over a discharge and "
        "re-fit from the log"
    ),
    "path resistance": (
        "with the pack assembled and fused, measure the drop from the cells' own terminals to the "
        "pack's terminals at a known current of a few ampere"
    ),
    "cooling": (
        "run the device at its usual load with a thermocouple on the middle cell until the "
        "temperature settles, then let it cool, log both and re-fit from the log"
    ),
}


def measurement_advice(
    ranking: tuple[tuple[str, float], ...], *, cell: CellModel, ranked_by: str
) -> str:
    """Say what to measure first.

    Parameters
    ----------
    ranking : tuple of (str, float)
        Inputs with their share in the doubt, largest first.
    cell : CellModel
        The cell, for the currents of the measurement.
    ranked_by : str
        The figure that is in doubt.

    Returns
    -------
    str
        Two or three sentences.
    """
    most, share = ranking[0]
    if share <= 0:
        return "No input moves the outcome noticeably; nothing needs measuring first."
    left = [each for each in ranking if each[1] > 0 and not _is_measured(each[0], cell)]
    words = f"Most of the doubt about the {ranked_by} ({share:.0%}) comes from {most}"
    if not left:
        return f"{words}, which was measured, as was all else that counts."
    name, next_share = left[0]
    if name != most:
        words += f", which was measured; of what was not, {name} counts most ({next_share:.0%})"
    how = _MEASUREMENTS[name].format(
        fifth_a=0.2 * cell.capacity_ah,
        twentieth_a=0.05 * cell.capacity_ah,
        pulse_a=cell.capacity_ah,
        cutoff_v=cell.cutoff_v,
    )
    return f"{words}. To narrow it: {how}. {_SAFETY}"


def _is_measured(name: str, cell: CellModel) -> bool:
    """Whether the cell says that this input was measured, or fitted to a log."""
    return cell.bases.get(name, "").startswith(_KNOWN_BY)
