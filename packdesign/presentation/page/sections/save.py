"""What can be taken away; the first line of every result says what is wrong with the pack."""

from __future__ import annotations

import datetime
import json
from typing import Final

from packdesign.planning.assess.record import Assessment
from packdesign.planning.verdicts.verdict import Status, Verdict
from packdesign.presentation.export.contract import assessment_object
from packdesign.presentation.export.plain import object_text
from packdesign.presentation.export.sheet_object import sheet_object
from packdesign.presentation.page import cached
from packdesign.presentation.page.draft import Draft
from packdesign.presentation.page.taken import save_button
from packdesign.presentation.page.wording import WORDS, figure, ordered, title_of
from packdesign.presentation.sheet.service import BuildSheet, build_sheet

__all__ = ["first_line", "render", "result_json", "sheet_of", "trace_csv", "verdict_text"]

_DOUBTFUL: Final = {Status.CAUTION, Status.UNKNOWN}
_COLUMNS: Final = ("time_s", "current_a", "voltage_v", "voltage_low_v", "voltage_high_v", "soc",
                   "cell_degc", "surface_degc")  # fmt: skip


def render(draft: Draft, judged: Assessment) -> None:
    """Draw the section.

    Parameters
    ----------
    draft : Draft
        What the builder is working on.
    judged : Assessment
        The judged pack.
    """
    import streamlit as st

    st.subheader("Take it away")
    _draw_sheet(draft, judged)
    line = first_line(judged)
    if judged.overall is Status.STOP:
        st.error(f"Each file below begins with: {line}")
    else:
        st.write(f"Each file below begins with: {line}")
    save_button("The brief (TOML), for the command line", draft.text, name="brief.toml",
                mime="application/toml", key="save.brief")  # fmt: skip
    save_button("The judged pack (JSON)", result_json(draft, judged),
                name="assessment.json", mime="application/json",
                key="save.json")  # fmt: skip
    save_button("The checks and cautions (text)", verdict_text(judged),
                name="checks.txt", mime="text/plain", key="save.text")  # fmt: skip
    save_button("The discharge over time (CSV)", trace_csv(judged),
                name="discharge.csv", mime="text/csv", key="save.trace")  # fmt: skip
    st.caption("The brief is what you typed, not a result, so it begins as it is. On the command "
               "line, 'packdesign assess brief.toml --json' gives the same figures.")  # fmt: skip


def _draw_sheet(draft: Draft, judged: Assessment) -> None:
    """Offer the build sheet to print, and its twin for machines."""
    import streamlit as st

    sheet = sheet_of(draft, judged)
    word = sheet.facts.overall.value.upper()
    save_button("The build sheet (HTML), to print for the bench", sheet.html,
                name="build_sheet.html", mime="text/html",
                key="save.sheet")  # fmt: skip
    save_button("The build sheet for machines (JSON)",
                object_text(sheet_object(sheet)), name="build_sheet.json",
                mime="application/json", key="save.sheet_json")  # fmt: skip
    st.caption(f"The sheet says {word} on every page. Open it in any browser and print it, or have "
               "'packdesign sheet brief.toml --out sheet.pdf' make a PDF.")  # fmt: skip


def sheet_of(draft: Draft, judged: Assessment) -> BuildSheet:
    """Write the build sheet as the command line does.

    Parameters
    ----------
    draft : Draft
        What the builder is working on.
    judged : Assessment
        The judged pack.
    """
    return build_sheet(judged, starts=cached.starts_of(draft), made_on=datetime.date.today())


def first_line(judged: Assessment) -> str:
    """Give the line that heads every result: the verdict, and what is wrong.

    Parameters
    ----------
    judged : Assessment
        The judged pack.
    """
    word = judged.overall.value.upper()
    if judged.overall is Status.OK:
        return word
    grave = {Status.STOP} if judged.overall is Status.STOP else _DOUBTFUL
    named = "; ".join(title_of(each) for each in ordered(judged.told) if each.status in grave)
    return f"{word}: {named}"


def result_json(draft: Draft, judged: Assessment) -> str:
    """Write the object of the machine contract, its first line saying what is wrong.

    Parameters
    ----------
    draft : Draft
        What the builder is working on.
    judged : Assessment
        The judged pack.
    """
    text = object_text(assessment_object(judged, cached.starts_of(draft)))
    return f'{{"first": {json.dumps(first_line(judged))},\n{text.lstrip()[1:].lstrip()}'


def verdict_text(judged: Assessment) -> str:
    """Write checks and cautions as plain text.

    Parameters
    ----------
    judged : Assessment
        The judged pack.
    """
    lines = [first_line(judged), "", *judged.cautions, ""]
    lines += [_line(each) for each in ordered(judged.told)]
    return "\n".join(lines) + "\n"


def _line(verdict: Verdict) -> str:
    value = "" if verdict.value is None else f" {figure(verdict.value, verdict.unit)}"
    limit = "" if verdict.limit is None else f" (limit {figure(verdict.limit, verdict.unit)})"
    fix = f" Do: {verdict.fix}" if verdict.fix else ""
    head = f"{WORDS[verdict.status]}: {title_of(verdict)}{value}{limit}."
    return f"{head} {verdict.reason}{fix} [{verdict.basis.value}; {verdict.source or 'no source'}]"


def trace_csv(judged: Assessment) -> str:
    """Write the discharge over time with its band, a comment on the first line.

    Parameters
    ----------
    judged : Assessment
        The judged pack.
    """
    bands = judged.discharge.bands
    trace, low, high = bands.trace, bands.voltage_low_v, bands.voltage_high_v
    lines = [f"# {first_line(judged)}", ",".join(_COLUMNS)]
    if trace is None or low is None or high is None:
        return "\n".join(lines) + "\n"
    columns = (trace.time_s, trace.current_a, trace.voltage_v, low, high, trace.soc,
               trace.cell_degc, trace.surface_degc)  # fmt: skip
    for row in zip(*(column.tolist() for column in columns), strict=True):
        lines.append(",".join(f"{value:.9g}" for value in row))
    return "\n".join(lines) + "\n"
