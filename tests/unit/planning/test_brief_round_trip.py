"""A brief written out reads back as the same brief, to the last digit."""

from __future__ import annotations

import types
import typing
from typing import Any, Literal

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st
from pydantic import ValidationError
from pydantic.fields import FieldInfo

from packdesign.foundation.units import SUFFIX_UNITS, quantity
from packdesign.planning.brief.dump import brief_to_toml
from packdesign.planning.brief.keys import quantity_of, split_suffix
from packdesign.planning.brief.load import brief_from_mapping, brief_from_text
from packdesign.planning.brief.schema import Brief
from packdesign.planning.brief.section import Section, section_of

POINTERS = {"rail", "fed_by", "motor", "loads_off", "cell_table", "log", "mesh", "cells"}
"""Keys that name something elsewhere; drawn at random they would name nothing."""

words = st.text(st.characters(exclude_categories=("Cs",)), min_size=1, max_size=12)


def _number(attribute: str, field: FieldInfo) -> st.SearchStrategy[Any]:
    accepts = quantity_of(field)
    assert accepts is not None
    stored = SUFFIX_UNITS[split_suffix(attribute)[1]]
    low, high = (
        quantity(end if accepts.is_plain else f"{end!r} {accepts.unit}", unit=stored, what="")
        for end in (float(accepts.low), float(accepts.high))
    )
    one = st.floats(low, high, allow_subnormal=False)
    return st.lists(one, max_size=3) if "tuple" in str(field.annotation) else one


def _plain(annotation: Any, field: FieldInfo) -> st.SearchStrategy[Any]:
    origin = typing.get_origin(annotation)
    if origin is Literal:
        return st.sampled_from(typing.get_args(annotation))
    if origin is tuple:
        return st.lists(_plain(typing.get_args(annotation)[0], field), max_size=2)
    if origin is typing.Annotated:
        return _plain(typing.get_args(annotation)[0], field)
    if origin in (types.UnionType, typing.Union):
        return _plain(typing.get_args(annotation)[0], field)
    return {bool: st.booleans(), int: st.integers(1, 9), float: st.floats(0.5, 9), str: words}[
        annotation
    ]


def _section(kind: type[Section]) -> st.SearchStrategy[dict[str, Any]]:
    keys: dict[str, st.SearchStrategy[Any]] = {}
    for attribute, field in kind.model_fields.items():
        inner, many = section_of(field.annotation)
        if attribute in POINTERS:
            continue
        if inner is not None:
            one = _section(inner).filter(lambda drawn, inner=inner: _is_valid(inner, drawn))
            keys[attribute] = st.lists(one, max_size=1) if many else one
        elif quantity_of(field) is not None:
            keys[attribute] = _number(attribute, field)
        else:
            keys[attribute] = _plain(field.annotation, field)
    return st.fixed_dictionaries({}, optional=keys)


def _is_valid(kind: type[Section], drawn: dict[str, Any]) -> bool:
    try:
        kind.model_validate(drawn)
    except ValidationError:
        return False
    return True


SECTIONS = [
    (name, *section_of(field.annotation))
    for name, field in Brief.model_fields.items()
    if section_of(field.annotation)[0] is not None and name != "motors"
]


@pytest.mark.parametrize(("name", "kind", "many"), SECTIONS, ids=[name for name, *_ in SECTIONS])
@settings(
    max_examples=25,
    deadline=None,
    suppress_health_check=[HealthCheck.filter_too_much, HealthCheck.too_slow],
)
@given(data=st.data())
def test_any_section_survives_being_written(
    name: str, kind: type[Section], many: bool, data: st.DataObject
) -> None:
    drawn = data.draw(_section(kind).filter(lambda drawn: _is_valid(kind, drawn)))
    try:
        brief = Brief.model_validate({name: [drawn] if many else drawn})
    except ValidationError:  # alone it may lack the motor that its actions need
        return
    assert brief_from_text(brief_to_toml(brief)) == brief


def test_a_quantity_is_written_as_a_builder_would_where_that_is_exact() -> None:
    brief = brief_from_mapping({"cavity": {"wall_thickness": "0.0625 in"}, "start": {"soc": 0.5}})
    assert 'wall_thickness = "1.5875 mm"' in brief_to_toml(brief)


def test_an_awkward_number_is_written_to_its_last_digit() -> None:
    brief = brief_from_mapping({"cavity": {"wall_thickness_m": 0.0012345678901234567}})
    read = brief_from_text(brief_to_toml(brief))
    assert read.cavity is not None
    assert read.cavity.wall_thickness_m == 0.0012345678901234567


def test_attribute_names_are_keys_too() -> None:
    by_key = brief_from_mapping({"loads": [{"watts": 3, "duty": 0.5}]})
    by_attribute = brief_from_mapping({"loads": [{"power_w": 3, "duty_fraction": 0.5}]})
    assert by_key == by_attribute
