"""Answers that are worked out beside the drawing, and kept for all sessions.

A change first shows the likely run alone. Meanwhile a thread works out the whole answer; a session
that has moved on to another draft takes its turn back, so that the newest change is never behind
old ones for longer than the one under way.
"""

from __future__ import annotations

import threading
from collections import OrderedDict
from collections.abc import Callable
from concurrent.futures import CancelledError, Future, ThreadPoolExecutor
from typing import Final, Generic, TypeVar

__all__ = ["Settling"]

Answer = TypeVar("Answer")
Key = tuple[object, ...]

_AT_ONCE: Final = 2
"""Answers worked out at the same time: one session need not wait for another. [-]"""


class Settling(Generic[Answer]):
    """Answers of one service by what was asked.

    Parameters
    ----------
    service : callable
        Gives the answer to a key; what it raises is kept like an answer.
    most : int
        How many answers are kept; the one not asked for longest goes first. [-]
    """

    def __init__(self, service: Callable[..., Answer], *, most: int) -> None:
        self._service, self._most = service, most
        self._kept: OrderedDict[Key, Future[Answer]] = OrderedDict()
        self._guard = threading.Lock()
        self._workers = ThreadPoolExecutor(max_workers=_AT_ONCE, thread_name_prefix="settling")

    def begin(self, key: Key) -> Future[Answer]:
        """Have an answer worked out, or give the one that is there or under way.

        Parameters
        ----------
        key : tuple
            What is asked: the arguments of the service.
        """
        with self._guard:
            found = self._kept.get(key)
            if found is None or found.cancelled():
                found = self._workers.submit(self._service, *key)
                self._kept[key] = found
            self._kept.move_to_end(key)
            while len(self._kept) > self._most:
                self._kept.popitem(last=False)
            return found

    def is_there(self, key: Key) -> bool:
        """Tell whether the answer is worked out.

        Parameters
        ----------
        key : tuple
            What is asked.
        """
        with self._guard:
            found = self._kept.get(key)
            return found is not None and found.done() and not found.cancelled()

    def answer(self, key: Key) -> Answer:
        """Give the answer, and wait for it if need be; raises what the service raised.

        Parameters
        ----------
        key : tuple
            What is asked.
        """
        while True:
            try:
                return self.begin(key).result()
            except CancelledError:  # another session took its turn back; ask anew
                continue

    def leave(self, key: Key) -> None:
        """Take a question back; one that is under way or answered stays.

        Parameters
        ----------
        key : tuple
            What was asked.
        """
        with self._guard:
            found = self._kept.get(key)
            if found is not None and found.cancel():
                del self._kept[key]
