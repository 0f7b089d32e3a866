"""Verdicts on a resettable fuse: found by its name, weaker in the heat, soon beyond its limits."""

from __future__ import annotations

import pytest

from packdesign.planning.brief.load import brief_from_mapping
from packdesign.planning.needs.fuse_parts import fuse_of, fuse_part, is_resettable, resettable_part
from packdesign.planning.verdicts.verdict import Status

CELL = {"cell": "Samsung SDI INR18650-25R", "series": 3, "parallel": 1}


def of(judged, fuse: dict[str, object], *, watts: float = 10.0, hottest: str = "25 degC", **pack):
    return judged(
        pack={**CELL, "fuse": fuse, **pack},
        loads=[{"name": "lamp", "watts": watts}],
        surroundings={"ambient": "20 degC", "ambient_max": hottest},
    )


@pytest.mark.parametrize(
    ("part", "name"),
    [
        ("MF-R 2.5 A", "MF-R 2.5 A"), ("MF-R250", "MF-R 2.5 A"), ("mf-r250-0-10", "MF-R 2.5 A"),
        ("RUEF300", "RUEF 3 A"), ("60R375", "60R 3.75 A"), ("MF-RHT 2 A", "MF-RHT 2 A"),
        ("MF-RHT200", "MF-RHT 2 A"), ("MF-R 2.4 A", None), ("MF-RX250", None), ("ATO 10 A", None),
    ],
)  # fmt: skip
def test_a_resettable_fuse_is_found_by_its_name(part, name):
    pack = brief_from_mapping({"pack": {**CELL, "fuse": {"part": part}}}).pack
    found = resettable_part(pack)
    assert (None if found is None else found.name) == name
    assert is_resettable(pack) is (name is not None)
    if found is not None:
        assert fuse_part(pack) is None
        assert fuse_of(pack).breaking_capacity_a == found.highest_a


def test_the_heat_takes_from_the_hold_current(judged):
    # 8 W from some 7.3 V, in the last half minute before its cut-off, is 1.1 A
    cool, warm, hot = (
        of(judged, {"part": "MF-R110"}, watts=8.0, hottest=each)["fuse_holds"]
        for each in ("23 degC", "40 degC", "60 degC")
    )
    assert cool.limit == pytest.approx(1.1)
    assert cool.limit > warm.limit > hot.limit
    assert (cool.status, warm.status, hot.status) == (Status.OK, Status.STOP, Status.STOP)
    assert "from memory" in cool.source
    assert cool.value == pytest.approx(8.0 / 7.3, abs=0.05)  # not the 0.74 A of the nominal 10.8 V
    beyond = of(judged, {"part": "MF-R110"}, hottest="90 degC")["fuse_holds"]
    assert (beyond.status, beyond.limit) == (Status.UNKNOWN, None)


def test_a_short_circuit_beyond_its_limit_is_a_stop(judged):
    # 40 A at most for MF-R and 100 A for RUEF; three 25R drive some 200 A
    found = of(judged, {"part": "MF-R300"})
    assert (found["fuse_interrupts"].status, found["fuse_interrupts"].limit) == (Status.STOP, 40.0)
    assert "melting fuse" in found["fuse_interrupts"].fix
    assert found["fuse_voltage"].status is Status.OK
    assert of(judged, {"kind": "resettable", "rating": "3 A"})["fuse_interrupts"].status is (
        Status.UNKNOWN
    )
    told = {"kind": "resettable", "rating": "3 A", "breaking_capacity": "500 A"}
    assert of(judged, told)["fuse_interrupts"].status is Status.OK


def test_the_lead_is_held_to_the_trip_and_not_to_the_hold(judged):
    # the test is 25 A for 14.5 s, 9060 A2 s; a lead melts after 0.9 million (12 AWG), 56 thousand
    # (18 AWG) and 0.09 thousand (32 AWG)
    found = {
        awg: of(judged, {"part": "MF-R500"}, lead={"awg": awg})["fuse_before_wire"]
        for awg in (12, 18, 32)
    }
    assert [each.status for each in found.values()] == [Status.OK, Status.CAUTION, Status.STOP]
    assert found[18].value == pytest.approx(9062 / 56_000, rel=0.05)
    spares = of(judged, {"part": "MF-R500"}, lead={"awg": 22})["fuse_spares_wire"]
    assert spares.value == 10.0
    unknown = of(judged, {"kind": "resettable", "rating": "5 A"}, lead={"awg": 32})
    assert unknown["fuse_before_wire"].status is Status.UNKNOWN
    assert "time to trip" in unknown["fuse_before_wire"].fix


def test_a_start_above_the_trip_current_is_a_caution(judged):
    # 60 W is 5.6 A and more: above the 3.2 A of MF-R160, below the 10 A of MF-R500
    small, large = (
        of(judged, {"part": each}, watts=60.0)["fuse_overload"] for each in ("MF-R160", "MF-R500")
    )
    assert (small.status, large.status) == (Status.CAUTION, Status.OK)


def test_a_hard_minute_in_an_easy_half_hour_is_not_averaged_away(judged, tmp_path):
    """4 A for 90 s, else 0.3 A: 1.6 A rms over ten minutes, which 2.5 A would hold."""
    rows = ["time_s,current_a", "0,0.3", "899,0.3", "900,4", "990,4", "991,0.3", "1800,0.3"]
    (tmp_path / "work.csv").write_text("\n".join(rows))
    pack = {**CELL, "fuse": {"part": "MF-R250"}}
    found = judged(tmp_path, pack=pack, load={"log": "work.csv"})["fuse_holds"]
    assert found.value == pytest.approx(4.0, rel=0.01)
    assert found.status is Status.STOP
