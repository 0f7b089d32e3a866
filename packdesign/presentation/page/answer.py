"""The answer that stands beside the form at all times: dangers, verdict, worst thing, numbers."""

from __future__ import annotations

from collections.abc import Sequence
from typing import Final

from packdesign.engineering.demand.profile import Demand
from packdesign.planning.assess.design import PackDesign
from packdesign.planning.assess.judge_electrical import wished_run_time_s
from packdesign.planning.assess.likely import LikelyRun
from packdesign.planning.assess.own_stop import own_stop_s
from packdesign.planning.assess.record import Assessment
from packdesign.planning.brief.schema import Brief
from packdesign.planning.cautions import general_cautions
from packdesign.planning.verdicts.verdict import Status, Verdict
from packdesign.presentation.page.wording import (
    MARKS,
    WORDS,
    duration,
    escaped,
    figure,
    ordered,
    title_of,
    with_band,
)

__all__ = [
    "draw_advice",
    "draw_dangers",
    "draw_likely_numbers",
    "draw_list",
    "draw_numbers",
    "draw_verdict",
    "draw_verdict_to_come",
    "draw_verdicts",
]

_ALWAYS_SHOWN: Final = 2
_FEWEST_FOLDED: Final = 4


def draw_advice() -> None:
    """Draw what public safety bodies say: the gravest always, the rest one click away."""
    import streamlit as st

    general = general_cautions()
    first = "".join(f"<p>{escaped(each)}</p>" for each in general[:_ALWAYS_SHOWN])
    st.html(
        '<div class="pd-block pd-caution" role="note" aria-label="Safety advice">'
        f'<span class="pd-word">Before anything else</span>{first}</div>'
    )
    with st.expander(f"Safety advice in full: {len(general)} points for every pack"):
        draw_list(general)


def draw_dangers(hazards: Sequence[Verdict], cautions: Sequence[str] = ()) -> None:
    """Draw the hazards of this very pack: every stop in full, then cautions, then what is unknown.

    Parameters
    ----------
    hazards : sequence of Verdict
        What the gate found.
    cautions : sequence of str
        Cautions for this pack; those for every pack are left out here.
    """
    import streamlit as st

    found = ordered(tuple(hazards))
    stops = [each for each in found if each.status is Status.STOP]
    others = [each for each in found if each.status is Status.CAUTION]
    unknown = [each for each in found if each.status is Status.UNKNOWN]
    own = [each for each in cautions if each not in general_cautions()]
    draw_verdicts(stops)
    count = len(others) + len(own)
    if count:
        folded = count >= _FEWEST_FOLDED
        words = f"{MARKS[Status.CAUTION]} Cautions for this pack: {count}"
        with st.expander(words, expanded=not folded):
            draw_verdicts(others)
            draw_list(own)
    if unknown:
        words = f"{MARKS[Status.UNKNOWN]} Dangers that the brief does not rule out: {len(unknown)}"
        with st.expander(words):
            draw_verdicts(unknown)


def draw_list(lines: Sequence[str]) -> None:
    """Draw sentences as a list; nothing where there are none.

    Parameters
    ----------
    lines : sequence of str
        The sentences.
    """
    import streamlit as st

    items = "".join(f"<li>{escaped(each)}</li>" for each in lines)
    if items:
        st.html(f'<div class="pd-plain"><ul>{items}</ul></div>')


def draw_verdicts(verdicts: Sequence[Verdict]) -> None:
    """Draw verdicts as blocks: status in sign and word, what was found, what to do.

    Parameters
    ----------
    verdicts : sequence of Verdict
        The verdicts; nothing is drawn where there are none.
    """
    import streamlit as st

    if verdicts:
        st.html("".join(_block(each) for each in verdicts))


def _block(verdict: Verdict) -> str:
    status = verdict.status
    fix = f"<p><strong>Do:</strong> {escaped(verdict.fix)}</p>" if verdict.fix else ""
    source = f"; {escaped(verdict.source)}" if verdict.source else ""
    return (
        f'<div class="pd-block pd-{status.value}">'
        f'<span class="pd-word"><span class="pd-sign" aria-hidden="true">{MARKS[status]}</span>'
        f"{WORDS[status]}: {escaped(title_of(verdict))}</span>"
        f"<p>{escaped(verdict.reason)}</p>{fix}"
        f'<p class="pd-from">Basis: {verdict.basis.value}{source}</p></div>'
    )


def draw_verdict_to_come() -> None:
    """Draw the place of the verdict while there is none yet."""
    import streamlit as st

    st.html(
        '<div class="pd-block pd-unknown" role="status"><span class="pd-word">'
        f'<span class="pd-sign" aria-hidden="true">{MARKS[Status.UNKNOWN]}</span>'
        "The verdict follows in a moment</span></div>"
    )


