"""The measured log that a brief names."""

from __future__ import annotations

from packdesign.engineering.demand.measured_log import LogColumns, MeasuredLog, read_log
from packdesign.foundation.errors import BriefError
from packdesign.planning.brief.schema import Brief

__all__ = ["read_log_of"]


def read_log_of(brief: Brief) -> MeasuredLog:
    """Read the log of a brief.

    Parameters
    ----------
    brief : Brief
        A brief with ``[load] log``.

    Raises
    ------
    BriefError
        If it names none.
    LogError
        If the log cannot be used.
    """
    section = brief.load
    if section is None or section.log is None:
        msg = "the brief names no [load] log"
        raise BriefError(msg)
    columns = LogColumns(
        time=section.time_column,
        current=section.current_column,
        voltage=section.voltage_column,
        temperature=section.temperature_column,
        time_unit=section.time_unit,
        current_unit=section.current_unit,
        discharge_is_negative=section.discharge_sign == "negative",
    )
    return read_log(section.log, columns=columns, repeats=section.repeats)
