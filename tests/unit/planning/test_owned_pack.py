"""A pack already owned: label figures are claims, a two-load reading is worth more."""

from __future__ import annotations

import pytest

from packdesign.data.cells import Confidence
from packdesign.foundation.errors import BriefError
from packdesign.planning.assess.service import assess
from packdesign.planning.brief.change import changed_brief
from packdesign.planning.brief.load import brief_from_mapping
from packdesign.planning.brief.pack_section import Pack
from packdesign.planning.brief.schema import Brief
from packdesign.planning.brief.upkeep_sections import TwoLoadReading
from packdesign.planning.owned.label import DELIVERED_CRATE, cell_from_label, label_verdicts
from packdesign.planning.owned.service import owned_cell, owned_pack
from packdesign.planning.owned.two_load import pack_reading
from packdesign.planning.verdicts.verdict import Status


@pytest.fixture(scope="module")
def racer() -> Brief:
    """Give a device of 60 W on a bought pack, 3S 2200 mAh, "45C"."""
    return brief_from_mapping(
        {
            "pack": {
                "series": 3,
                "label_capacity": "2200 mAh",
                "label_energy": "24.4 Wh",
                "label_crate": 45.0,
                "cell_origin": "used_pack",
            },
            "loads": [{"name": "motor", "watts": 60.0, "min_voltage": "9 V"}],
        }
    )


def test_a_reading_gives_resistance_and_resting_voltage_by_hand():
    found = pack_reading(
        TwoLoadReading(light_current_a=0.5, light_v=11.9, heavy_current_a=8.0, heavy_v=11.2)
    )
    # 0.7 V over 7.5 A; the light load has already taken 0.5 A x 93.3 mohm off
    assert found.resistance_ohm.mid == pytest.approx(0.7 / 7.5)
    assert found.at_rest_v == pytest.approx(11.9 + 0.5 * 0.7 / 7.5)
    assert found.resistance_ohm.low == pytest.approx(0.68 / 7.5)
    assert found.resistance_ohm.high == pytest.approx(0.72 / 7.5)


def test_a_small_difference_is_an_unsure_reading():
    close = pack_reading(
        TwoLoadReading(light_current_a=0.0, light_v=11.90, heavy_current_a=0.5, heavy_v=11.86)
    )
    assert close.resistance_ohm.low == pytest.approx(0.02 / 0.5)
    assert close.resistance_ohm.high == pytest.approx(0.06 / 0.5)


@pytest.mark.parametrize(
    ("crate", "peak_a", "status"),
    [
        (100.0, 2.2 * 11.9, Status.OK),
        (100.0, 2.2 * 12.1, Status.CAUTION),
        (45.0, 2.2 * 35.9, Status.CAUTION),
        (45.0, 2.2 * 36.1, Status.STOP),
        (5.0, 2.2 * 6.0, Status.CAUTION),
        (45.0, None, Status.UNKNOWN),
    ],
)
def test_a_printed_rate_is_a_claim_held_against_what_packs_delivered(crate, peak_a, status):
    # 28 packs delivered 12C to 36C whatever their label said: radiocontrolinfo.com
    assert DELIVERED_CRATE == (12.0, 36.0)
    verdict = next(label_verdicts(Pack(label_crate=crate, label_capacity_ah=2.2), peak_a=peak_a))
    assert verdict.id == "label_crate"
    assert verdict.status is status
    assert "28 measured packs delivered 12C to 36C" in verdict.reason
    assert "radiocontrolinfo" in verdict.source


def test_a_label_whose_energy_and_capacity_disagree_is_told():
    honest = Pack(label_capacity_ah=2.2, label_energy_wh=24.4, series=3)
    false = Pack(label_capacity_ah=2.2, label_energy_wh=33.0, series=3)
    assert next(label_verdicts(honest)).status is Status.OK
    told = next(label_verdicts(false))
    assert told.status is Status.CAUTION
    assert "5.00 V per cell, which no cell of this kind has" in told.reason


def test_the_cell_of_a_label_has_no_rating_but_the_claim():
    cell = cell_from_label(Pack(label_capacity_ah=4.4, label_crate=30.0, series=3, parallel=2))
    assert cell.capacity_ah == 2.2
    assert cell.continuous_a is None
    assert cell.unrated_a == pytest.approx(66.0)
    assert cell.confidence is Confidence.LOW
    litres = cell.thickness_m * cell.width_m * cell.length_m * 1000
    assert 200 < 2.2 * 3.7 / litres < 600, "Wh per litre of a pouch"


