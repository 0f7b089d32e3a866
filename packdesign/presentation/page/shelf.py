"""Files too large for the address, kept by the server under a name made of their content.

The name stands in the address, so a reload finds them again as long as this program runs. A name
cannot be guessed without the files; what is longest unused goes when the shelf is full.
"""

from __future__ import annotations

import threading
from collections import OrderedDict
from typing import Final

__all__ = ["SHELF", "Files", "Shelf"]

Files = tuple[tuple[str, bytes], ...]
"""Name and content of each file."""

_LARGEST_BYTES: Final = 400_000_000
"""All that is kept: eight uploads of the largest size; own choice. [-]"""


class Shelf:
    """Files of all sessions by a name for their content.

    Parameters
    ----------
    largest_bytes : int
        How much is kept. [-]
    """

    def __init__(self, *, largest_bytes: int) -> None:
        self._largest_bytes = largest_bytes
        self._kept: OrderedDict[str, Files] = OrderedDict()
        self._guard = threading.Lock()

    def put(self, name: str, files: Files) -> bool:
        """Keep files; says whether they found room.

        Parameters
        ----------
        name : str
            A name for their content, as ``Draft.digest`` gives it.
        files : tuple
            The files.
        """
        if _bytes(files) > self._largest_bytes:
            return False
        with self._guard:
            self._kept[name] = files
            self._kept.move_to_end(name)
            while sum(_bytes(each) for each in self._kept.values()) > self._largest_bytes:
                self._kept.popitem(last=False)
        return True

    def find(self, name: str) -> Files:
        """Give the files of a name; none where they are kept no more.

        Parameters
        ----------
        name : str
            Their name.
        """
        with self._guard:
            if name not in self._kept:
                return ()
            self._kept.move_to_end(name)
            return self._kept[name]


def _bytes(files: Files) -> int:
    return sum(len(content) for _, content in files)


SHELF: Final = Shelf(largest_bytes=_LARGEST_BYTES)
"""The shelf of this server."""
