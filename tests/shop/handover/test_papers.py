"""The handover sheet and the fuse chart card: all that they must say, whatever the names, the same bytes each time."""

from __future__ import annotations

import re
from dataclasses import replace
from io import BytesIO
from typing import Any

import pytest
from pypdf import PdfReader

from circuits.cautions import cautions
from shop.handover.card import card_pdf
from shop.handover.code import QUIET_MODULES, code_drawing, code_modules
from shop.handover.content import (
    FaultLine,
    FusePanel,
    FusePosition,
    Outcome,
    OverrideLine,
    ProofLine,
    WireKind,
)
from shop.handover.papers import handover_pdf
from tests.shop.handover.conftest import AT, content_of

LONG = "Wilhelmina-Konstantinopolitanische Oldtimerrestaurierungsgesellschaft und Söhne"
PROOF = (
    ProofLine(
        "Grounds", "Ground point dash", "at most 100 mΩ", "0.04 ohm", Outcome.PASSED, "Tessa Crimp", AT, "Meter 2"
    ),
    ProofLine("Charging", "Battery at its posts", "13.50 V to 14.80 V", "14.2 V", Outcome.PASSED, "Jo", AT, "Meter 3"),
)
FAULT = FaultLine(4, "Clock stops when cold", "runs", "ignition off", ("clock",), "Comfort", False, "Set it by hand")
OVERRIDE = OverrideLine("Battery connected", "To hear the starter turn", "Wilma Lumen", AT)


def pages(pdf):
    return [" ".join(page.extract_text().split()) for page in PdfReader(BytesIO(pdf)).pages]


def text(pdf):
    return " ".join(pages(pdf))


def test_sheet_says_all_that_the_next_person_relies_on():
    content = content_of(proof=PROOF, overrides=(OVERRIDE,), faults=(FAULT,))
    told = text(handover_pdf(content))
    for words in (
        "Handover sheet", "J-2031-001", "QF 1968", "QF15S0042", "Ada Fernwhistle", "12 V DC", content.basis,
        "Released by Wilma Lumen, owner", "2 May 2031", "Meters used: Meter 2, Meter 3",
        "Ground point dash", "0.04 ohm", "at most 100 mΩ", "Tessa Crimp", "passed",
        "Clock stops when cold", "Set it by hand", "To hear the starter turn",
        "Technician", "For the shop", "Customer", "Signed, date", "opens this job",
    ):  # fmt: skip
        assert words in told, words
    for caution in cautions():
        assert caution in told
    for panel in content.chart.panels:
        for one in panel.positions:
            assert one.circuit in told
            assert f"{one.rating_a:g} A" in told
            for wire in one.wires:
                assert f"{wire.colour} {wire.size}" in told
    for circuit in content.circuits:
        assert circuit.circuit in told


def test_card_has_every_fuse_with_circuit_and_wire():
    chart = content_of().chart
    told = text(card_pdf(chart))
    for panel in chart.panels:
        assert panel.place in told
        for one in panel.positions:
            assert one.circuit in told
            assert f"{one.rating_a:g} A {one.family}" in told
    for caution in cautions():
        assert caution in told
    assert "QF 1968" in told


def test_papers_are_the_same_bytes_for_the_same_content():
    content = content_of("pickup", proof=PROOF)
    assert handover_pdf(content) == handover_pdf(content)
    assert card_pdf(content.chart) == card_pdf(content.chart)


def test_draft_is_marked_as_one_and_names_nobody():
    told = text(handover_pdf(content_of("pickup", is_draft=True, released_by="")))
    assert "Draft: the vehicle has not been released." in told
    assert "Released by" not in told


@pytest.mark.parametrize(
    "name", [LONG, "Żółć Łukasz", "Ольга Петровна", "電気 太郎", "أحمد", "Παναγιώτης", "x" * 120, "a\nb <b>&amp;</b>"]
)
def test_names_of_any_script_and_length_stay_whole(name):
    content = content_of("pickup", proof=(replace(PROOF[0], what=name),), faults=(replace(FAULT, does=name),))
    chart = replace(content.chart, customer=name, vehicle=name)
    told = text(handover_pdf(replace(content, chart=chart)))
    card = text(card_pdf(chart))
    if name.isascii() or name[0] in "ŻОΠW":
        squeezed = re.sub(r"\s", "", name)
        assert squeezed in re.sub(r"\s", "", told)
        assert squeezed in re.sub(r"\s", "", card)
    assert "■" not in told


