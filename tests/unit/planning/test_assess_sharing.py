"""The hardest-worked cell of a group: alone, in one batch, mixed, wide; and who is judged by it."""

from __future__ import annotations

import pytest

from packdesign.planning.assess.hardest_cell import hardest_cell
from packdesign.planning.assess.service import design_of
from packdesign.planning.brief.load import brief_from_mapping


def share(parallel: int, **pack: object) -> float:
    brief = brief_from_mapping(
        {"pack": {"cell": "Samsung SDI INR18650-25R", "series": 3, "parallel": parallel, **pack}}
    )
    return hardest_cell(design_of(brief), brief).share


def test_a_cell_alone_carries_its_own():
    assert share(1) == 1.0


def test_mixed_cells_share_worse_and_wide_groups_worse_still():
    assert 1.0 < share(2) < share(2, cell_origin="unknown") < 1.3
    assert share(2) < share(4) < share(8)


def test_thick_strip_evens_the_shares():
    thin = {"strips": {"material": "nickel", "width": "5 mm", "thickness": "0.1 mm"}}
    thick = {"strips": {"material": "copper", "width": "10 mm", "thickness": "0.3 mm"}}
    assert share(6, **thick) < share(6, **thin)
    # next to perfect strips only the batch is left: 2 % of resistance, a few per cent of current
    assert share(6, **thick) < 1.12


def test_a_very_wide_group_is_answered_quickly():
    assert share(60) >= share(20) * 0.9


def test_the_verdicts_are_on_that_cell_and_say_so(judged):
    pack = {"cell": "Samsung SDI INR18650-25R", "series": 3, "parallel": 2}
    found = judged(pack=pack, loads=[{"name": "lamp", "amps": "10 A"}])
    steady = found["continuous_current"]
    assert steady.value == pytest.approx(5.0 * share(2), rel=1e-3)
    assert "of an even share (new, one batch; both leads" in steady.reason
    assert "of an even share" in found["burst_current"].reason
    alone = judged(pack={**pack, "parallel": 1}, loads=[{"name": "lamp", "amps": "5 A"}])
    assert alone["continuous_current"].value == pytest.approx(5.0, rel=1e-3)
    assert "share" not in alone["continuous_current"].reason
