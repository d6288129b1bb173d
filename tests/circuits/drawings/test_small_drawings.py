"""Wire strokes, fuses, symbols, hours: what a person recognises must be there, in ink that can be read."""

from __future__ import annotations

import math

import pytest
from hypothesis import example, given
from hypothesis import strategies as st

from circuits.colours import COLOURS
from circuits.drawings.distribution import hours_drawing
from circuits.drawings.fuses import fuse_drawn, fuse_tint
from circuits.drawings.lettering import fitted, text_width, wrapped
from circuits.drawings.shapes import Drawing, DrawingError, Line, Pen, Polyline, Rect, Text
from circuits.drawings.strokes import base_and_tracer, cable, wire_stroke
from circuits.drawings.svg import svg
from circuits.drawings.symbols import MIDDLE, SYMBOL_NAMES, SYMBOL_WIDTH, symbol
from circuits.electrical.protection import standard_fuses
from circuits.plan import FuseFamily, Kind
from tests.circuits.drawings.checks import (
    assert_no_lettering_overlaps,
    assert_nothing_leaves_the_sheet,
    parsed,
    texts,
)

WITH_COLOUR = (FuseFamily.BLADE, FuseFamily.MINI_BLADE, FuseFamily.MAXI_BLADE)


def luminance(colour: str) -> float:
    """Relative luminance (WCAG 2.2)."""
    channels = [int(colour[i : i + 2], 16) / 255 for i in (1, 3, 5)]
    linear = [c / 12.92 if c <= 0.04045 else ((c + 0.055) / 1.055) ** 2.4 for c in channels]
    return 0.2126 * linear[0] + 0.7152 * linear[1] + 0.0722 * linear[2]


def contrast(one: str, other: str) -> float:
    high, low = sorted((luminance(one), luminance(other)), reverse=True)
    return (high + 0.05) / (low + 0.05)


@pytest.mark.parametrize("code", COLOURS)
def test_stroke_is_in_base_colour_with_its_tracer(code: str) -> None:
    other = "BK" if code != "BK" else "WH"
    markup = svg(wire_stroke(f"{code}/{other}"))
    assert COLOURS[code].hex in markup
    assert COLOURS[other].hex in markup


def test_stroke_of_a_colour_not_chosen_is_a_dashed_outline() -> None:
    (shape,) = wire_stroke("").shapes
    assert isinstance(shape, Rect)
    assert shape.pen.dash
    assert base_and_tracer("XX") == ("", "")


def test_cable_of_a_colour_not_chosen_is_dashed() -> None:
    (shape,) = cable("", ((0, 0), (9, 0)))
    assert isinstance(shape, Polyline)
    assert shape.pen.dash


@pytest.mark.parametrize("family", WITH_COLOUR)
def test_every_coloured_fuse_has_a_shade_and_a_rating_that_can_be_read(family: FuseFamily) -> None:
    for fuse in standard_fuses(family):
        name, tint = fuse_tint(family, fuse.rating_a)
        assert name == fuse.colour
        (rating,) = texts(fuse_drawn(family, fuse.rating_a))
        assert rating.text == f"{fuse.rating_a:g}"
        assert contrast(tint, rating.pen.fill) >= 4.5, (name, tint)


@pytest.mark.parametrize(
    ("rating_a", "colour"),
    [
        (3, "violet"),
        (5, "tan"),
        (7.5, "brown"),
        (10, "red"),
        (15, "blue"),
        (20, "yellow"),
        (25, "clear"),
        (30, "green"),
    ],
)
def test_blade_fuses_have_the_colours_of_the_standard(rating_a: float, colour: str) -> None:
    """ISO 8820-3 as listed in two published colour tables (read)."""
    assert fuse_tint("blade", rating_a)[0] == colour


def test_unknown_rating_is_drawn_bare_with_its_figure() -> None:
    assert fuse_tint("blade", 17.0)[0] == ""
    assert texts(fuse_drawn("blade", 17.0))[0].text == "17"


@pytest.mark.parametrize("name", SYMBOL_NAMES)
def test_symbol_has_a_name_and_an_end_where_wires_land(name: str) -> None:
    drawing = symbol(name)
    assert drawing.title
    assert_nothing_leaves_the_sheet(drawing)
    lands = {(0.0, MIDDLE), (SYMBOL_WIDTH, MIDDLE)}
    ends = {point for s in drawing.shapes if isinstance(s, Line) for point in ((s.x1, s.y1), (s.x2, s.y2))}
    assert name == "relay" or lands & ends


@pytest.mark.parametrize("kind", Kind)
def test_every_kind_of_load_has_a_symbol(kind: Kind) -> None:
    assert symbol(kind.value).shapes


def test_unknown_symbol_names_those_there_are() -> None:
    with pytest.raises(DrawingError, match="no symbol 'turbine'; there are supply"):
        symbol("turbine")


@example(1241.0, 0.79296875, "")  # a tick of five figures near the right edge
@given(
    st.floats(0.1, 2000.0),
    st.floats(0.01, 0.9),
    st.sampled_from(["", "P50", "P80"]),
)
def test_hours_are_legible_whatever_their_spread(p50_h: float, sigma: float, sold: str) -> None:
    drawing = hours_drawing(p50_h, p50_h * math.exp(0.8416 * sigma), p50_h * math.exp(1.2816 * sigma), sold)
    assert_no_lettering_overlaps(drawing)
    assert_nothing_leaves_the_sheet(drawing)


def test_hatching_ends_at_the_figure_that_is_sold() -> None:
    drawing = hours_drawing(40.0, 46.0, 50.0, sold="P80")
    label = next(text for text in texts(drawing) if "sold" in text.text)
    hatches = [s for s in drawing.shapes if isinstance(s, Line) and s.pen.width == 0.75]
    assert label.text.startswith("P80")
    assert hatches
    assert all(hatch.x1 < label.x for hatch in hatches)


def test_hours_without_spread_are_still_drawn() -> None:
    assert_nothing_leaves_the_sheet(hours_drawing(10.0, 10.0, 10.0))


@pytest.mark.parametrize("figures", [(0.0, 1.0, 2.0), (2.0, 1.0, 3.0), (1.0, 2.0, math.inf), (1.0, math.nan, 2.0)])
def test_hours_that_do_not_rise_are_refused(figures: tuple[float, float, float]) -> None:
    with pytest.raises(DrawingError, match="must rise"):
        hours_drawing(*figures)


@given(st.text(max_size=40), st.floats(20.0, 200.0))
def test_fitted_lettering_fits(text: str, width: float) -> None:
    assert text_width(fitted(text, 10.0, width), 10.0) <= width


@given(st.text(alphabet="ab ćW電", max_size=60), st.integers(1, 4))
def test_wrapped_lettering_fits_in_its_lines(text: str, lines: int) -> None:
    found = wrapped(text, 10.0, 60.0, lines)
    assert 1 <= len(found) <= lines
    assert all(text_width(line, 10.0) <= 60.0 for line in found)


def test_lettering_is_escaped() -> None:
    drawing = Drawing(200, 20, (Text(0, 12, '<script>"&'),), '<b>"', "a & b")
    element = parsed(drawing)
    assert [child.text for child in element] == ['<b>"', "a & b", '<script>"&']


def test_pen_and_sheet_of_impossible_size_are_refused() -> None:
    with pytest.raises(DrawingError, match="pen width"):
        Pen(width=-1)
    with pytest.raises(DrawingError, match="size above 0"):
        Drawing(0, 5, ())
    with pytest.raises(DrawingError, match="rectangle"):
        Rect(0, 0, -1, 1)
