"""Wire colours against the letters of IEC 60757."""

from __future__ import annotations

import csv
import itertools
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st

from circuits.colours import COLOURS, colour_name, parse_colour
from circuits.errors import QuantityError

REFERENCE = Path(__file__).parents[1] / "reference" / "colour_codes_iec60757.csv"
with REFERENCE.open(encoding="utf-8", newline="") as file:
    PUBLISHED = {row["colour"]: row["code"] for row in csv.DictReader(file)}  # GOST 28763-90 = IEC 757:1983
SINGLE = {colour: code for colour, code in PUBLISHED.items() if len(code) == 2}


def test_every_published_letter_pair_is_known_under_its_name():
    assert {colour.name: code for code, colour in COLOURS.items()} == SINGLE


def test_green_and_yellow_reads_as_the_standard_joins_it():
    assert parse_colour(PUBLISHED["green-and-yellow"]) == "GN/YE"


@pytest.mark.parametrize("parting", ["/", "-", " ", " / ", ""])
def test_base_and_tracer_read_however_they_are_parted(parting: str):
    for base, tracer in itertools.permutations(SINGLE.values(), 2):
        assert parse_colour(f"{base}{parting}{tracer}".lower()) == f"{base}/{tracer}"


@pytest.mark.parametrize(("name", "code"), SINGLE.items())
def test_english_names_read(name: str, code: str):
    assert parse_colour(name) == parse_colour(name.upper()) == code


@pytest.mark.parametrize("text", ["", " ", "/", "XX", "RD/", "/RD", "RD/XX", "RD/BK/WH", "RDB", "RD//BK", "re d"])
def test_what_is_no_colour_is_refused_with_what_was_found_and_wanted(text: str):
    with pytest.raises(QuantityError, match=r"found .*expected IEC 60757 letters"):
        parse_colour(text)


def test_a_tracer_in_the_base_colour_is_refused():
    with pytest.raises(QuantityError, match="differs from the base"):
        parse_colour("red/RD")


@given(st.text())
def test_any_text_either_reads_to_a_form_that_reads_to_itself_or_is_refused(text: str):
    try:
        colour = parse_colour(text)
    except QuantityError:
        return
    assert parse_colour(colour) == colour


def test_every_shade_is_drawable_and_no_two_are_the_same():
    shades = [colour.hex for colour in COLOURS.values()]
    assert all(len(shade) == 7 and int(shade[1:], 16) >= 0 for shade in shades)
    assert len(set(shades)) == len(shades)


def test_colours_are_said_in_words():
    assert colour_name("gn/ye") == "green with yellow tracer"
    assert colour_name("BK") == "black"