@pytest.mark.parametrize("missing", ["label_capacity", "series"])
def test_a_label_that_says_too_little_is_refused(racer, missing):
    with pytest.raises(BriefError, match=f"needs {missing} to judge"):
        owned_cell(changed_brief(racer, {f"pack.{missing}": None}))


def test_a_named_cell_goes_before_the_label(racer):
    named = changed_brief(racer, {"pack.cell": "Samsung SDI INR18650-25R"})
    assert owned_cell(named).part_number == "INR18650-25R"


@pytest.mark.slow
def test_by_its_label_the_rating_of_a_pack_is_unknown(racer):
    found = owned_pack(racer)
    assert found.reading is None
    status = {each.id: each.status for each in found.verdicts}
    assert status["continuous_current"] is Status.UNKNOWN
    assert status["label_crate"] is Status.OK, "60 W are 2.8C of 2.2 Ah"
    assert found.overall in (Status.CAUTION, Status.STOP)


@pytest.mark.slow
def test_a_weak_reading_makes_the_pack_sag_and_lasts_less(racer):
    def read(heavy_v: float) -> Brief:
        return changed_brief(
            racer,
            {
                "measured.two_load.light_current": "0 A",
                "measured.two_load.light_voltage": "11.6 V",
                "measured.two_load.heavy_current": "8 A",
                "measured.two_load.heavy_voltage": f"{heavy_v} V",
                "measured.two_load.seconds": 10,
                "measured.two_load.temperature": "20 degC",
            },
        )

    stiff, weak = owned_pack(read(11.2)), owned_pack(read(10.4))
    assert stiff.cell_ohm is not None
    assert weak.cell_ohm is not None
    # 0.4 and 1.2 V over 8 A are 50 and 150 mohm for three cells and their leads
    assert 0.003 < stiff.cell_ohm.mid < 0.05 / 3
    assert weak.cell_ohm.mid > 2.5 * stiff.cell_ohm.mid
    ends = [each.assessment.discharge.run_time_s.mid for each in (stiff, weak)]
    assert ends[1] < ends[0]
    spread = [each.assessment.design.model.cell.spread.resistance_fraction
              for each in (stiff, weak)]  # fmt: skip
    assert spread[0] > spread[1], "the larger difference is the surer reading"


@pytest.mark.parametrize(("light_v", "heavy_v"), [(500.0, 499.0), (3.7, 3.6)])
def test_a_reading_that_so_many_cells_cannot_give_is_refused(racer, light_v, heavy_v):
    brief = changed_brief(
        racer,
        {
            "measured.two_load.light_current": "0 A",
            "measured.two_load.light_voltage": f"{light_v} V",
            "measured.two_load.heavy_current": "8 A",
            "measured.two_load.heavy_voltage": f"{heavy_v} V",
            "measured.two_load.seconds": 10,
            "measured.two_load.temperature": "20 degC",
        },
    )
    with pytest.raises(BriefError, match="read the whole pack"):
        owned_pack(brief)


@pytest.mark.parametrize(
    ("reading", "told"),
    [
        (("0 A", "12.3 V", "8 A", "12.2999 V"), "0.1 mV apart, and a hand meter errs by 20 mV"),
        (("0 A", "12.3 V", "900 A", "12 V"), r"heavy_current is 900 A, 409 times the capacity"),
        (("0 A", "12.3 V", "8 A", "3 V"), r"heavy_voltage is 3 V, 1 V for each of 3 in series"),
        (("0 A", "27 V", "8 A", "26 V"), r"9 V for each of 3 in series"),
    ],
)
@pytest.mark.parametrize("judged", [owned_pack, assess])
def test_a_reading_that_no_such_pack_gives_is_refused(racer, reading, told, judged):
    """Before, 0.1 mV of sag made a pack without resistance, and everything came out well."""
    keys = ("light_current", "light_voltage", "heavy_current", "heavy_voltage")
    changes = {f"measured.two_load.{key}": value for key, value in zip(keys, reading, strict=True)}
    if judged is assess:
        changes |= {"pack.cell": "Samsung SDI INR18650-25R"}
        told = told.replace("409", "360")
    with pytest.raises(BriefError, match=rf"measured.two_load: .*{told}"):
        judged(changed_brief(racer, changes))


def test_a_resistance_that_no_cell_has_is_a_stop(racer):
    found = owned_pack(changed_brief(racer, {"measured.cell_resistance": "0.01 mohm"}))
    judged = {each.id: each.status for each in found.verdicts}
    assert judged["resistance_measured"] is Status.STOP
