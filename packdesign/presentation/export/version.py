"""Which version of the program is running."""

from __future__ import annotations

from importlib.metadata import PackageNotFoundError, version

__all__ = ["program_version"]


def program_version() -> str:
    """Give the version that is installed, or say that none is."""
    try:
        return version("packdesign")
    except PackageNotFoundError:  # run from a checkout that was never installed
        return "not installed"
