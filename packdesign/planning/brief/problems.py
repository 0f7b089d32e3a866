"""Turn what pydantic found into one sentence for the builder: where, what, got, allowed."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any, Final

from pydantic import ValidationError
from pydantic_core import ErrorDetails

from packdesign.foundation.errors import BriefError, nearest_names
from packdesign.planning.brief.section import OWN_FIELD, OWN_KEY, OWN_SECTION

__all__ = ["brief_error"]

_LONGEST_SHOWN: Final = 60
_KINDS: Final = {
    "bool_type": "true or false, without quotes",
    "int_type": "a whole number, without quotes",
    "int_from_float": "a whole number",
    "int_parsing": "a whole number",
    "float_type": "one number",
    "float_parsing": "one number",
    "finite_number": "a finite number",
    "string_type": "words in quotes",
    "tuple_type": "a list, in square brackets",
    "model_type": "a table of its own",
    "model_attributes_type": "a table of its own",
    "path_type": "a file name in quotes",
    "string_too_short": "at least one character",
    "string_too_long": "fewer characters",
}


def brief_error(found: ValidationError, *, file: str) -> BriefError:
    """Make the one error for all that was found.

    Parameters
    ----------
    found : ValidationError
        What pydantic says.
    file : str
        Name of the brief, for the message.

    Returns
    -------
    BriefError
        Naming the file, the section, the key, what was got and what is allowed.
    """
    problems = found.errors(include_url=False)
    first = problems[0]
    where, text = _sentence(first)
    more = len(problems) - 1
    tail = f" (and {more} more problem{'s' if more > 1 else ''} after this one)" if more else ""
    return BriefError(f"{file}: {where}{text}{tail}")


def _sentence(problem: ErrorDetails) -> tuple[str, str]:
    kind, location = problem["type"], list(problem["loc"])
    context: dict[str, Any] = problem.get("ctx") or {}
    if kind == OWN_SECTION:
        return _place(location), str(context["text"])
    key = str(location[-1]) if location else "the brief"
    if isinstance(location[-1] if location else None, int):
        key = f"{location[-2]} number {int(location[-1]) + 1}"
        location = location[:-1]
    place = _place(location[:-1])
    if kind == OWN_KEY:
        return place, str(context["text"])
    if kind == OWN_FIELD:
        return place, f"{key} {context['text']}"
    return place, f"{key} is {_shown(problem['input'])}; allowed: {_allowed(problem, context)}"


def _place(location: list[int | str]) -> str:
    names = [part for part in location if isinstance(part, str)]
    numbers = [part + 1 for part in location if isinstance(part, int)]
    if not names:
        return ""
    number = f" (number {', '.join(map(str, numbers))})" if numbers else ""
    brackets = ("[[", "]]") if location and isinstance(location[-1], int) else ("[", "]")
    return f"{brackets[0]}{'.'.join(names)}{brackets[1]}{number}: "


def _allowed(problem: ErrorDetails, context: dict[str, Any]) -> str:
    kind = problem["type"]
    if kind == "literal_error":
        expected = str(context["expected"]).replace("' or '", "', '")
        choices = [choice.strip(" '") for choice in expected.split(",")]
        nearest = nearest_names(str(problem["input"]), choices)
        offer = f"; nearest: {nearest[0]}" if nearest else ""
        return ", ".join(choices) + offer
    limits = {"greater_than_equal": ("ge", "at least"), "greater_than": ("gt", "above"),
              "less_than_equal": ("le", "at most"), "less_than": ("lt", "below")}  # fmt: skip
    if kind in limits:
        name, words = limits[kind]
        return f"{words} {context[name]:g}"
    if kind == "tuple_type" and isinstance(problem["input"], Mapping):
        return f"tables in double brackets, [[{problem['loc'][-1]}]]"
    return _KINDS.get(kind, "something else; see the starting brief")


def _shown(value: object) -> str:
    text = f"'{value}'" if isinstance(value, str) else str(value)
    if isinstance(value, bool):
        text = text.lower()
    return text if len(text) <= _LONGEST_SHOWN else f"{text[: _LONGEST_SHOWN - 3]}..."
