"""The likely run alone is that of the assessment to four digits, and ends for the same reason."""

from __future__ import annotations

import pytest

from packdesign.foundation.errors import BriefError
from packdesign.planning.assess.likely import likely_run
from packdesign.planning.assess.service import assess
from packdesign.planning.brief.load import brief_from_text

RAIL = """\
[pack]
cell = "Samsung SDI INR18650-25R"
series = 3
[[loads]]
name = "radio"
watts = 10
min_voltage = "9.8 V"
[[loads]]
name = "lamp"
watts = 15
duty = 0.5
"""


def test_the_likely_run_is_that_of_the_assessment() -> None:
    brief = brief_from_text(RAIL)
    run, judged = likely_run(brief), assess(brief)
    summary = judged.discharge.summary
    assert run.ends_by == judged.discharge.ends_by
    assert "radio" in run.ends_by
    for name in ("run_time_s", "delivered_wh", "min_voltage_v", "peak_cell_degc"):
        assert getattr(run.summary, name) == pytest.approx(getattr(summary, name), rel=1e-4), name


def test_a_brief_without_a_cell_is_refused() -> None:
    with pytest.raises(BriefError, match="names no cell"):
        likely_run(brief_from_text('[[loads]]\nname = "lamp"\nwatts = 2\n'))
