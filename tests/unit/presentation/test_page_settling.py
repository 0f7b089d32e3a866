"""Answers worked out beside the drawing: kept once, shared, taken back, and never lost."""

from __future__ import annotations

import threading

import pytest

from packdesign.presentation.page.settling import Settling


def test_an_answer_is_worked_out_once_and_shared() -> None:
    asked: list[str] = []
    settling = Settling(lambda name: asked.append(name) or len(asked), most=8)
    assert not settling.is_there(("a",))
    assert settling.answer(("a",)) == 1
    assert settling.is_there(("a",))
    assert settling.answer(("a",)) == 1
    assert asked == ["a"]


def test_what_the_service_raises_is_raised_to_each_that_asks() -> None:
    def refuse(_: str) -> int:
        msg = "no such pack"
        raise ValueError(msg)

    settling = Settling(refuse, most=8)
    for _ in range(2):
        with pytest.raises(ValueError, match="no such pack"):
            settling.answer(("a",))


def test_the_answer_not_asked_for_longest_goes_first() -> None:
    settling = Settling(lambda name: name, most=2)
    for name in ("a", "b", "a", "c"):
        settling.answer((name,))
    assert [settling.is_there((name,)) for name in ("a", "b", "c")] == [True, False, True]


def test_a_question_taken_back_makes_room_and_can_be_asked_again() -> None:
    go_on, asked = threading.Event(), []

    def slow(name: str) -> str:
        asked.append(name)
        go_on.wait(10)
        return name

    settling = Settling(slow, most=8)
    under_way = [settling.begin((name,)) for name in ("a", "b")]
    waiting = settling.begin(("old",))
    settling.leave(("old",))
    settling.leave(("a",))  # under way: it stays
    assert waiting.cancelled()
    go_on.set()
    assert [each.result(10) for each in under_way] == ["a", "b"]
    assert settling.answer(("old",)) == "old"
    assert asked.count("old") == 1
