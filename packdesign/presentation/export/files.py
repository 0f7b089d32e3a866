"""Writing a file whole or not at all, and never over what the job was made from."""

from __future__ import annotations

import contextlib
import os
import secrets
from collections.abc import Iterable
from pathlib import Path

from packdesign.foundation.errors import InputError

__all__ = ["check_writable", "write_whole"]


def check_writable(path: Path, *, spare: Iterable[Path] = (), overwrite: bool = True) -> None:
    """Find out before any work whether a file can be written there.

    Parameters
    ----------
    path : Path
        The file to write.
    spare : iterable of Path
        Files that must not be written over: the brief, its log, its cell table.
    overwrite : bool
        Whether a file that is there may be replaced.

    Raises
    ------
    InputError
        If its folder does not exist, it is itself a folder, it is one of those spared, or it is
        there and may not be replaced.
    """
    folder = path.parent
    if not folder.is_dir():
        msg = f"cannot write {path}: there is no folder {folder}; make it first"
        raise InputError(msg)
    if path.is_dir():
        msg = f"cannot write {path}: it is a folder; name a file in it"
        raise InputError(msg)
    if not os.access(folder, os.W_OK):
        msg = f"cannot write {path}: the folder {folder} may not be written to; name another"
        raise InputError(msg)
    if path.exists() and any(each.exists() and path.samefile(each) for each in spare):
        msg = f"will not write over {path}: the brief or a file it names; choose another name"
        raise InputError(msg)
    if path.is_file() and not overwrite:
        msg = f"{path} is there already; name another file, or add --overwrite to replace it"
        raise InputError(msg)


def write_whole(path: Path, content: str | bytes) -> None:
    """Write a file so that it is there whole or not at all.

    Parameters
    ----------
    path : Path
        The file; one that is there is replaced only once the new one is complete.
    content : str or bytes
        What it shall hold; text is written as UTF-8, its lines ending as in Unix.

    Raises
    ------
    InputError
        If it cannot be written.
    """
    check_writable(path)
    plain = content.encode() if isinstance(content, str) else content
    if path.exists() and not path.is_file():  # a device or pipe cannot be replaced
        path.write_bytes(plain)
        return
    part = path.with_name(f".{path.name}.{secrets.token_hex(4)}.part")
    try:
        part.write_bytes(plain)
        part.replace(path)
    except OSError as error:
        msg = f"cannot write {path}: {error.strerror}"
        raise InputError(msg) from None
    finally:
        with contextlib.suppress(OSError):
            part.unlink(missing_ok=True)
