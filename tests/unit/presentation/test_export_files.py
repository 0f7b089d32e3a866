"""Files are written whole or not at all; JSON holds finite numbers only."""

from __future__ import annotations

import json
from pathlib import Path

import pytest

from packdesign.foundation.basis import Band
from packdesign.foundation.errors import InputError
from packdesign.presentation.export.files import check_writable, write_whole
from packdesign.presentation.export.plain import band, number, object_text


def test_a_file_is_replaced_as_a_whole(tmp_path: Path) -> None:
    path = tmp_path / "out.csv"
    path.write_text("old and long")
    write_whole(path, "new")
    assert path.read_text() == "new"
    assert [each.name for each in tmp_path.iterdir()] == ["out.csv"]


def test_a_write_that_fails_leaves_the_old_file(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    path = tmp_path / "out.csv"
    path.write_text("old")

    def full(*_: object, **__: object) -> None:
        raise OSError(28, "No space left on device")

    monkeypatch.setattr(Path, "write_bytes", full)
    with pytest.raises(InputError, match=r"cannot write .*out\.csv: No space left"):
        write_whole(path, "new")
    assert path.read_bytes() == b"old"


def test_a_folder_that_is_not_there(tmp_path: Path) -> None:
    with pytest.raises(InputError, match="there is no folder"):
        check_writable(tmp_path / "no" / "out.csv")


def test_a_folder_in_the_place_of_a_file(tmp_path: Path) -> None:
    with pytest.raises(InputError, match="it is a folder"):
        check_writable(tmp_path)


def test_what_is_spared_is_spared_under_any_name(tmp_path: Path) -> None:
    (tmp_path / "brief.toml").write_text("")
    (tmp_path / "link.toml").symlink_to(tmp_path / "brief.toml")
    with pytest.raises(InputError, match="will not write over"):
        check_writable(tmp_path / "link.toml", spare=[tmp_path / "brief.toml"])
    check_writable(tmp_path / "other.csv", spare=[tmp_path / "brief.toml"])


@pytest.mark.parametrize("value", [float("nan"), float("inf"), float("-inf"), None])
def test_what_is_no_number_is_null(value: float | None) -> None:
    assert number(value) is None


def test_a_band_is_three_numbers() -> None:
    assert json.loads(object_text(band(Band(1.0, 2.0, 3.0)))) == {"low": 1, "mid": 2, "high": 3}


def test_nan_never_gets_into_json() -> None:
    with pytest.raises(ValueError, match="not JSON compliant"):
        object_text({"value": float("nan")})


def test_bytes_are_written_whole_as_they_are(tmp_path: Path) -> None:
    path = tmp_path / "out.stl"
    write_whole(path, b"\x00\r\n\xff")
    assert path.read_bytes() == b"\x00\r\n\xff"
    assert [each.name for each in tmp_path.iterdir()] == ["out.stl"]
