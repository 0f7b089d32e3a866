"""The engines by the names the command line takes, without importing any of them."""

from __future__ import annotations

from enum import StrEnum

__all__ = ["EngineChoice"]


class EngineChoice(StrEnum):
    """What runs the likely discharge; the band always comes from the fast engine."""

    FAST = "fast"
    PYBAMM = "pybamm"
    PHYSICS = "physics"
