"""Verdict on what was measured of the pack: can it be true of this cell?"""

from __future__ import annotations

from collections.abc import Iterator
from typing import Final

from packdesign.engineering.discharge.datasheet_model import model_from_datasheet
from packdesign.foundation.basis import Basis
from packdesign.planning.assess.design import PackDesign
from packdesign.planning.brief.schema import Brief
from packdesign.planning.verdicts.verdict import Status, Verdict

__all__ = ["judge_measured"]

_LOW: Final = 0.5
_HIGH: Final = 2.0
"""Measured over expected resistance between which a reading is taken as it is. The doubt about a
sheet's figure is 10 to 15 % (one standard deviation), and worn cells are retired at twice; half and
twice are own choice. [-]"""
_IMPOSSIBLE: Final = 0.1
"""Below this share of what is expected the reading is no cell's: an AC figure is half to a fifth
of what a load shows, a slip of the unit a thousandth. Own choice. [-]"""


def judge_measured(brief: Brief, design: PackDesign) -> Iterator[Verdict]:
    """Judge a measured resistance by what the sheet of the cell leads to expect.

    Parameters
    ----------
    brief : Brief
        The brief.
    design : PackDesign
        The pack; its cell has the measured resistance in it.

    Yields
    ------
    Verdict
        "resistance_measured", where one was measured.
    """
    measured = brief.measured
    if measured is None or not (
        measured.cell_resistance_ohm or measured.pack_resistance_ohm or measured.two_load
    ):
        return
    expected = model_from_datasheet(design.cell)
    ratio = design.model.cell.ohmic_ohm / expected.ohmic_ohm
    is_likely = _LOW <= ratio <= _HIGH
    fix = ""
    if ratio < _LOW:
        fix = (
            "Read it again with a heavy load over 10 s and the voltage taken at the cells' own "
            "ends; look at the unit: a cell has milliohms, and 1 kHz shows less than a load does."
        )
    elif ratio > _HIGH:
        fix = "Look for a bad joint or probe in the reading; a cell that has it is worn: retire it."
    yield Verdict(
        id="resistance_measured",
        status=Status.OK if is_likely else (Status.STOP if ratio < _IMPOSSIBLE else Status.CAUTION),
        value=ratio,
        limit=_HIGH if ratio > 1 else _LOW,
        unit="times",
        margin=None,
        reason=f"The cells have {ratio:.2g} times the resistance that their sheet leads to expect"
        + ("." if is_likely else ", and everything here is reckoned with it."),
        fix=fix,
        basis=Basis.MEASURED,
        source="measured, against the model from the sheet; half to twice: own choice",
    )
