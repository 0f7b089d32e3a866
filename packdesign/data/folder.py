"""Where the shipped tables lie: beside the package in a checkout, inside it once installed."""

from __future__ import annotations

from pathlib import Path

from packdesign.foundation.errors import InputError

__all__ = ["table_path"]

_PACKAGE = Path(__file__).resolve().parent.parent


def table_path(name: str) -> Path:
    """Path of a shipped table.

    Parameters
    ----------
    name : str
        File below ``cell_data``, with forward slashes: "cells.csv", "chemistries/ocv.csv".

    Returns
    -------
    Path
        The file.

    Raises
    ------
    InputError
        If the table is in neither place.

    Examples
    --------
    >>> table_path("cells.csv").name
    'cells.csv'
    """
    places = (_PACKAGE / "cell_data", _PACKAGE.parent / "cell_data")
    for folder in places:
        if (folder / name).is_file():
            return folder / name
    looked = " or ".join(str(folder) for folder in places)
    msg = f"shipped table '{name}' is missing; looked in {looked}; install packdesign again"
    raise InputError(msg)
