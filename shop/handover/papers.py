"""The handover sheet: what the customer signs, and what the next person to open that dash relies on."""

from __future__ import annotations

from datetime import datetime

from django.utils import timezone
from reportlab.platypus import Flowable

from circuits.drawings.fuses import fuse_drawn
from circuits.drawings.strokes import wire_stroke
from circuits.paper.flow import Framed, Picture, SignatureLines, Words, bullets, kept_section, section
from circuits.paper.rows import Cell, Column, rows, side_by_side
from circuits.paper.sheet import pdf, text_width
from circuits.paper.styles import BODY, CELL, DANGER, LABEL, QUIET, STRONG, TITLE, TextStyle
from circuits.paper.title_block import TitleBlock
from estimating.quotes.paper_words import InWords
from estimating.quotes.papers import paper_of
from shop.handover.chart import fuse_words
from shop.handover.code import code_drawing
from shop.handover.content import Chart, FaultLine, FusePanel, HandoverContent, Outcome, ProofLine, WireKind

_FUSE_WIDTH_PT, _STROKE_WIDTH_PT, _CODE_WIDTH_PT = 22.0, 18.0, 88.0
_SHOP_NAME = TextStyle(size_pt=12.0, leading_pt=15.0, is_bold=True, after_pt=1.0)
_SAYS_OF = {Outcome.PASSED: "passed", Outcome.FAILED: "FAILED", Outcome.MISSING: "not made"}


def handover_pdf(content: HandoverContent) -> bytes:
    """The handover sheet as a PDF: the same bytes for the same content.

    Parameters
    ----------
    content : HandoverContent
    """
    chart = content.chart
    paper = paper_of(chart.locale)
    width = text_width(paper)
    story = [
        *_opening(content, width),
        *_cautions(chart),
        *_faults(content.faults),
        *_overrides(content, width),
        *_charts(chart, width),
        *_circuits(content, width),
        *_proof(content, width),
        *_signatures(content),
    ]
    block = TitleBlock(
        title="Handover sheet",
        subject=", ".join(filter(None, [chart.vehicle, chart.plate])),
        number=chart.job,
        revision=chart.revision,
        date=timezone.localdate(chart.made_at),
        by=content.released_by,
    )
    return pdf(block, story, paper=paper, author=chart.shop.name, locale=chart.locale)


def moment(at: datetime | None, locale: str) -> str:
    """A moment in the shop's time zone, written out; empty where there is none."""
    return InWords("EUR", locale).moment(timezone.localtime(at)) if at else ""


def wires_cell(wires: tuple[WireKind, ...]) -> Cell:
    """Wires of a table cell: each kind's stroke, its letters and size beside it."""
    if not wires:
        return ""
    lines: list[list[Flowable]] = [
        [Picture(wire_stroke(kind.colour), _STROKE_WIDTH_PT), Words(f"{kind.colour}  {kind.size}", CELL)]
        for kind in wires
    ]
    return side_by_side(lines, (24, 76), width_pt=100.0)


def fuse_cell(rating_a: float, family: str) -> Cell:
    """The fuse as it looks."""
    return Picture(fuse_drawn(family, rating_a), _FUSE_WIDTH_PT)


def _opening(content: HandoverContent, width: float) -> list[Flowable]:
    chart = content.chart
    released = f"Released by {content.released_by}, {moment(chart.made_at, chart.locale)}."
    if content.is_draft:
        released = "Draft: the vehicle has not been released."
    facts = [
        ("job", f"{chart.job}  {content.title}"),
        ("vehicle", chart.vehicle),
        ("plate", chart.plate),
        ("chassis number", chart.chassis_number),
        ("customer", chart.customer),
        ("system", f"{chart.system_v:g} V DC"),
        ("accepted", content.basis),
    ]
    contact = (chart.shop.address.strip(), chart.shop.phone)
    shop = [Words(chart.shop.name, _SHOP_NAME), *(Words(text, QUIET) for text in contact if text)]
    told = [[Words(name, LABEL), Words(value, BODY)] for name, value in facts if value]
    left: list[Flowable] = [*shop, Words("Handover sheet", TITLE), Words(released, STRONG)]
    code: list[Flowable] = [Picture(code_drawing(chart.job_url), _CODE_WIDTH_PT), Words("opens this job", LABEL)]
    top = side_by_side([[left, code]], (0.8, 0.2), width_pt=width)
    return [top, side_by_side(told, (0.2, 0.8), width_pt=width, space_pt=(4.0, 8.0))]


def _cautions(chart: Chart) -> list[Flowable]:
    words = [Words("For the safety of people", STRONG), *bullets(chart.cautions)]
    return [Framed(words, DANGER)] if chart.cautions else []