def draw_verdict(judged: Assessment, *, is_of_before: bool = False) -> None:
    """Draw the overall verdict with the worst thing in it.

    Parameters
    ----------
    judged : Assessment
        The judged pack.
    is_of_before : bool
        Whether it is that of before the last change.
    """
    import streamlit as st

    worst = ordered(judged.told)[0] if judged.told else None
    overall = judged.overall
    counts = [
        (sum(each.status is status for each in judged.told), WORDS[status].lower())
        for status in (Status.STOP, Status.CAUTION, Status.UNKNOWN, Status.OK)
    ]
    tally = ", ".join(f"{count} {word}" for count, word in counts if count)
    reason = "" if worst is None or worst.status is Status.OK else (
        f"<p><strong>Worst first:</strong> {escaped(worst.reason)}</p>"
        + (f"<p><strong>Do:</strong> {escaped(worst.fix)}</p>" if worst.fix else "")
    )  # fmt: skip
    st.html(
        f'<div class="pd-block pd-{overall.value}" role="status">'
        f'<span class="pd-word"><span class="pd-sign" aria-hidden="true">{MARKS[overall]}</span>'
        f"{_OF_BEFORE if is_of_before else ''}{_OVERALL[overall]}</span>{reason}"
        f'<p class="pd-from">{_pack_words(judged)}. Checks: {tally}.</p></div>'
    )


_OVERALL: Final[dict[Status, str]] = {
    Status.STOP: "Stop: do not build this pack as it is",
    Status.CAUTION: "Caution: read what follows before you build it",
    Status.UNKNOWN: "Not known: too little is told to judge it",
    Status.OK: "In order, as far as this program can see",
}

_OF_BEFORE: Final = "Before your last change: "
_SETTLED: Final = "Settled: the command line gives the same figures."
_NOT_SETTLED: Final = (
    "Not settled yet: likely values alone. Ranges and checks follow; above stands what was before."
)


def _pack_words(judged: Assessment) -> str:
    design = judged.design
    return (
        f"{design.series} in series, {design.parallel} in parallel of {escaped(design.cell.name)}: "
        f"{figure(design.nominal_v, 'V')}, {figure(design.capacity_ah, 'Ah')}, "
        f"{figure(design.energy_wh, 'Wh')}"
    )


def draw_numbers(judged: Assessment) -> None:
    """Draw the three numbers that matter: how long, how low, how hot; each with its range.

    Parameters
    ----------
    judged : Assessment
        The judged pack.
    """
    run, low, hot = (
        judged.discharge.run_time_s, judged.discharge.as_it_ends.min_voltage_v,
        judged.discharge.peak_cell_degc,
    )  # fmt: skip
    stop_s = (
        own_stop_s(judged.discharge.as_it_ends.trace, judged.gauge)
        if judged.brief.monitor
        else None
    )
    stops = "" if stop_s is None else f"; the device stops by itself after {duration(stop_s)}"
    spans = (
        f"{duration(run.low)} to {duration(run.high)}; ends by {judged.discharge.ends_by}{stops}",
        with_band(low, "V"),
        f"{with_band(hot, 'degC')} on an ordinary day",
    )
    demand, design = judged.loading.demand, judged.design
    held = (_wanted(judged.brief, demand), _needed(demand, design), _allowed(design))
    _draw_figures((run.mid, low.mid, hot.mid), spans, held, state=_SETTLED)


def draw_likely_numbers(run: LikelyRun) -> None:
    """Draw the three numbers of the likely run alone, marked as not settled.

    Parameters
    ----------
    run : LikelyRun
        The run.
    """
    found = run.summary
    spans = (f"range follows; ends by {run.ends_by}", "range follows",
             "range follows; on an ordinary day")  # fmt: skip
    held = (_wanted(run.brief, run.demand), _needed(run.demand, run.design), _allowed(run.design))
    _draw_figures(
        (found.run_time_s, found.min_voltage_v, found.peak_cell_degc),
        spans,
        held,
        state=_NOT_SETTLED,
    )


def _draw_figures(
    values: tuple[float, float, float], spans: Sequence[str], held: Sequence[str], *, state: str
) -> None:
    import streamlit as st

    run_s, low_v, hot_degc = values
    shown = (
        ("It runs for", duration(run_s)),
        ("Its voltage falls to", figure(low_v, "V")),
        ("Its cells get as hot as", figure(hot_degc, "degC")),
    )
    html = "".join(
        f"<div><dt>{name}</dt><dd>{escaped(value)}</dd>"
        f'<dd class="pd-small">{escaped(span)}</dd><dd class="pd-small">{escaped(limit)}</dd></div>'
        for (name, value), span, limit in zip(shown, spans, held, strict=True)
    )
    kind = "pd-settled" if state == _SETTLED else "pd-unsettled"
    st.html(
        f'<dl class="pd-numbers {kind}" aria-label="The three numbers that matter">{html}</dl>'
        f'<p class="pd-state {kind}">{state}</p>'
    )


def _wanted(brief: Brief, demand: Demand) -> str:
    wished_s = wished_run_time_s(brief, demand)
    mission = brief.mission
    if mission is None or wished_s is None:
        return "how long it should run is not said"
    if mission.uses is None:
        return f"wanted: {duration(wished_s)}"
    uses = "1 use" if mission.uses == 1 else f"{mission.uses} uses"
    if mission.run_time_s is None:
        return f"wanted: {uses} = {duration(wished_s)}"
    return f"wanted: {duration(mission.run_time_s)} and {uses}, the longer {duration(wished_s)}"


def _needed(demand: Demand, design: PackDesign) -> str:
    if demand.minimum_v <= 0:
        return f"cells empty at {figure(design.cutoff_v, 'V')}"
    return f"{demand.minimum_v_device} needs {figure(demand.minimum_v, 'V')}"


def _allowed(design: PackDesign) -> str:
    return f"the cell allows {figure(design.cell.discharge_max_degc, 'degC')}"
