"""The charge on its hottest day, with its own heat; and a charge that ends before it has begun."""

from __future__ import annotations

import pytest

from packdesign.planning.assess.parts import JudgedCharge, judged_charge
from packdesign.planning.brief.load import brief_from_mapping
from packdesign.planning.verdicts.verdict import Status, Verdict
from packdesign.presentation.export.contract import charge_object

PACK = {"cell": "Samsung SDI INR18650-35E", "series": 2, "parallel": 1}
TUBE = {"shape": "tube", "bore": "30 mm", "length": "180 mm", "closure": "sealed"}


def hot(judged, *, degc: float, current: str, **more: object) -> Verdict:
    charger = {"current": current, "temperature_max": f"{degc} degC", **more}
    return judged(pack=PACK, cavity=TUBE, loads=[{"name": "lamp", "watts": 3}], charger=charger)[
        "charge_hot"
    ]


def test_a_charge_warms_the_cells_beyond_the_day_it_begins_on(judged):
    """The sheet ends at 45 degC: a charge at 0.5C in a closed tube must not begin at 43."""
    gentle, brisk = (hot(judged, degc=43, current=each) for each in ("0.2 A", "1.7 A"))
    assert (gentle.status, brisk.status) == (Status.OK, Status.STOP)
    assert 43.0 < gentle.value < 44.0
    assert brisk.value > 46.0
    assert "Begun at 43 degC" in brisk.reason
    assert hot(judged, degc=35, current="1.7 A").status is Status.OK


def test_a_sensor_on_a_cell_ends_the_charge_before_harm(judged):
    """It is cut short then, a caution; a charge that begins too hot is a stop all the same."""
    watched, begun_hot = (
        hot(judged, degc=each, current="1.7 A", temperature_sensor=True) for each in (43, 50)
    )
    assert watched.value > 46.0
    assert (watched.status, begun_hot.status) == (Status.CAUTION, Status.STOP)


def of_ohm(ohm: str) -> JudgedCharge:
    return judged_charge(
        brief_from_mapping(
            {
                "pack": PACK,
                "charger": {"current": "1 A", "end_current": "0.1 A"},
                "measured": {"cell_resistance": ohm},
            }
        )
    )


@pytest.mark.slow
@pytest.mark.parametrize(
    ("ohm", "status", "soc"),
    [
        ("60 mohm", None, (0.98, 1.02)),
        ("1 ohm", Status.CAUTION, (0.6, 0.85)),
        ("10 ohm", Status.STOP, (0.05, 0.06)),
    ],
)
def test_a_charge_that_ends_before_the_cells_are_full_says_how_full_they_get(ohm, status, soc):
    found = of_ohm(ohm)
    ends = {each.id: each for each in found.judged}.get("charge_ends")
    written = charge_object(found)["charge"]
    low, high = soc
    assert low <= written["end_soc"] <= high
    assert written["ends_by"] == "end current reached"
    assert (None if ends is None else ends.status) is status
    if ends is not None:
        assert ends.value == pytest.approx(written["end_soc"], rel=1e-6)
        assert "of a full one" in ends.reason


@pytest.mark.slow
def test_a_charger_that_is_set_low_on_purpose_does_not_end_early():
    """4.0 V a cell leaves four fifths, which is told as the share of the charge, and only there."""
    found = judged_charge(
        brief_from_mapping(
            {
                "pack": PACK,
                "charger": {"current": "1 A", "end_voltage_per_cell": "4.0 V"},
            }
        )
    )
    assert "charge_ends" not in {each.id for each in found.judged}
    assert found.plan.charge is not None
    assert found.plan.charge.run.end_soc < 0.85
