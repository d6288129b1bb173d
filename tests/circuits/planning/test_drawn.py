"""Tags and filters of ``drawn``: pictures with words beside them, sensible digits, units always."""

from __future__ import annotations

from decimal import Decimal

import pytest
from django.template import Context, Template
from django.utils import translation

from circuits.drawings.distribution import hours_drawing


def said(markup: str, **values: object) -> str:
    return Template("{% load drawn %}" + markup).render(Context(values))


def test_wire_has_its_letters_beside_the_stroke() -> None:
    found = said("{% wire_stroke colour %}", colour="RD/BK")
    assert found.endswith("RD/BK</span>")
    assert 'aria-hidden="true"' in found


@pytest.mark.parametrize("colour", ["", None])
def test_wire_without_a_colour_says_so(colour: str | None) -> None:
    assert "not chosen" in said("{% wire_stroke colour %}", colour=colour)


def test_wire_that_stays_without_a_colour_says_that_none_was_written_down() -> None:
    assert "not recorded" in said("{% wire_stroke '' True %}")


def test_letters_of_a_wire_are_escaped() -> None:
    assert "&lt;b&gt;" in said("{% wire_stroke colour %}", colour="<b>")


def test_fuse_says_rating_family_and_colour() -> None:
    assert "15 A blade, blue" in said('{% fuse_drawn "blade" 15 %}')
    assert "visually-hidden" in said('{% fuse_drawn "blade" 15 words=False %}')


@pytest.mark.parametrize("markup", ['{% fuse_drawn "none" 15 %}', '{% fuse_drawn "blade" rating %}'])
def test_no_fuse_is_a_dash(markup: str) -> None:
    assert said(markup, rating=None) == "–"


def test_symbol_is_named_and_an_unknown_one_is_left_out() -> None:
    assert ">lamp</title>" in said('{% symbol "lamp" %}')
    assert said('{% symbol "turbine" %}') == ""


def test_drawing_is_painted_and_none_leaves_nothing() -> None:
    assert said("{% drawing it %}", it=hours_drawing(4, 5, 6)).startswith("<svg")
    assert said("{% drawing it %}", it=None) == ""


@pytest.mark.parametrize(
    ("markup", "value", "expected"),
    [
        ("{{ it|amps }}", 13.400000000000002, "13.4 A"),
        ("{{ it|amps }}", 0.058, "0.058 A"),
        ("{{ it|amps }}", 150, "150 A"),
        ("{{ it|amps }}", None, "–"),
        ("{{ it|volts }}", 0.2567, "0.26 V"),
        ("{{ it|volts }}", -1e-12, "0 V"),
        ("{{ it|metres }}", 2.3, "2.30 m"),
        ("{{ it|metres }}", "", "–"),
        ("{{ it|percent }}", 2.06, "2.1 %"),
        ("{{ it|hours }}", 31.449, "31.4 h"),
        ('{{ it|money:"EUR" }}', Decimal("1234.5"), "€1,234.50"),
        ('{{ it|money:"EUR de" }}', Decimal("1234.5"), "1.234,50\xa0€"),
        ('{{ it|money:"JPY" }}', Decimal(1234), "¥1,234"),
        ("{{ it|money }}", Decimal("1234.50"), "1,234.50"),
        ("{{ it|money }}", None, "–"),
    ],
)
def test_figures_have_sensible_digits_and_their_unit(markup: str, value: object, expected: str) -> None:
    with translation.override("en"):
        assert said(markup, it=value) == expected
