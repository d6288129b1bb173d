"""What must hold for every drawing."""

from __future__ import annotations

from itertools import combinations
from xml.etree import ElementTree as ET

from circuits.drawings.shapes import Drawing, Text
from circuits.drawings.svg import svg


def texts(drawing: Drawing) -> list[Text]:
    return [shape for shape in drawing.shapes if isinstance(shape, Text)]


def assert_nothing_leaves_the_sheet(drawing: Drawing) -> None:
    outside = [shape for shape in drawing.shapes if not drawing.box.holds(shape.box)]
    assert not outside, outside[:3]


def assert_no_lettering_overlaps(drawing: Drawing) -> None:
    pairs = [(a.text, b.text) for a, b in combinations(texts(drawing), 2) if a.box.overlaps(b.box)]
    assert not pairs, pairs[:5]


def parsed(drawing: Drawing) -> ET.Element:
    return ET.fromstring(svg(drawing))
