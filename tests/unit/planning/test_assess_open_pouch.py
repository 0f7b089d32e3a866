"""A pouch in the open has room without end to swell: no check, and no infinite figure anywhere."""

from __future__ import annotations

import math

import pytest

from packdesign.planning.assess.service import assess
from packdesign.planning.brief.load import brief_from_mapping


@pytest.mark.slow
def test_no_verdict_of_an_open_pouch_has_an_infinite_figure() -> None:
    found = assess(
        brief_from_mapping(
            {
                "pack": {"cell": "Kokam SLPB75106100", "series": 2, "parallel": 1},
                "loads": [{"name": "lamp", "watts": 5.0}],
            }
        )
    )
    assert "swelling_room" not in {each.id for each in found.judged}
    for each in found.verdicts:
        assert each.value is None or math.isfinite(each.value)
        assert " inf" not in each.reason
