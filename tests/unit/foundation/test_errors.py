"""One tree of errors, and messages that say where and what instead."""

from __future__ import annotations

import inspect

import pytest

from packdesign.foundation import errors
from packdesign.foundation.errors import (
    InputError,
    PackDesignError,
    TableError,
    UnknownNameError,
    nearest_names,
)


def test_every_error_hangs_on_the_one_tree() -> None:
    classes = [each for _, each in inspect.getmembers(errors, inspect.isclass)]
    raised = [each for each in classes if each.__module__ == errors.__name__]
    assert all(issubclass(each, PackDesignError) for each in raised)
    drawn = errors.__doc__ or ""
    assert not [each.__name__ for each in raised if each.__name__ not in drawn]


def test_an_unusable_request_is_a_value_error_too() -> None:
    assert issubclass(InputError, ValueError)


def test_a_table_error_names_the_place() -> None:
    with pytest.raises(TableError, match=r"cells\.csv line 14, column mass_g: got -3") as raised:
        raise TableError(file="cells.csv", line=14, column="mass_g", problem="got -3")
    assert (raised.value.line, raised.value.column) == (14, "mass_g")


def test_an_unknown_name_offers_the_nearest() -> None:
    error = UnknownNameError(kind="cell", name="30q", known=["30Q", "25R"], where="mine.toml")
    assert str(error) == "mine.toml: no cell named '30q'; nearest: 30Q"
    assert error.nearest == ("30Q",)


@pytest.mark.parametrize(
    ("name", "expected"),
    [
        ("lenght", ("length",)),
        ("BORE", ("bore",)),
        ("leng", ("length",)),  # part of a name counts as near
        ("xyzzy", ()),
    ],
)
def test_nearest_names(name: str, expected: tuple[str, ...]) -> None:
    assert nearest_names(name, ["bore", "length", "width"]) == expected
