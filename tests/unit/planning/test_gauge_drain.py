"""A drain that no divider can keep is a caution, never the end of the whole job."""

from __future__ import annotations

import math

import pytest

from packdesign.foundation.basis import Basis
from packdesign.planning.gauge.adc import Adc
from packdesign.planning.gauge.judged import gauge_verdicts
from packdesign.planning.gauge.pack import GaugePack
from packdesign.planning.gauge.service import gauge
from packdesign.planning.verdicts.verdict import Status

PACK = GaugePack(
    series=3,
    family="nmc",
    cell_full_v=4.2,
    cell_cutoff_v=2.5,
    open_circuit_v=lambda soc: 3.0 + 1.2 * soc,
    lasting_ohm=lambda soc: 0.1,
    sudden_ohm=lambda soc: 0.1,
    working_a=1.0,
    peak_a=4.0,
)
INPUT = Adc(
    name="made up", bits=10, reference_v=1.1, reference_tolerance_fraction=0.01, input_max_v=1.0,
    max_source_ohm=10e3, basis=Basis.ASSUMED, source="made up for this test",
)  # fmt: skip


@pytest.mark.parametrize(
    ("most_drain_a", "status"), [(1e-3, Status.OK), (1e-6, Status.CAUTION), (math.inf, None)]
)
def test_the_drain_is_judged_where_it_is_limited(
    most_drain_a: float, status: Status | None
) -> None:
    found = gauge(PACK, adc=INPUT, most_drain_a=most_drain_a)
    verdicts = {verdict.id: verdict for verdict in gauge_verdicts(found)}
    assert found.divider.highest_pin_v(pack_v=12.6) <= INPUT.input_max_v
    assert found.divider.source_ohm <= INPUT.max_source_ohm
    if status is None:
        assert "gauge_drain" not in verdicts
    else:
        assert verdicts["gauge_drain"].status is status
        assert verdicts["gauge_drain"].value == found.divider.drain_a(pack_v=12.6)
