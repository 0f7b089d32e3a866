"""What the tests of planning share."""

from __future__ import annotations

from collections.abc import Callable
from functools import partial
from pathlib import Path
from typing import Any

import pytest

from packdesign.data.cells import Cell, CellForm, Confidence, Family
from packdesign.engineering.discharge.bands import discharge_bands
from packdesign.foundation.basis import Basis
from packdesign.planning.assess import discharge
from packdesign.planning.assess.judgement import judge
from packdesign.planning.assess.loading import loading_of
from packdesign.planning.assess.service import design_of
from packdesign.planning.brief.load import brief_from_mapping
from packdesign.planning.verdicts.verdict import Verdict

DATASHEET_FIELDS = (
    "continuous_a", "uncut_continuous_a", "pulse_a", "full_v", "max_charge_a", "standard_charge_a",
)  # fmt: skip


@pytest.fixture
def make_cell() -> Callable[..., Cell]:
    """Make a made-up 18650 with plain ratings of 15 A; any field can be given otherwise."""

    def make(**changes: Any) -> Cell:
        facts: dict[str, Any] = {
            "maker": "Example", "part_number": "X30", "form": CellForm.CYLINDER,
            "size_code": "18650", "family": Family.NMC, "chemistry": "NMC", "capacity_ah": 3.0,
            "nominal_v": 3.6, "full_v": 4.2, "cutoff_v": 2.5, "continuous_a": 15.0,
            "confidence": Confidence.HIGH, "source": "made up for this test",
            "bases": dict.fromkeys(DATASHEET_FIELDS, Basis.DATASHEET),
        }  # fmt: skip
        return Cell(**(facts | changes))

    return make


@pytest.fixture(scope="session")
def judged() -> Callable[..., dict[str, Verdict]]:
    """Judge the pack of a brief given by its sections, as verdicts by id."""

    def judge_sections(folder: Path | None = None, **sections: Any) -> dict[str, Verdict]:
        brief = brief_from_mapping(sections, base_folder=folder)
        design = design_of(brief)
        loading = loading_of(brief, design)
        with pytest.MonkeyPatch.context() as few:  # the width of the band is not what is tested
            few.setattr(discharge, "discharge_bands", partial(discharge_bands, samples=20))
            outcome = discharge.run_discharge(brief, design, loading)
        found = judge(brief, design, loading, outcome)
        by_id = {verdict.id: verdict for verdict in found}
        assert len(by_id) == len(found)
        return by_id

    return judge_sections
