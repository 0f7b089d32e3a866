"""A short name for what a brief says, the files it names included, wherever they lie."""

from __future__ import annotations

import hashlib
from pathlib import Path
from typing import Final

from packdesign.planning.brief.dump import brief_to_toml
from packdesign.planning.brief.schema import Brief

__all__ = ["brief_digest"]

_DIGITS: Final = 12


def brief_digest(brief: Brief) -> str:
    """Name a brief by its contents: two that say the same have the same name.

    Parameters
    ----------
    brief : Brief
        The brief, its files resolved. Names of folders do not count, contents of files do.

    Returns
    -------
    str
        Twelve hexadecimal digits.

    Raises
    ------
    OSError
        If a file it names cannot be read.

    Examples
    --------
    >>> brief_digest(Brief(title="lamp")) == brief_digest(Brief(title="lamp"))
    True
    """
    found = hashlib.sha256()
    bare = brief
    for section, key in (
        (None, "cell_table"), ("load", "log"), ("cavity", "mesh"), ("measured", "cells"),
    ):  # fmt: skip
        holder = brief if section is None else getattr(brief, section)
        path: Path | None = None if holder is None else getattr(holder, key)
        if holder is None or path is None:
            continue
        found.update(path.read_bytes())
        named = holder.model_copy(update={key: Path(path.name)})
        bare = named if section is None else bare.model_copy(update={section: named})
    found.update(brief_to_toml(bare).encode())
    return found.hexdigest()[:_DIGITS]
