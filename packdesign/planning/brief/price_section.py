"""``[[preferences.prices]]``: what cells cost the builder."""

from __future__ import annotations

from typing import Annotated

from pydantic import Field, model_validator

from packdesign.planning.brief.keys import entry
from packdesign.planning.brief.section import Section, Text, reject

__all__ = ["CellPrice"]

Currency = Annotated[str, Field(min_length=1, max_length=12)]


class CellPrice(Section):
    """``[[preferences.prices]]``: the price of one cell, for any cell of the table."""

    cell: Text = entry("maker and part number", example="Samsung SDI INR18650-25R", default="")
    price: float | None = entry("of one cell", example=3.5, gt=0, le=1_000_000)
    currency: Currency = entry("what it is in; one for all prices", example="EUR", default="EUR")

    @model_validator(mode="after")
    def _names_its_cell(self) -> CellPrice:
        if not self.cell:
            reject("each price needs the cell that it is of")
        return self
