"""Every error that packdesign raises on purpose, as one tree.

::

    PackDesignError
    ├── InputError (ValueError)        the request makes no sense as written; exit status 2
    │   ├── UnitError                  a quantity has no unit, or one of the wrong kind
    │   ├── OutOfRangeError            a number outside what is possible or published
    │   │   └── OverloadError          more is asked than a pack can give at any voltage
    │   ├── UnknownNameError           no such cell, key, example; carries the nearest ones
    │   ├── BriefError                 a brief that does not fit the schema
    │   ├── TableError                 a row of a CSV table that cannot be used
    │   └── LogError                   a measured log that cannot be used
    └── SolverError (RuntimeError)     an engine found no solution where there should be one

A message says what, got, allowed, where, and what to do. "It does not fit" or "too hot" is not
an error: it is a verdict.
"""

from __future__ import annotations

import difflib
import functools
from collections.abc import Iterable
from typing import Final

__all__ = [
    "BriefError",
    "InputError",
    "LogError",
    "OutOfRangeError",
    "OverloadError",
    "PackDesignError",
    "SolverError",
    "TableError",
    "UnitError",
    "UnknownNameError",
    "nearest_names",
]


class PackDesignError(Exception):
    """Root of every error raised on purpose."""


class InputError(PackDesignError, ValueError):
    """The request cannot be used as written."""


class UnitError(InputError):
    """A quantity without a unit, or with one of the wrong kind."""


class OutOfRangeError(InputError):
    """A number outside what is possible or what a source covers."""


class OverloadError(OutOfRangeError):
    """More power is asked than a source can give at any voltage."""


class BriefError(InputError):
    """A brief that does not fit the schema."""


class TableError(InputError):
    """A row of a table that cannot be used.

    Parameters
    ----------
    file : str
        Name of the table.
    line : int
        Line in the file, the heading being line 1.
    column : str
        Heading of the column.
    problem : str
        What was found and what is accepted.
    """

    def __init__(self, *, file: str, line: int, column: str, problem: str) -> None:
        self.file, self.line, self.column, self.problem = file, line, column, problem
        super().__init__(f"{file} line {line}, column {column}: {problem}")


class LogError(InputError):
    """A measured log that cannot be used."""


_FEW_NAMES: Final = 12
"""So many names are all told where none is near. [-]"""


class UnknownNameError(InputError):
    """No such name; the nearest known ones are offered.

    Parameters
    ----------
    kind : str
        What was looked for ("cell", "key", "example").
    name : str
        What was asked for.
    known : iterable of str
        Every name that exists.
    where : str
        Where the name was written, empty if it needs no saying.
    """

    def __init__(self, *, kind: str, name: str, known: Iterable[str], where: str = "") -> None:
        self.kind, self.name, self.where = kind, name, where
        every = tuple(known)
        self.nearest = nearest_names(name, every)
        place = f"{where}: " if where else ""
        offer = f"; nearest: {', '.join(self.nearest)}" if self.nearest else ""
        if not offer and 0 < len(every) <= _FEW_NAMES:
            offer = f"; there are: {', '.join(every)}"
        super().__init__(f"{place}no {kind} named '{name}'{offer}")


class SolverError(PackDesignError, RuntimeError):
    """An engine found no solution where there should be one."""


def nearest_names(name: str, known: Iterable[str], *, count: int = 3) -> tuple[str, ...]:
    """Give the known names most like the one asked for, best first.

    Parameters
    ----------
    name : str
        What was asked for.
    known : iterable of str
        Every name that exists.
    count : int
        How many to give at most. [-]

    Returns
    -------
    tuple of str
        Up to ``count`` names, empty where nothing is alike.

    Examples
    --------
    >>> nearest_names("bor", ["bore", "length"])
    ('bore',)
    """
    return _nearest(name, tuple(known), count)


@functools.lru_cache(maxsize=256)
def _nearest(name: str, known: tuple[str, ...], count: int) -> tuple[str, ...]:
    """Search once for a name: a table may be asked for the same one for every cell."""
    by_lower: dict[str, str] = {}
    for each in known:
        by_lower.setdefault(each.lower(), each)
    hits = difflib.get_close_matches(name.lower(), list(by_lower), n=count, cutoff=0.5)
    inside = [low for low in by_lower if name.lower() in low and low not in hits]
    return tuple(by_lower[hit] for hit in [*hits, *inside][:count])