def long_panel(count):
    wires = (WireKind("14 AWG", "RD/BK"), WireKind("16 AWG", "BK"), WireKind("2.5 mm²", "GN/YE"))
    return FusePanel(
        "panel behind the glovebox",
        tuple(FusePosition(n, f"circuit {n:03d}", LONG, 15.0, "blade", "blue", wires) for n in range(1, count + 1)),
    )


def test_long_tables_go_on_over_pages_and_lose_no_row():
    proof = tuple(replace(PROOF[0], what=f"check {number:03d}") for number in range(150))
    content = content_of("pickup", proof=proof)
    chart = replace(content.chart, panels=(long_panel(120),))
    sheet, card = pages(handover_pdf(replace(content, chart=chart))), pages(card_pdf(chart))
    assert len(card) > 2
    for number in range(1, 121):
        assert sum(f"circuit {number:03d}" in page for page in sheet) == 1
        assert sum(f"circuit {number:03d}" in page for page in card) == 1
    for number in range(150):
        assert sum(f"check {number:03d}" in page for page in sheet) == 1
    assert all("No." in page for page in card)


@pytest.mark.parametrize("locale", ["en", "en_US", "de"])
def test_card_folds_to_quarters_of_the_paper(locale):
    chart = replace(content_of("pickup").chart, locale=locale)
    box = PdfReader(BytesIO(card_pdf(chart))).pages[0].mediabox
    width, height = (612, 792) if locale == "en_US" else (595, 842)
    assert (round(float(box.width)), round(float(box.height))) == (width, height)


def test_plan_without_fuses_still_has_its_papers():
    content = content_of("pickup", circuits=())
    chart = replace(content.chart, panels=(), cautions=())
    assert "No fuses." in text(card_pdf(chart))
    assert "Signatures" in text(handover_pdf(replace(content, chart=chart)))


def test_every_typeface_is_embedded():
    for pdf in (handover_pdf(content_of("pickup", proof=PROOF)), card_pdf(content_of("pickup").chart)):
        for page in PdfReader(BytesIO(pdf)).pages:
            resources: Any = page["/Resources"]
            for face in resources["/Font"].values():
                if face["/Subtype"] == "/TrueType":
                    assert "/FontFile2" in face["/FontDescriptor"], face["/BaseFont"]
                else:
                    assert face["/Subtype"] == "/Type0", face


FINDER = ("#######", "#     #", "# ### #", "# ### #", "# ### #", "#     #", "#######")
"""ISO/IEC 18004: the pattern in three corners."""


def test_code_has_the_patterns_of_the_standard_and_a_quiet_zone():
    modules = code_modules("https://shop.example/jobs/1/")
    count = len(modules)
    drawn = ["".join("#" if dark else " " for dark in row) for row in modules]
    for top, left in ((0, 0), (0, count - 7), (count - 7, 0)):
        assert tuple(row[left : left + 7] for row in drawn[top : top + 7]) == FINDER
    assert drawn[6][8 : count - 8] == ("# " * count)[: count - 16]  # timing pattern
    drawing = code_drawing("https://shop.example/jobs/1/")
    edge = QUIET_MODULES * drawing.width / (count + 2 * QUIET_MODULES)
    assert min(shape.box.x for shape in drawing.shapes) == pytest.approx(edge)
    assert max(shape.box.bottom for shape in drawing.shapes) == pytest.approx(drawing.height - edge)


def test_drawn_squares_are_those_of_the_code():
    text_of_code = "https://shop.example/jobs/123/"
    modules = code_modules(text_of_code)
    drawing = code_drawing(text_of_code)
    side = drawing.width / (len(modules) + 2 * QUIET_MODULES)
    dark = {
        (round(shape.box.y / side) - QUIET_MODULES, round(shape.box.x / side) - QUIET_MODULES + step)
        for shape in drawing.shapes
        for step in range(round(shape.box.width / side))
    }
    assert dark == {(r, c) for r, row in enumerate(modules) for c, is_dark in enumerate(row) if is_dark}


def test_codes_of_other_jobs_differ():
    assert code_modules("https://shop.example/jobs/1/") != code_modules("https://shop.example/jobs/2/")
