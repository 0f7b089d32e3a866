from __future__ import annotations

import pytest
from hypothesis import given
from hypothesis import strategies as st

from packdesign.engineering.thermal.touch import TOUCH_MATERIALS, touch_limit
from packdesign.foundation.basis import Basis
from packdesign.foundation.errors import OutOfRangeError, UnknownNameError

materials = st.sampled_from(TOUCH_MATERIALS)


@pytest.mark.parametrize("material", TOUCH_MATERIALS)
def test_a_held_grip_of_any_material_may_have_48_degrees(material):
    # IEC 62368-1 table 38 and ISO 13732-1, both from memory: 48 degC for all materials.
    limit = touch_limit(material=material)
    assert limit.low_degc == 48.0
    assert limit.basis is Basis.ASSUMED
    assert limit.source


@pytest.mark.parametrize(
    ("material", "seconds", "degc"),
    # The stricter of IEC 62368-1 TS1 (metal 51, 60, 70; plastic 60, 77, 94) and the ISO 13732-1
    # threshold of the next longer time, both from memory.
    [("metal", 30.0, 51.0), ("plastic", 30.0, 60.0), ("metal", 5.0, 55.0), ("plastic", 5.0, 72.0)],
)
def test_shorter_touches_may_be_hotter(material, seconds, degc):
    assert touch_limit(material=material, contact_s=seconds).low_degc == degc


@given(materials, st.floats(0.2, 50_000), st.floats(1, 20))
def test_a_longer_touch_never_allows_more(material, seconds, times):
    short = touch_limit(material=material, contact_s=seconds)
    long = touch_limit(material=material, contact_s=seconds * times)
    assert long.low_degc <= short.low_degc


@given(st.floats(0.2, 50_000))
def test_metal_is_judged_hardest(seconds):
    limits = [touch_limit(material=name, contact_s=seconds).low_degc for name in TOUCH_MATERIALS]
    assert limits[0] == min(limits)


def test_a_time_to_a_serious_burn_is_no_limit():
    for name in TOUCH_MATERIALS:
        for seconds in (0.5, 3.0, 30.0, 400.0):
            assert "serious" not in touch_limit(material=name, contact_s=seconds).meaning


def test_what_makes_no_sense_is_refused():
    with pytest.raises(UnknownNameError, match="plastic"):
        touch_limit(material="plastics")
    with pytest.raises(OutOfRangeError, match="longer than 0 s"):
        touch_limit(material="metal", contact_s=0.0)
