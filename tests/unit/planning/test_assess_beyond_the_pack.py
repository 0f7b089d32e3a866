"""What a pack cannot carry is a stop, not an input that cannot be used."""

from __future__ import annotations

import re
from pathlib import Path
from typing import Any

import pytest

from packdesign.planning.verdicts.verdict import Status

PACK = {"cell": "Samsung SDI INR18650-25R", "series": 3, "parallel": 1}
SPINNER = {
    "name": "spinner",
    "nominal_voltage": "12 V",
    "no_load_speed": "3000 rpm",
    "no_load_current": "0.1 A",
    "stall_current": "3 A",
    "rotor_inertia": "5 g*cm**2",
    "drives": {"inertia": "2e-6 kg*m**2"},
    "drive": {"ramp_up": "0.1 s"},
}


def heater(watts: float) -> dict[str, Any]:
    """Give a motor beside a heater on a 5 V rail."""
    return {
        "pack": PACK,
        "motor": SPINNER,
        "rails": [{"name": "5 V", "kind": "buck", "output_voltage": "5 V", "efficiency": 0.9}],
        "loads": [{"name": "heater", "watts": watts, "rail": "5 V"}],
        "mission": {"run_time": "2 min", "actions": [{"do": "start", "seconds": 5}]},
    }


@pytest.mark.parametrize(
    ("watts", "says"), [(900.0, "The pack .* cannot carry 1000"), (200.0, "Cold and near empty: ")]
)
def test_more_than_the_pack_can_give_is_a_stop(judged, watts: float, says: str):
    found = judged(**heater(watts))["load_beyond_pack"]
    assert found.status is Status.STOP
    assert found.value is None
    assert re.search(says, found.reason)


def test_what_the_pack_can_give_is_no_such_stop(judged):
    assert "load_beyond_pack" not in judged(**heater(10.0))


def replayed(judged, folder: Path, *, amps: float, minutes: float, soc: float = 1.0) -> Any:
    rows = [f"{time_s},{amps}" for time_s in range(0, int(minutes * 60) + 1, 10)]
    (folder / "log.csv").write_text("\n".join(["time_s,current_a", *rows, ""]))
    return judged(
        folder, pack={**PACK, "series": 1}, load={"log": "log.csv"}, start={"soc": soc}
    ).get("log_met")


def test_a_log_that_ends_at_once_is_a_stop(judged, tmp_path: Path):
    found = replayed(judged, tmp_path, amps=20.0, minutes=5.0, soc=0.01)
    assert found.status is Status.STOP
    assert found.value < 60.0 < found.limit == pytest.approx(300.0)
    assert "at once" in found.reason


def test_a_log_longer_than_the_pack_is_a_caution(judged, tmp_path: Path):
    found = replayed(judged, tmp_path, amps=5.0, minutes=90.0)
    assert found.status is Status.CAUTION
    assert 20 * 60 < found.value < 31 * 60, "2.5 Ah at 5 A"
    assert found.margin == pytest.approx(found.value / found.limit - 1.0)


def test_a_log_that_the_pack_carries_says_nothing(judged, tmp_path: Path):
    assert replayed(judged, tmp_path, amps=5.0, minutes=10.0) is None
