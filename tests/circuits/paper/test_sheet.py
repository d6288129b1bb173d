"""The page kit: frame and title block on every page, embedded type, text as text, rows never split."""

from __future__ import annotations

from datetime import date
from io import BytesIO
from typing import Any

import pytest
from pypdf import PdfReader
from reportlab.pdfgen.canvas import Canvas

from circuits.drawings.distribution import hours_drawing
from circuits.drawings.shapes import Arc, Circle, Drawing, Ink, Line, Pen, Polyline, Rect, Text
from circuits.drawings.symbols import SYMBOL_NAMES, symbol
from circuits.paper.flow import Framed, Picture, Rule, SignatureLines, Words, bullets, gap, kept_section, section
from circuits.paper.rows import Column, rows
from circuits.paper.sheet import Paper, pdf, text_width
from circuits.paper.styles import BODY, DANGER, Align, TextStyle
from circuits.paper.title_block import TitleBlock
from tests.circuits.paper.reading import fonts, pages, whole

BLOCK = TitleBlock("Circuit plan", "J-2026-003 two-door", "P-7", "C", date(2026, 3, 2), "Ana Brook")
WIDTH = text_width(Paper.A4)


def long_table(count: int = 120) -> bytes:
    columns = [Column("Circuit", 2), Column("Load", 3), Column("Current", 1, Align.RIGHT)]
    cells = [
        [f"<{i}> start", "two lines of words that wrap in a narrow column <" + f"{i}> end", f"{i}.5 A"]
        for i in range(count)
    ]
    return pdf(BLOCK, section("Circuits", rows(columns, cells, width_pt=WIDTH, footer=[["Sum", "", "12 A"]])))


def test_title_block_stands_on_every_page_with_its_number() -> None:
    found = pages(long_table())
    assert len(found) > 2
    for number, text in enumerate(found, start=1):
        assert f"{number} of {len(found)}" in text
        for value in ("Circuit plan", "J-2026-003 two-door", "P-7", "2 Mar 2026", "Ana Brook"):
            assert value in text


def test_no_row_is_split_and_none_is_lost() -> None:
    found = pages(long_table())
    for i in range(120):
        (page,) = [text for text in found if f"<{i}> start" in text]
        assert f"<{i}> end" in page
        assert f"{i}.5 A" in page


def test_header_is_repeated_on_every_page() -> None:
    found = pages(long_table())
    assert all("Circuit" in text and "Load" in text and "Current" in text for text in found)


def test_sum_stays_with_the_last_row() -> None:
    for count in range(20, 75, 3):
        last = pages(long_table(count))[-1]
        assert "Sum" in last
        assert f"<{count - 1}> end" in last


def test_heading_never_stands_alone_at_the_foot() -> None:
    table = rows([Column("a")], [["row"]] * 3, width_pt=WIDTH)
    for height in range(560, 720, 8):
        found = pages(pdf(BLOCK, [gap(height), *section("Heading of it", table)]))
        (page,) = [text for text in found if "Heading of it" in text]
        assert "row" in page


def test_kept_section_stays_on_one_page() -> None:
    parts = [Words(f"part {i}") for i in range(8)]
    found = pages(pdf(BLOCK, [gap(620), *kept_section("To sign", *parts, SignatureLines(["Name"]))]))
    (page,) = [text for text in found if "To sign" in text]
    assert all(f"part {i}" in page for i in range(8))
    assert "Name" in page


def test_same_input_same_bytes() -> None:
    assert long_table(10) == long_table(10)


def test_every_font_is_embedded() -> None:
    story = [
        Words("Łódź Ωμέγα Ёлка 電気 שלום سلام"),
        Words("bold", TextStyle(is_bold=True)),
        Picture(hours_drawing(4, 5, 6)),
    ]
    found = fonts(pdf(BLOCK, story))
    assert len(found) == 3
    assert all(found.values()), found


@pytest.mark.parametrize(
    "name",
    [
        "Σταύρος Ωμέγας",
        "Ёжикова Щука",
        "Łukasz Żółć",
        "Şükrü Iğdır",
        "Đặng Ngọc Ánh",
        "電気工房 山田",
        "김민수",
        "王小明汽车",
    ],
)
def test_names_of_any_script_stay_intact(name: str) -> None:
    text = whole(pdf(TitleBlock("Plan", name), [Words(name)]))
    assert text.count(name) >= 2


