"""Read a brief from a TOML file or from a mapping."""

from __future__ import annotations

import stat
import tomllib
from collections.abc import Mapping
from pathlib import Path
from typing import Any, Final

from pydantic import ValidationError

from packdesign.foundation.errors import BriefError
from packdesign.planning.brief.problems import brief_error
from packdesign.planning.brief.schema import Brief
from packdesign.planning.brief.section import BASE_FOLDER

__all__ = ["LARGEST_BYTES", "brief_from_mapping", "brief_from_text", "load_brief"]

LARGEST_BYTES: Final = 1_000_000


def load_brief(path: str | Path) -> Brief:
    """Read a brief from a TOML file; files it names are looked for beside it.

    Parameters
    ----------
    path : str or Path
        The file.

    Returns
    -------
    Brief
        The brief, in SI.

    Raises
    ------
    BriefError
        If the file cannot be read, is no TOML, or does not fit the schema.
    """
    path = Path(path)
    text = _text_of(path)
    return brief_from_text(text, name=path.name, base_folder=path.resolve().parent)


def brief_from_text(text: str, *, name: str = "brief", base_folder: Path | None = None) -> Brief:
    r"""Read a brief from the text of a TOML file.

    Parameters
    ----------
    text : str
        TOML.
    name : str
        Name of the brief, for messages.
    base_folder : Path or None
        Folder that relative file names start from; None leaves them as they are.

    Raises
    ------
    BriefError
        If it is no TOML or does not fit the schema.

    Examples
    --------
    >>> brief_from_text('[surroundings]\nambient = "22.8 degC"').surroundings.ambient_degc
    22.8
    """
    try:
        data = tomllib.loads(text)
    except tomllib.TOMLDecodeError as error:
        msg = f"{name}: not valid TOML: {_plain(str(error))}; text values stand in quotes"
        raise BriefError(msg) from None
    except (RecursionError, ValueError):
        msg = f"{name}: not valid TOML: a value is nested too deep or has too many digits"
        raise BriefError(msg) from None
    return brief_from_mapping(data, name=name, base_folder=base_folder)


def brief_from_mapping(
    data: Mapping[str, Any], *, name: str = "brief", base_folder: Path | None = None
) -> Brief:
    """Make a brief from a mapping of sections, as TOML would give it.

    Parameters
    ----------
    data : mapping
        Sections by name.
    name : str
        Name of the brief, for messages.
    base_folder : Path or None
        Folder that relative file names start from; None leaves them as they are.

    Raises
    ------
    BriefError
        If it does not fit the schema, or names a file that is not beside it.
    """
    try:
        brief = Brief.model_validate(data, context={BASE_FOLDER: base_folder})
    except ValidationError as found:
        raise brief_error(found, file=name) from None
    if base_folder is not None:
        _check_files(brief, name=name)
    return brief


def _check_files(brief: Brief, *, name: str) -> None:
    named = {
        "cell_table": brief.cell_table,
        "[load]: log": brief.load.log if brief.load else None,
        "[cavity]: mesh": brief.cavity.mesh if brief.cavity else None,
        "[measured]: cells": brief.measured.cells if brief.measured else None,
    }
    for key, path in named.items():
        if path is not None and not path.is_file():
            msg = f"{name}: {key} names '{path.name}', but there is no such file in {path.parent}"
            raise BriefError(msg)


def _text_of(path: Path) -> str:
    try:
        content = _content_of(path)
    except FileNotFoundError:
        msg = f"there is no file {path}; 'packdesign brief' writes one to start from"
        raise BriefError(msg) from None
    except OSError as error:
        msg = f"{path.name[:60]} cannot be read: {error.strerror}"
        raise BriefError(msg) from None
    try:
        return content.decode("utf-8-sig")
    except UnicodeDecodeError as error:
        msg = f"{path} is not UTF-8 text (byte {error.start}); save it as UTF-8"
        raise BriefError(msg) from None


def _content_of(path: Path) -> bytes:
    if "\0" in str(path):
        msg = "a file name cannot hold a null character"
        raise BriefError(msg)
    found = path.stat()
    if stat.S_ISDIR(found.st_mode):
        msg = f"{path} is a folder; name the TOML file in it"
        raise BriefError(msg)
    if not stat.S_ISREG(found.st_mode):
        msg = f"{path} is no plain file; name a TOML file"
        raise BriefError(msg)
    if found.st_size > LARGEST_BYTES:
        msg = f"{path} has {found.st_size} bytes; a brief has {LARGEST_BYTES} at most"
        raise BriefError(msg)
    return path.read_bytes()


def _plain(text: str) -> str:
    return text[:1].lower() + text[1:].rstrip(".")
