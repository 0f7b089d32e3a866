"""The adiabatic equation against the k of IEC 60364-5-54, table A.54.4 and 54.3, from memory.

Copper: 115 A s^0.5/mm2 from 70 to 160 degC (PVC), 143 from 90 to 250 degC (XLPE, EPR). The numbers
of the tables are recalled, not read.
"""

from __future__ import annotations

import math

import pytest

from packdesign.engineering.electrical.adiabatic import wire_after_current_degc
from packdesign.engineering.electrical.conductors import WIRE_LAY


@pytest.mark.parametrize(("start_degc", "end_degc", "k"), [(70.0, 160.0, 115), (90.0, 250.0, 143)])
def test_k_of_copper(start_degc, end_degc, k):
    """One square millimetre, one second; the lay of stranded wire is ours and taken out."""
    reached = [
        wire_after_current_degc(
            area_m2=1e-6,
            current_a=(k + digit) / math.sqrt(WIRE_LAY.high),
            time_s=1.0,
            start_degc=start_degc,
        )
        for digit in (-0.5, 0.5)
    ]
    assert reached[0] < end_degc < reached[1]
