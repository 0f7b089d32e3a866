"""What the builder is working on: a brief as text, and the files it names.

A draft can be written into the address of the page and read back from it. Such an address may come
from anybody, so it is treated like a stranger's file: plain JSON of limited size, and the names of
files in it are names only, never paths.
"""

from __future__ import annotations

import base64
import binascii
import functools
import hashlib
import json
import zlib
from dataclasses import dataclass
from pathlib import Path
from typing import Final

from packdesign.foundation.errors import BriefError
from packdesign.planning.brief.dump import brief_to_toml
from packdesign.planning.brief.load import brief_from_text
from packdesign.planning.brief.schema import Brief
from packdesign.presentation.page.shelf import Shelf

__all__ = [
    "LONGEST_ADDRESS",
    "Draft",
    "draft_from_address",
    "draft_of_brief",
    "files_named",
    "packed",
    "placed_brief",
]

LONGEST_ADDRESS: Final = 12_000
"""Characters an address may grow to; web servers commonly refuse lines far above it. [-]"""
_LARGEST_TEXT: Final = 400_000
_VERSION: Final = 1
_REMEMBERED: Final = 64


@dataclass(frozen=True, slots=True, kw_only=True)
class Draft:
    """A brief, and what lies beside it."""

    text: str
    """The brief as TOML, files by their bare names."""
    files: tuple[tuple[str, bytes], ...] = ()
    """Files that were uploaded or pasted, by name."""

    @property
    def brief(self) -> Brief:
        """The brief, with the names of its files as written."""
        return _read(self.text)

    @property
    def digest(self) -> str:
        """A short name for the files' contents."""
        return _digest(self.files)

    def with_file(self, name: str, content: bytes) -> Draft:
        """Put a file beside the brief, in place of one of the same name."""
        others = tuple(each for each in self.files if each[0] != name)
        return Draft(text=self.text, files=(*others, (name, content)))


@functools.lru_cache(maxsize=_REMEMBERED)
def _digest(files: tuple[tuple[str, bytes], ...]) -> str:
    found = hashlib.sha256()
    for name, content in files:
        found.update(f"{name}:{len(content)}:".encode())
        found.update(content)
    return found.hexdigest()[:24]


@functools.lru_cache(maxsize=_REMEMBERED)
def _read(text: str) -> Brief:
    """Read a brief once; it is frozen, so every field on the screen can ask the same one."""
    return brief_from_text(text)


def draft_of_brief(brief: Brief, files: tuple[tuple[str, bytes], ...] = ()) -> Draft:
    """Write a brief into a draft, and drop the files it no longer names.

    Parameters
    ----------
    brief : Brief
        The brief, its files by bare name.
    files : tuple
        Files beside it.
    """
    named = files_named(brief)
    kept = tuple(each for each in files if each[0] in named)
    return Draft(text=brief_to_toml(brief), files=kept)


def files_named(brief: Brief) -> tuple[str, ...]:
    """Give the files that a brief names, as written in it.

    Parameters
    ----------
    brief : Brief
        The brief.
    """
    found = (
        brief.cell_table,
        brief.load.log if brief.load is not None else None,
        brief.cavity.mesh if brief.cavity is not None else None,
        brief.measured.cells if brief.measured is not None else None,
    )
    return tuple(str(path) for path in found if path is not None)


def placed_brief(draft: Draft, folder: Path) -> Brief:
    """Write the files of a draft into a folder and read the brief there.

    Parameters
    ----------
    draft : Draft
        The draft.
    folder : Path
        An empty folder of this draft's own.

    Raises
    ------
    BriefError
        If the brief names a file that was not given here.
    """
    given = {name for name, _ in draft.files}
    for name in files_named(draft.brief):
        if name not in given:
            msg = f"the brief names the file '{Path(name).name}'; upload it here as well"
            raise BriefError(msg)
    for name, content in draft.files:
        target = folder / Path(name).name
        if not target.exists():
            target.write_bytes(content)
    return brief_from_text(draft.text, base_folder=folder)


def packed(draft: Draft, *, on_shelf: bool = False) -> str | None:
    """Write a draft as a word for the address; None where it is too long for one.

    Parameters
    ----------
    draft : Draft
        The draft.
    on_shelf : bool
        Whether its files are kept by the server: then their name alone goes into the word.

    Examples
    --------
    >>> draft_from_address(packed(Draft(text='title = "a"'))).text
    'title = "a"'
    """
    if not on_shelf and sum(len(raw) for _, raw in draft.files) > _LARGEST_TEXT:
        return None
    try:
        files = {name: raw.decode("utf-8") for name, raw in draft.files if not on_shelf}
    except UnicodeDecodeError:
        return None
    content: dict[str, object] = {"version": _VERSION, "brief": draft.text, "files": files}
    if on_shelf:
        content["shelf"] = draft.digest
    raw = json.dumps(content, ensure_ascii=False, separators=(",", ":")).encode()
    if len(raw) > _LARGEST_TEXT:
        return None
    word = base64.urlsafe_b64encode(zlib.compress(raw, 9)).decode().rstrip("=")
    return word if len(word) <= LONGEST_ADDRESS else None


def draft_from_address(word: str, *, shelf: Shelf | None = None) -> Draft:
    """Read a draft back from the word in an address.

    Parameters
    ----------
    word : str
        What :func:`packed` wrote.
    shelf : Shelf or None
        Where files lie that were too large for it.

    Raises
    ------
    BriefError
        If it is no such word, is too large, or holds a brief that cannot be used.
    """
    content = _unpacked(word)
    if not isinstance(content, dict) or content.get("version") != _VERSION:
        raise BriefError(_unreadable("it is of another kind"))
    text, files = content.get("brief"), content.get("files", {})
    if not isinstance(text, str) or not isinstance(files, dict):
        raise BriefError(_unreadable("it holds no brief"))
    if not all(isinstance(each, str) for each in files.values()):
        raise BriefError(_unreadable("it holds something else than text"))
    brief_from_text(text, name="the brief in the address")
    kept = tuple((Path(name).name, content.encode()) for name, content in files.items())
    name = content.get("shelf")
    if shelf is not None and isinstance(name, str):
        kept = shelf.find(name) or kept
    return Draft(text=text, files=kept)


def _unpacked(word: str) -> object:
    if len(word) > LONGEST_ADDRESS:
        raise BriefError(_unreadable("it is too long"))
    try:
        packed_bytes = base64.urlsafe_b64decode(word + "=" * (-len(word) % 4))
        opened = zlib.decompressobj()
        raw = opened.decompress(packed_bytes, _LARGEST_TEXT)
    except (binascii.Error, ValueError, zlib.error):
        raise BriefError(_unreadable("part of it is missing or changed")) from None
    if opened.unconsumed_tail or not opened.eof:
        raise BriefError(_unreadable("it is too large or cut off"))
    try:
        return json.loads(raw.decode("utf-8"))
    except (ValueError, RecursionError):
        raise BriefError(_unreadable("part of it is missing or changed")) from None


def _unreadable(why: str) -> str:
    return f"the brief in this address cannot be read: {why}; start from an example or a file"