def _faults(faults: tuple[FaultLine, ...]) -> list[Flowable]:
    if not faults:
        return section("Faults left open", Words("None.", BODY))
    told: list[Flowable] = []
    for fault in faults:
        head = f"{fault.number}. {fault.does}" + (f" ({fault.switches})" if fault.switches else "")
        more = [
            f"Should: {fault.should}." if fault.should else "",
            f"Circuits: {', '.join(fault.circuits)}." if fault.circuits else "",
            f"Weight: {fault.weight.lower()}." if fault.weight else "",
        ]
        told += [Words(head, STRONG), Words(" ".join(filter(None, more)), BODY)]
        told.append(Words(f"Advice: {fault.advice or 'not written yet'}.".replace("..", "."), BODY))
    return section("Faults left open", *told)


def _overrides(content: HandoverContent, width: float) -> list[Flowable]:
    if not content.overrides:
        return []
    columns = [Column("What was overridden", 2.2), Column("Reason", 3), Column("Owner", 1.5), Column("When", 1.7)]
    locale = content.chart.locale
    cells = [[line.what, line.reason, line.owner, moment(line.at, locale)] for line in content.overrides]
    return section("Overrides", rows(columns, cells, width_pt=width))


def _charts(chart: Chart, width: float) -> list[Flowable]:
    if not chart.panels:
        return []
    found = section("Fuse chart as fitted", Words("A fuse protects its wire: never fit a larger one.", STRONG))
    for panel in chart.panels:
        found += [*section(panel.place), _panel(panel, width)]
    return found


def _panel(panel: FusePanel, width: float) -> Flowable:
    columns = [
        Column("No.", 0.5),
        Column("", 0.6),
        Column("Fuse", 1.7, is_bold=True),
        Column("Circuit", 2.2, is_bold=True),
        Column("Feeds", 2.4),
        Column("Wire", 2.4),
    ]
    cells = [
        [
            one.at,
            fuse_cell(one.rating_a, one.family),
            fuse_words(one.rating_a, one.family, one.colour),
            one.circuit,
            one.feeds,
            wires_cell(one.wires),
        ]
        for one in panel.positions
    ]
    return rows(columns, cells, width_pt=width)


def _circuits(content: HandoverContent, width: float) -> list[Flowable]:
    changed = [one for one in content.circuits if one.work != "keep"]
    kept = [one.circuit for one in content.circuits if one.work == "keep"]
    columns = [
        Column("Circuit", 2.0, is_bold=True),
        Column("Section", 1.4),
        Column("Work", 0.9),
        Column("Load", 2.0),
        Column("Fuse", 1.5),
        Column("Wires", 2.4),
    ]
    cells = [[one.circuit, one.section, one.work, one.load, one.fuse, wires_cell(one.wires)] for one in changed]
    told: list[Flowable] = [rows(columns, cells, width_pt=width)] if cells else [Words("None.", BODY)]
    if kept:
        told.append(Words(f"Left as they were: {', '.join(kept)}.", BODY))
    return section("Circuits changed", *told)


def _proof(content: HandoverContent, width: float) -> list[Flowable]:
    """Every check by heading. Who read and with which meter stands in a column only where it differs."""
    if not content.proof:
        return section("Proof", Words("No check has been made.", BODY))
    people = tuple(dict.fromkeys(line.by for line in content.proof if line.by))
    columns = [Column("Check", 3.4, is_bold=True), Column("Limit", 2.0), Column("Reading", 1.5), Column("Result", 0.9)]
    columns += [Column("By", 1.5)] if len(people) > 1 else []
    columns += [Column("Meter", 1.5)] if len(content.meters) > 1 else []
    told: list[Flowable] = [Words(_read_by(content, people), BODY)]
    by_group: dict[str, list[ProofLine]] = {}
    for line in content.proof:
        by_group.setdefault(line.group, []).append(line)
    for group, lines in by_group.items():
        cells = [
            [
                *(line.what, line.limit, line.reading, _SAYS_OF[line.outcome]),
                *([line.by] if len(people) > 1 else []),
                *([line.meter] if len(content.meters) > 1 else []),
            ]
            for line in lines
        ]
        told += [*section(group), rows(columns, cells, width_pt=width)]
    return section("Proof", *told)


def _read_by(content: HandoverContent, people: tuple[str, ...]) -> str:
    """Who read what with, and when, in one line."""
    said = [f"Read by {', '.join(people)}"] if people else []
    moments = sorted(line.at for line in content.proof if line.at is not None)
    days = dict.fromkeys(InWords("EUR", content.chart.locale).day(timezone.localdate(at)) for at in moments)
    if days:
        first, *_, last = *days, *days
        said.append(f"on {first}" if first == last else f"from {first} to {last}")
    meters = f"Meters used: {', '.join(content.meters) or 'none named'}."
    return f"{' '.join(said)}. {meters}" if said else meters


def _signatures(content: HandoverContent) -> list[Flowable]:
    said = "I have read this sheet with its cautions and the faults left open, and take the vehicle over."
    technician = ", ".join(content.technicians)
    lines = SignatureLines(
        ["Technician", "For the shop", "Customer"], [technician, content.released_by, content.chart.customer]
    )
    return kept_section("Signatures", Words(said, BODY), lines, SignatureLines(["Signed, date"] * 3))
