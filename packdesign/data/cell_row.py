"""Turn one row of a cell table into a cell record, or say what is wrong with it."""

from __future__ import annotations

import re
from typing import Any, Final

from packdesign.data.cell_columns import FIELD_OF_COLUMN, NUMBERS, TEXTS
from packdesign.data.cells import Cell, CellForm, Confidence, Family
from packdesign.data.csv_reader import Row
from packdesign.foundation.basis import Basis
from packdesign.foundation.errors import nearest_names

__all__ = ["cell_from_row", "family_from_chemistry"]

_FAMILY_WORDS: Final[tuple[tuple[str, Family], ...]] = (
    (r"lifepo|lfp|iron", Family.LFP),
    (r"lto|titanate", Family.LTO),
    (r"na-ion|sodium", Family.NA_ION),
    (r"^lco|cobalt oxide|/ ?lco", Family.LCO),
    (r"^lmo|spinel", Family.LMO),
    (r"^nca", Family.NCA),
    (r"nmc|ncm", Family.NMC),
    (r"lco", Family.LCO),
    (r"lmo", Family.LMO),
    (r"nca", Family.NCA),
)


def family_from_chemistry(chemistry: str) -> Family | None:
    """Family that a chemistry written in words belongs to; the first named decides.

    A blend of LCO and NMC counts as LCO, whichever is named first: the less stable of the two
    decides about hazards, and its OCV curve is mixed in :mod:`packdesign.data.ocv`.

    Examples
    --------
    >>> family_from_chemistry("NMC/LCO").value, family_from_chemistry("LiFePO4").value
    ('lco', 'lfp')
    """
    words = chemistry.lower()
    return next((family for pattern, family in _FAMILY_WORDS if re.search(pattern, words)), None)


def cell_from_row(row: Row) -> Cell:
    """Make the record of one row.

    Raises
    ------
    TableError
        If a cell of the row is empty where it must not be, or holds what is not accepted.
    """
    numbers = _numbers(row)
    basis, bases = _bases(row, numbers)
    chemistry, family = _chemistry(row)
    kind = _ac_kind(row)
    fields: dict[str, Any] = {column: row.text(column) for column in TEXTS}
    return Cell(
        maker=row.needed_text("maker"),
        part_number=row.needed_text("part_number"),
        form=row.choice("form", CellForm),
        size_code=row.needed_text("size_code"),
        family=family,
        chemistry=chemistry,
        continuous_needs_temperature_cut=bool(row.yes_no("continuous_needs_temperature_cut")),
        ac_resistance_is_maximum=kind == "maximum",
        currency=_currency(row, numbers),
        has_protection=bool(row.yes_no("has_protection")),
        confidence=_confidence(row, basis),
        bases=bases,
        **numbers,
        **fields,
    )


def _numbers(row: Row) -> dict[str, Any]:
    found: dict[str, Any] = {}
    for column, spec in NUMBERS.items():
        value = row.number(column, low=spec.low, high=spec.high)
        if value is not None:
            found[spec.field] = value * spec.factor if spec.factor != 1.0 else value
    for column in ("capacity_mah", "nominal_v", "full_v", "cutoff_v"):
        if NUMBERS[column].field not in found:
            row.needed(column)
    return found


def _currency(row: Row, numbers: dict[str, Any]) -> str:
    currency = row.text("currency").upper()
    if "price" in numbers and not currency:
        raise row.error(column="currency", problem="is empty; say what the price is in, as EUR")
    return currency


def _chemistry(row: Row) -> tuple[str, Family]:
    chemistry = row.text("chemistry")
    if row.text("family"):
        family = row.choice("family", Family)
        return chemistry or family.value.upper(), family
    if not chemistry:
        words = ", ".join(Family)
        raise row.error(
            column="family", problem=f"is empty; give a family ({words}) or a chemistry in words"
        )
    found = family_from_chemistry(chemistry)
    if found is None:
        words = ", ".join(Family)
        raise row.error(
            column="chemistry", problem=f"'{chemistry}' names no family known; accepted: {words}"
        )
    return chemistry, found


def _ac_kind(row: Row) -> str:
    kind = row.text("ac_resistance_kind").lower()
    if kind not in ("", "maximum", "typical", "unstated"):
        raise row.error(
            column="ac_resistance_kind", problem=f"'{kind}'; accepted: maximum, typical, unstated"
        )
    return kind


def _confidence(row: Row, basis: Basis) -> Confidence:
    if row.text("confidence"):
        return row.choice("confidence", Confidence)
    return Confidence.LOW if basis is Basis.ASSUMED else Confidence.MEDIUM


def _bases(row: Row, numbers: dict[str, Any]) -> tuple[Basis, dict[str, Basis]]:
    basis = row.basis() if row.text("basis") else Basis.ASSUMED
    bases = dict.fromkeys(numbers, basis)
    bases["chemistry"] = bases["family"] = basis
    for heading, weaker in (
        ("published_columns", Basis.PUBLISHED),
        ("recalled_columns", Basis.ASSUMED),
    ):
        for column in filter(None, (part.strip() for part in row.text(heading).split(";"))):
            if column not in FIELD_OF_COLUMN:
                near = nearest_names(column, FIELD_OF_COLUMN, count=1)
                hint = f"; nearest: {near[0]}" if near else ""
                raise row.error(
                    column=heading, problem=f"names no column of figures: '{column}'{hint}"
                )
            bases[FIELD_OF_COLUMN[column]] = weaker
            if column == "chemistry":
                bases["family"] = weaker
    return basis, bases