def test_right_to_left_names_are_drawn_in_order() -> None:
    """Hebrew is stored as read and drawn from the right: the letters stand in reverse on the page."""
    text = whole(pdf(BLOCK, [Words("דוד לוי")]))
    assert "דוד לוי" in text or "יול דוד" in text


def test_arabic_letters_are_joined() -> None:
    """Presentation forms (Unicode block FE70 to FEFF) are what stands on the page."""
    text = whole(pdf(BLOCK, [Words("سارة")]))
    assert any("\ufe70" <= char <= "\ufeff" for char in text) or "سارة" in text


def test_markup_in_user_text_is_text() -> None:
    nasty = '<b>x</b> <font color="red">&amp; <img src="/etc/passwd"/> <para>'
    assert nasty in whole(pdf(BLOCK, [Words(nasty)]))


def test_word_longer_than_its_column_is_broken_not_spilled() -> None:
    word = "W" * 60
    text = whole(pdf(BLOCK, [rows([Column("a", 1), Column("b", 5)], [[word, "x"]], width_pt=WIDTH)]))
    assert text.replace("\n", "").count("W") == 60


def test_cell_taller_than_a_page_is_cut_with_an_ellipsis() -> None:
    text = whole(pdf(BLOCK, [rows([Column("a", 1), Column("b", 9)], [["word " * 3000, "x"]], width_pt=WIDTH)]))
    assert "…" in text


def test_control_characters_do_not_reach_the_page() -> None:
    assert "ab" in whole(pdf(BLOCK, [Words("a\x00\x07b")]))


def test_properties_name_document_and_shop() -> None:
    about = PdfReader(BytesIO(pdf(BLOCK, [Words("x")], author="Kestrel Lane"))).metadata
    assert about is not None
    assert (about.title, about.author, about.subject) == ("Circuit plan P-7", "Kestrel Lane", "J-2026-003 two-door")


@pytest.mark.parametrize("paper", Paper)
def test_sheet_has_the_size_of_its_paper(paper: Paper) -> None:
    box = PdfReader(BytesIO(pdf(BLOCK, [Words("x")], paper=paper))).pages[0].mediabox
    assert (float(box.width), float(box.height)) == pytest.approx(paper.value, abs=0.01)


def test_long_subject_is_cut_to_its_cell() -> None:
    text = whole(pdf(TitleBlock("Quote", "W" * 200, by="Ana"), [Words("x")]))
    assert "W…" in text
    assert "Ana" in text


def test_caution_longer_than_a_page_goes_on_in_a_frame_of_its_own() -> None:
    cautions = [f"caution {i}: " + "words " * 40 for i in range(40)]
    found = pages(pdf(BLOCK, [Framed(bullets(cautions), DANGER)]))
    assert len(found) > 1
    assert all(any(f"caution {i}:" in text for text in found) for i in range(40))


def test_paragraph_breaks_over_pages_and_never_leaves_one_line() -> None:
    text = " ".join(f"w{i}" for i in range(4000))
    found = pages(pdf(BLOCK, [gap(600), Words(text, BODY), Rule()]))
    assert len(found) > 1
    words = " ".join(found).split()
    assert all(f"w{i}" in words for i in range(4000))


def test_row_with_a_cell_too_few_is_refused() -> None:
    with pytest.raises(ValueError, match="a row of 1 cells in a table of 2 columns"):
        rows([Column("a"), Column("b")], [["x"]], width_pt=WIDTH)


def test_every_shape_and_symbol_can_be_painted() -> None:
    pen = Pen(stroke=Ink.ACCENT, fill="#ff0000", dash=(2.0, 1.0))
    shapes = (
        Line(0, 0, 5, 5, pen),
        Rect(0, 0, 5, 5, pen, 1.0),
        Circle(5, 5, 2, pen),
        Arc(5, 5, 4, 0, 180, Pen()),
        Polyline(((0, 0), (5, 5), (5, 0)), pen, is_closed=True),
        Text(5, 5, "Ω"),
    )
    story = [Picture(Drawing(10, 10, shapes)), *(Picture(symbol(name)) for name in SYMBOL_NAMES)]
    assert "Ω" in whole(pdf(BLOCK, story))


def test_painting_leaves_the_canvas_as_it_was() -> None:
    from circuits.drawings.pdf import paint_pdf

    canvas: Any = Canvas(BytesIO(), invariant=1)
    before = (canvas._lineWidth, canvas._fillColorObj)
    paint_pdf(symbol("lamp"), canvas, 10, 10)
    assert (canvas._lineWidth, canvas._fillColorObj) == before
