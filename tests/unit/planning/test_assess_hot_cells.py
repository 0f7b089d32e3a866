"""Cells that reach their highest temperature before the pack is empty: a stop, not a pass."""

from __future__ import annotations

import pytest

from packdesign.engineering.discharge.run import EndReason
from packdesign.planning.assess.record import Assessment
from packdesign.planning.assess.service import assess
from packdesign.planning.brief.load import brief_from_mapping
from packdesign.planning.verdicts.verdict import Status, Verdict


def judged(watts: float) -> tuple[Assessment, Verdict]:
    found = assess(
        brief_from_mapping(
            {
                "pack": {"cell": "Samsung SDI INR18650-25R", "series": 3, "parallel": 1},
                "cavity": {"shape": "tube", "bore": "50 mm", "length": "90 mm"},
                "loads": [{"name": "lamp", "watts": watts}],
                "surroundings": {"ambient": "30 degC"},
            }
        )
    )
    (verdict,) = (each for each in found.verdicts if each.id == "cell_temperature")
    return found, verdict


@pytest.mark.parametrize(
    ("watts", "status"), [(60.0, Status.OK), (100.0, Status.CAUTION), (140.0, Status.STOP)]
)
def test_more_watts_first_may_and_then_do_heat_the_cells_to_their_limit(
    watts: float, status: Status
) -> None:
    found, verdict = judged(watts)
    assert verdict.status is status, verdict.reason
    assert found.discharge is not None
    assert found.discharge is not None
    is_cut = found.discharge.ends_by == EndReason.TEMPERATURE
    assert is_cut is (status is Status.STOP)
    assert bool(verdict.fix) is (status is not Status.OK)
