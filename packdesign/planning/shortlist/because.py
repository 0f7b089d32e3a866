"""Say in words why a pack stands where it stands."""

from __future__ import annotations

from typing import Final

from packdesign.planning.shortlist.ranking import CRITERIA, SAFETY_STEP, Ranked
from packdesign.planning.verdicts.verdict import Status, Verdict

__all__ = ["because", "limit_words"]

_LIMITS: Final = {
    "continuous_current": "steady current of a cell",
    "burst_current": "peak current of a cell",
    "cell_temperature": "temperature of the hottest cell",
    "surface_temperature": "temperature of what the hand holds",
    "charge_current": "charge current of a cell",
    "voltage_min": "lowest voltage at a device",
    "voltage_max": "highest voltage at a device",
    "run_time": "run time against the wish",
}
_BAND: Final = 1e-3
_REASONS: Final = 3


def because(each: Ranked, *, above: Ranked | None) -> tuple[str, ...]:
    """Give the reasons for a place, most important first.

    Parameters
    ----------
    each : Ranked
        The pack.
    above : Ranked or None
        The one ranked before it.
    """
    figures = each.pack.figures
    found = [
        f"stops every pack: {verdict.reason}" if verdict.id in each.pack.shared else verdict.reason
        for verdict in each.pack.verdicts
        if verdict.status is Status.STOP
    ]
    found += [
        f"not known: {limit_words(verdict)}"
        for verdict in each.pack.verdicts
        if verdict.status is Status.UNKNOWN and verdict.id in _LIMITS
    ]
    if figures.margin_name and not figures.stops:
        found.append(_margin(each))
    found += [f"{doubt}; it stands below an equal one that was seen" for doubt in figures.doubts]
    if above is not None and not figures.stops:
        found.append(_against(each, above))
    found.append(_strong_points(each))
    return tuple(text for text in found if text)


def limit_words(verdict: Verdict) -> str:
    """Say which limit a verdict is about.

    Parameters
    ----------
    verdict : Verdict
        The verdict.
    """
    return next(
        (words for name, words in _LIMITS.items() if verdict.id.startswith(name)),
        verdict.id.replace("_", " "),
    )


def _margin(each: Ranked) -> str:
    figures = each.pack.figures
    verdict = next((one for one in each.pack.verdicts if one.id == figures.margin_name), None)
    if verdict is None:
        return ""
    percent = figures.margin_fraction * 100
    if figures.safety >= 1.0:
        return f"margin enough everywhere; nearest: {percent:.0f} %, {limit_words(verdict)}"
    return f"nearest limit {percent:.0f} % away: {limit_words(verdict)}"


def _against(each: Ranked, above: Ranked) -> str:
    """Tell what put the pack below the one before it."""
    mine, its = each.pack.figures, above.pack.figures
    name = above.pack.trial.name
    if mine.unknown and not its.unknown:
        return f"below {name}, whose limits are all known"
    if each.step < above.step:
        return f"below {name}, which keeps more margin"
    if mine.doubts and not its.doubts:
        return f"as safe as {name}, but not all its figures were seen"
    step = f"within {SAFETY_STEP * 100:.0f} % of the margin that is enough"
    gaps = {
        one: above.parts.get(one, 0.0) - each.parts.get(one, 0.0)
        for one in {*above.parts, *each.parts}
    }
    lost = max(gaps, key=lambda one: gaps[one], default="")
    if not lost or gaps[lost] <= _BAND:
        return f"level with {name} ({step}): the name decides"
    return f"as safe as {name} ({step}); that one is better in {CRITERIA[lost].words}"


def _strong_points(each: Ranked) -> str:
    best = sorted(each.parts, key=lambda name: -each.parts[name])[:_REASONS]
    words = [CRITERIA[name].words for name in best if each.parts[name] > _BAND]
    return f"strong in: {', '.join(words)}" if words else ""
