"""Losses of a pack at one current: they add up, scale, and count the path as the model does."""

from __future__ import annotations

import pytest

from packdesign.planning.assess.design import PackDesign
from packdesign.planning.assess.losses import pack_losses
from packdesign.planning.assess.service import design_of
from packdesign.planning.brief.examples import example_text
from packdesign.planning.brief.load import brief_from_text


@pytest.fixture(scope="module")
def design() -> PackDesign:
    return design_of(brief_from_text(example_text("soil_corer")))


def test_the_parts_add_up(design: PackDesign) -> None:
    found = pack_losses(design, current_a=5.0)
    assert sum(part.volts for part in found.parts) == pytest.approx(found.volts)
    assert sum(part.watts for part in found.parts) == pytest.approx(found.watts)
    assert sum(part.share_fraction for part in found.parts) == pytest.approx(1.0)


def test_the_path_is_that_of_the_model(design: PackDesign) -> None:
    found = pack_losses(design, current_a=5.0)
    path_v = sum(part.volts for part in found.parts if part.name != "inside the cells")
    assert path_v == pytest.approx(5.0 * design.model.path_ohm)


def test_the_largest_part_comes_first(design: PackDesign) -> None:
    volts = [part.volts for part in pack_losses(design, current_a=5.0).parts]
    assert volts == sorted(volts, reverse=True)


def test_no_current_loses_nothing(design: PackDesign) -> None:
    found = pack_losses(design, current_a=0.0)
    assert found.volts == 0.0
    assert found.watts == 0.0
