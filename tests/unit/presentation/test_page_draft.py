"""The draft in the address: it comes back whole, and a stranger's address can do no harm."""

from __future__ import annotations

import base64
import json
import zlib
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

from packdesign.foundation.errors import BriefError
from packdesign.planning.brief.examples import example_names, example_text
from packdesign.planning.brief.load import brief_from_text
from packdesign.presentation.page.draft import (
    LONGEST_ADDRESS,
    Draft,
    draft_from_address,
    draft_of_brief,
    packed,
    placed_brief,
)
from packdesign.presentation.page.shelf import Shelf


def _word(content: object) -> str:
    raw = content if isinstance(content, bytes) else json.dumps(content).encode()
    return base64.urlsafe_b64encode(zlib.compress(raw)).decode().rstrip("=")


@pytest.mark.parametrize("name", example_names())
def test_every_example_fits_into_an_address_and_comes_back(name: str) -> None:
    draft = draft_of_brief(brief_from_text(example_text(name)))
    word = packed(draft)
    assert word is not None
    assert len(word) <= LONGEST_ADDRESS
    assert draft_from_address(word) == draft
    assert draft.brief == brief_from_text(example_text(name))


@given(title=st.text(min_size=1, max_size=200), rows=st.text(max_size=200))
def test_what_is_packed_comes_back(title: str, rows: str) -> None:
    draft = Draft(text=f"title = {json.dumps(title)}", files=(("log.csv", rows.encode()),))
    word = packed(draft)
    assert word is not None
    try:
        back = draft_from_address(word)
    except BriefError:  # some control signs are no TOML; they are refused, not changed
        return
    assert back == draft


def test_a_long_log_does_not_go_into_an_address() -> None:
    noise = "".join(f"{i},{(i * 7919) % 10007}\n" for i in range(20_000))
    assert packed(Draft(text='title = "a"', files=(("log.csv", noise.encode()),))) is None
    assert packed(Draft(text='title = "a"', files=(("inside.stl", b"\xff\xfe\x00"),))) is None


def test_large_files_lie_on_the_shelf_and_come_back_by_their_name() -> None:
    shelf = Shelf(largest_bytes=1000)
    draft = Draft(text='title = "a"', files=(("inside.stl", b"\xff\xfe\x00" * 200),))
    assert packed(draft) is None
    assert shelf.put(draft.digest, draft.files)
    word = packed(draft, on_shelf=True)
    assert word is not None
    assert draft_from_address(word, shelf=shelf) == draft
    assert draft_from_address(word).files == ()


def test_a_full_shelf_lets_go_what_was_longest_unused() -> None:
    shelf = Shelf(largest_bytes=1000)
    assert shelf.put("one", (("a", b"1" * 400),))
    assert shelf.put("two", (("a", b"2" * 400),))
    assert shelf.find("one")
    assert shelf.put("three", (("a", b"3" * 400),))
    assert [bool(shelf.find(name)) for name in ("one", "two", "three")] == [True, False, True]
    assert not shelf.put("huge", (("a", b"4" * 1001),))


@pytest.mark.parametrize(
    ("word", "match"),
    [
        ("x" * (LONGEST_ADDRESS + 1), "too long"),
        ("not base64 at all!", "missing or changed"),
        (base64.urlsafe_b64encode(b"plain").decode(), "missing or changed"),
        (_word(b"no json"), "missing or changed"),
        (_word(b"[" * 100_000), "missing or changed"),
        (_word([1, 2]), "another kind"),
        (_word({"version": 2, "brief": ""}), "another kind"),
        (_word({"version": 1, "brief": 3}), "no brief"),
        (_word({"version": 1, "brief": "", "files": {"a": 1}}), "else than text"),
        (_word({"version": 1, "brief": "bore = ["}), "not valid TOML"),
        (_word({"version": 1, "brief": "nonsense = 1"}), "no key 'nonsense'"),
    ],
)
def test_a_strange_address_is_refused_with_one_message(word: str, match: str) -> None:
    with pytest.raises(BriefError, match=match):
        draft_from_address(word)


def test_an_address_that_unpacks_to_very_much_is_refused() -> None:
    bomb = _word(b"0" * 5_000_000)
    assert len(bomb) < LONGEST_ADDRESS
    with pytest.raises(BriefError, match="too large or cut off"):
        draft_from_address(bomb)


def test_a_cut_address_is_refused() -> None:
    word = packed(Draft(text='title = "a long enough title to be cut in the middle"'))
    assert word is not None
    with pytest.raises(BriefError, match="cannot be read"):
        draft_from_address(word[: len(word) // 2])


@pytest.mark.parametrize("name", ["/etc/passwd", "../secret.csv", "other.csv"])
def test_a_brief_reads_no_file_that_was_not_given_with_it(name: str, tmp_path: Path) -> None:
    draft = Draft(text=f'cell_table = "{name}"', files=(("my_cells.csv", b"x"),))
    with pytest.raises(BriefError, match="upload it here as well"):
        placed_brief(draft, tmp_path)


def test_files_lie_beside_the_brief(tmp_path: Path) -> None:
    draft = Draft(text='[load]\nlog = "log.csv"\n', files=(("log.csv", b"time_s,current_a\n"),))
    brief = placed_brief(draft, tmp_path)
    assert brief.load is not None
    assert brief.load.log == tmp_path / "log.csv"


def test_files_no_longer_named_are_dropped() -> None:
    draft = draft_of_brief(brief_from_text('title = "a"'), (("log.csv", b"x"),))
    assert draft.files == ()
