"""The figures by which a pack is named, and a mass where the sheet is silent."""

from __future__ import annotations

from dataclasses import replace

import pytest

from packdesign.planning.assess.design import PackDesign
from packdesign.planning.assess.pack_figures import pack_figures
from packdesign.planning.assess.service import design_of
from packdesign.planning.brief.load import brief_from_text


def _design(series: int, parallel: int) -> PackDesign:
    return design_of(
        brief_from_text(
            f'[pack]\ncell = "INR18650-30Q"\nseries = {series}\nparallel = {parallel}\n'
            '[cavity]\nshape = "open"\n'
        )
    )


def test_counts_multiply_volts_and_amp_hours() -> None:
    one, many = pack_figures(_design(1, 1)), pack_figures(_design(4, 2))
    assert many.full_v == pytest.approx(4 * one.full_v)
    assert many.capacity_ah == pytest.approx(2 * one.capacity_ah)
    assert many.energy_wh == pytest.approx(8 * one.energy_wh)
    assert many.mass_g > 8 * one.mass_g * 0.99
    assert many.resistance_ohm > one.resistance_ohm


def test_resistance_is_that_of_the_cell_and_the_path() -> None:
    design = _design(1, 1)
    cell_ohm = design.model.cell.pulse_ohm(
        soc=0.5, temperature_degc=25.0, current_a=3.0, pulse_s=10.0
    )
    assert pack_figures(design).resistance_ohm == pytest.approx(cell_ohm + design.path.ohm.mid)


def test_a_mass_that_nobody_gave_comes_from_cells_alike() -> None:
    design = _design(3, 1)
    silent = replace(
        design,
        cell=replace(design.cell, mass_kg=None),
        arrangement=replace(design.arrangement, cell_mass_kg=None),
    )
    known, guessed = pack_figures(design), pack_figures(silent)
    assert guessed.mass_is_estimated
    assert not known.mass_is_estimated
    assert guessed.mass_g == pytest.approx(known.mass_g, rel=0.2)
