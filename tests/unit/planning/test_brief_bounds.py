"""What the brief accepts never fails later with an inner name: each key at both of its bounds."""

from __future__ import annotations

import copy
import re
import tomllib
from collections.abc import Iterator
from functools import partial
from pathlib import Path
from typing import Any

import pytest
from annotated_types import Ge, Le

from packdesign.engineering.discharge.bands import discharge_bands
from packdesign.engineering.geometry.allowances import LARGEST_ALLOWANCE_M
from packdesign.engineering.geometry.cavities import LARGEST_M, SMALLEST_M
from packdesign.foundation.errors import BriefError, InputError
from packdesign.planning.assess import discharge
from packdesign.planning.assess.service import charge_of, design_of, gate_of, judge_pack
from packdesign.planning.brief.keys import quantity_of
from packdesign.planning.brief.load import brief_from_mapping
from packdesign.planning.brief.place_sections import Cavity
from packdesign.planning.brief.schema import Brief
from packdesign.planning.brief.section import Section, section_of
from packdesign.planning.needs.motors import driven_of
from packdesign.planning.needs.rails import rail_tree_of

EXAMPLES = Path(discharge.__file__).parents[1] / "brief" / "examples"
TUBE, BOX = "soil_corer", "turntable"
"""Examples that the keys are changed in: with a motor both, one in a tube, one in a box."""
INNER_NAME = re.compile(r"\b[a-z]\w*_(?:m|a|v|ohm|w|k|s|ah|wh|nm|degc|fraction)\b")
Key = tuple[tuple[tuple[str, bool], ...], str, Any]


def _ends(section: type[Section], way: tuple[tuple[str, bool], ...] = ()) -> Iterator[Key]:
    """Each numeric key with its way there, at its lower and at its upper bound."""
    for attribute, field in section.model_fields.items():
        inner, many = section_of(field.annotation)
        if inner is not None:
            if attribute != "motors":  # each takes the keys of [motor]
                yield from _ends(inner, (*way, (attribute, many)))
            continue
        accepts = quantity_of(field)
        if accepts is None:
            limits = [each.ge for each in field.metadata if isinstance(each, Ge)]
            limits += [each.le for each in field.metadata if isinstance(each, Le)]
            yield from ((way, attribute, limit) for limit in limits)
            continue
        for number in (accepts.low, accepts.high):
            written = number if accepts.is_plain else f"{number:g} {accepts.unit}"
            yield way, accepts.key, [written, written] if accepts.many else written


KEYS = list(_ends(Brief))


def changed(name: str, key: Key) -> Brief:
    way, last, value = key
    sections = tomllib.loads((EXAMPLES / f"{name}.toml").read_text(encoding="utf-8"))
    at: Any = copy.deepcopy(sections)
    sections = at
    for part, many in way:
        at = at.setdefault(part, [{}] if many else {})
        at = at[0] if many else at
    at[last] = value
    return brief_from_mapping(sections, base_folder=EXAMPLES)


def is_told(error: InputError, key: Key) -> bool:
    """Whether the message speaks of the key, or of its section, in words of the brief."""
    way, last, _ = key
    names = {last, last.replace("_", " "), way[-1][0] if way else last}
    said = str(error)
    return any(name in said for name in names) and not INNER_NAME.search(said)


@pytest.mark.parametrize("example", [TUBE, BOX])
def test_no_key_at_its_bound_fails_later_with_an_inner_name(example: str) -> None:
    """Gate, motors, rails, layout and charge plan of the brief, for every key at both ends."""
    assert len(KEYS) > 300
    wrong = []
    for key in KEYS:
        where = ".".join([*(part for part, _ in key[0]), key[1]])
        try:
            brief = changed(example, key)
        except BriefError as error:
            if INNER_NAME.search(str(error)):
                wrong.append(f"{where} = {key[2]}: {error}")
            continue
        try:
            gate_of(brief)
            driven_of(brief)
            rail_tree_of(brief)
            charge_of(brief, design_of(brief), simulated=False)
        except InputError as error:
            if not is_told(error, key):
                wrong.append(f"{where} = {key[2]}: {error}")
    assert not wrong, "\n".join(wrong)


@pytest.mark.parametrize("end_m", [SMALLEST_M, LARGEST_M])
@pytest.mark.parametrize("side", ["length", "width", "height"])
def test_a_box_at_the_bounds_of_the_geometry_gets_a_verdict(
    monkeypatch: pytest.MonkeyPatch, side: str, end_m: float
) -> None:
    monkeypatch.setattr(discharge, "discharge_bands", partial(discharge_bands, samples=20))
    sizes = {"length": "150 mm", "width": "90 mm", "height": "45 mm", side: f"{end_m * 1000:g} mm"}
    found = judge_pack(
        brief_from_mapping(
            {
                "pack": {"cell": "Samsung SDI INR18650-25R", "series": 1},
                "cavity": {"shape": "box", **sizes},
                "loads": [{"name": "lamp", "watts": 5}],
            }
        )
    )
    fits = next(each for each in found.judged if each.id == "fit")
    assert (str(fits.status) == "stop") is (end_m == SMALLEST_M)


@pytest.mark.parametrize("name", ["bore_m", "length_m", "width_m", "height_m"])
def test_the_brief_has_the_bounds_of_the_geometry(name: str) -> None:
    accepts = quantity_of(Cavity.model_fields[name])
    assert accepts is not None
    assert (accepts.low, accepts.high) == (1000 * SMALLEST_M, 1000 * LARGEST_M)


@pytest.mark.parametrize(
    ("sections", "told"),
    [
        ({"cavity": {"shape": "tube", "bore": "30 mm", "length": "3 m"}}, r"\[cavity\]: length"),
        ({"cavity": {"shape": "box", "length": "9 cm", "width": "9 cm", "height": "2 mm"}},
         r"\[cavity\]: height"),
        ({"pack": {"strips": {"width": "60 mm"}}}, r"\[pack.strips\]: width is '60 mm'"),
        ({"pack": {"strips": {"thickness": "5 mm", "layers": 20}}},
         r"\[pack.strips\]: thickness times layers is 100 mm; at most "
         rf"{LARGEST_ALLOWANCE_M * 1000:g} mm"),
        ({"cavity": {"shape": "tube", "bore": "30 mm", "length": "90 mm", "end_stop": "50 mm",
                     "reserved": [{"name": "board", "length": "40 mm"}]}},
         r"end_stop \(50 mm\) and reserved 'board' \(40 mm\) must leave some of the length"),
        ({"cavity": {"shape": "tube", "bore": "30 mm", "length": "90 mm",
                     "channel_width": "30 mm", "channel_depth": "3 mm"}},
         r"channel_width \(30 mm\) must be below the bore"),
    ],
)  # fmt: skip
def test_what_the_geometry_refuses_the_brief_refuses_by_its_key(
    sections: dict[str, Any], told: str
) -> None:
    with pytest.raises(BriefError, match=told):
        brief_from_mapping(sections)
