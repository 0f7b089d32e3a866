"""A brief that names no cell: the shortlist chooses, and the command says so."""

from __future__ import annotations

from collections.abc import Callable
from typing import TYPE_CHECKING

from packdesign.presentation.cli.screen import messages

if TYPE_CHECKING:
    from packdesign.planning.brief.schema import Brief

__all__ = ["with_pack"]


def with_pack(brief: Brief, tell: Callable[[str, float], None]) -> Brief:
    """Give the brief with a pack in it.

    Parameters
    ----------
    brief : Brief
        The brief.
    tell : callable
        Told how far the work is.
    """
    if brief.pack is not None and brief.pack.cell is not None:
        return brief
    from packdesign.planning.shortlist.chosen import with_chosen_pack

    found, name = with_chosen_pack(brief, progress=tell)
    messages().print(f"the brief names no cell; the shortlist chose {name}", soft_wrap=True)
    return found
