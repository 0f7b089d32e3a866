"""The short way past pint gives what pint gives, and nothing where pint should say no."""

from __future__ import annotations

import subprocess
import sys

import pint
import pytest

from packdesign.foundation.plain_units import PLAIN_UNITS, plain_conversion

REGISTRY: pint.UnitRegistry[float] = pint.UnitRegistry(cache_folder=None)


@pytest.mark.parametrize("written", PLAIN_UNITS)
def test_every_plain_unit_is_what_pint_says_it_is(written: str) -> None:
    for unit in PLAIN_UNITS:
        short = plain_conversion(7.3, written, unit=unit)
        if PLAIN_UNITS[written][0] != PLAIN_UNITS[unit][0]:
            assert short is None
        else:
            by_pint = REGISTRY.Quantity(7.3, written).to(unit).magnitude
            assert short == pytest.approx(by_pint, rel=1e-14)


@pytest.mark.parametrize(("written", "unit"), [("degF", "degC"), ("mm", "furlong"), ("", "m")])
def test_what_is_not_plain_is_left_to_pint(written: str, unit: str) -> None:
    assert plain_conversion(1.0, written, unit=unit) is None


def test_the_examples_are_read_without_pint() -> None:
    code = (
        "import sys\n"
        "from packdesign.planning.brief.examples import example_names, example_text\n"
        "from packdesign.planning.brief.load import brief_from_text\n"
        "for name in example_names():\n"
        "    brief_from_text(example_text(name))\n"
        "print('pint' in sys.modules)\n"
    )
    done = subprocess.run([sys.executable, "-c", code], capture_output=True, check=True, text=True)
    assert done.stdout.strip() == "False"
