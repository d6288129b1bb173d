"""Values to plain data and back."""

import json
from dataclasses import dataclass
from datetime import UTC, date, datetime
from decimal import Decimal
from enum import StrEnum

import pytest
from hypothesis import given
from hypothesis import strategies as st

from estimating.quotes.frozen import RecordError, from_data, to_data


class Colour(StrEnum):
    RED = "red"
    BLUE = "blue"


@dataclass(frozen=True)
class Inner:
    amount: Decimal
    colour: Colour = Colour.RED


@dataclass(frozen=True)
class Outer:
    name: str
    count: int
    share: float
    day: date | None
    moment: datetime | None
    picture: bytes | None
    inner: tuple[Inner, ...]
    pair: tuple[str, Decimal]
    is_done: bool
    named: dict[str, float]


inners = st.builds(Inner, st.decimals(allow_nan=False, allow_infinity=False), st.sampled_from(Colour))
outers = st.builds(
    Outer,
    name=st.text(),
    count=st.integers(),
    share=st.floats(allow_nan=False, allow_infinity=False),
    day=st.none() | st.dates(),
    moment=st.none() | st.datetimes(timezones=st.just(UTC)),
    picture=st.none() | st.binary(),
    inner=st.lists(inners).map(tuple),
    pair=st.tuples(st.text(), st.decimals(allow_nan=False, allow_infinity=False)),
    is_done=st.booleans(),
    named=st.dictionaries(st.text(), st.floats(allow_nan=False, allow_infinity=False)),
)


@given(outers)
def test_value_comes_back_as_it_was(value):
    back = from_data(Outer, json.loads(json.dumps(to_data(value))))
    assert back == value
    assert [str(inner.amount) for inner in back.inner] == [str(inner.amount) for inner in value.inner]


def test_field_of_a_later_release_takes_its_default():
    assert from_data(Inner, {"amount": "1.00"}) == Inner(Decimal("1.00"))


def test_field_of_an_earlier_release_is_passed_over():
    assert from_data(Inner, {"amount": "1.00", "colour": "blue", "flavour": "salt"}) == Inner(
        Decimal("1.00"), Colour.BLUE
    )


@pytest.mark.parametrize("data", [{}, {"amount": "dear"}, {"amount": "1", "colour": "puce"}, None, [1]])
def test_what_does_not_fit_is_named(data):
    with pytest.raises(RecordError, match="Inner"):
        from_data(Inner, data)


def test_what_has_no_plain_form_is_refused():
    with pytest.raises(RecordError, match="object"):
        to_data((object(),))
