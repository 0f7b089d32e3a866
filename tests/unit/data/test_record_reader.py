"""Records filled from a table: units, blanks, and what a bad shipped table would say."""

from __future__ import annotations

from dataclasses import dataclass
from pathlib import Path

import pytest

from packdesign.data import record_reader
from packdesign.data.record_reader import field_of_column, find_named, read_records
from packdesign.foundation.basis import Basis
from packdesign.foundation.errors import TableError, UnknownNameError


@dataclass(frozen=True, slots=True, kw_only=True)
class _Part:
    name: str
    ways: int
    drop_v: float | None
    lowest_degc: float | None
    basis: Basis


_COLUMNS = ("name", "ways", "drop_mv", "lowest_degc", "basis")


@pytest.fixture
def table(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    path = tmp_path / "parts.csv"
    monkeypatch.setattr(record_reader, "table_path", lambda _: path)
    return path


def _write(path: Path, *rows: str) -> None:
    path.write_text("\n".join([",".join(_COLUMNS), *rows]), encoding="utf-8")


def test_units_become_si_and_blanks_none(table: Path) -> None:
    _write(table, "a,2,150,-20,datasheet", "b,3,,,assumed")
    first, second = read_records("parts.csv", _Part, columns=_COLUMNS)
    assert (first.ways, first.drop_v, first.lowest_degc) == (2, pytest.approx(0.150), -20.0)
    assert isinstance(first.ways, int)
    assert (second.drop_v, second.lowest_degc, second.basis) == (None, None, Basis.ASSUMED)


@pytest.mark.parametrize(
    ("row", "reason"),
    [
        ("a,,1,1,assumed", "column ways: is empty; it needs a number"),
        ("a,2,-1,1,assumed", "column drop_mv: is -1; accepted: 0 or more"),
        ("a,2,1,1,guessed", "column basis: 'guessed' is not known"),
        ("a,2,1,1,", "column basis: is empty"),
    ],
)
def test_a_bad_row_is_named(table: Path, row: str, reason: str) -> None:
    _write(table, row)
    with pytest.raises(TableError, match=f"parts.csv line 2, {reason}"):
        read_records("parts.csv", _Part, columns=_COLUMNS)


def test_a_column_may_be_signed(table: Path) -> None:
    _write(table, "a,2,-1,1,assumed")
    (only,) = read_records("parts.csv", _Part, columns=_COLUMNS, signed=("drop_mv",))
    assert only.drop_v == pytest.approx(-0.001)


def test_a_missing_heading_is_named(table: Path) -> None:
    table.write_text("name,ways\na,1\n", encoding="utf-8")
    with pytest.raises(TableError, match="column drop_mv: is missing"):
        read_records("parts.csv", _Part, columns=_COLUMNS)


def test_records_are_found_by_any_of_their_names() -> None:
    words = ["XT60", "XT90"]
    found = find_named(
        words, "xt-90", kind="plug", names=lambda each: (each, f"{each[:2]}-{each[2:]}")
    )
    assert found == "XT90"
    with pytest.raises(UnknownNameError, match="no plug named 'XT61'; nearest: XT60"):
        find_named(words, "XT61", kind="plug", names=lambda each: (each,))


@pytest.mark.parametrize(
    ("column", "field", "factor"),
    [
        ("idle_most_ua", "idle_most_a", 1e-6),
        ("rotor_inertia_gcm2", "rotor_inertia_kg_m2", 1e-7),
        ("torque_constant_mnm_per_a", "torque_constant_nm_per_a", 1e-3),
        ("sample_cap_pf", "sample_cap_f", 1e-12),
        ("efficiency_percent", "efficiency_fraction", 1e-2),
        ("load_rpm", "load_rpm", 1.0),
    ],
)
def test_each_unit_has_its_factor(column: str, field: str, factor: float) -> None:
    assert field_of_column(column) == (field, factor)
