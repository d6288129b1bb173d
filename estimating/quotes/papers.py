"""The paper of a quote: what it costs and until when first, then what it is made of, last what to sign."""

from __future__ import annotations

from reportlab.platypus import Flowable

from circuits.drawings.fuses import fuse_drawn
from circuits.paper.flow import Framed, Picture, SignatureLines, Words, bullets, kept_section, section
from circuits.paper.rows import Cell, Column, rows
from circuits.paper.sheet import Paper, pdf, text_width
from circuits.paper.styles import ACCENT, BODY, DANGER, QUIET, STRONG
from circuits.paper.title_block import TitleBlock
from estimating.quotes.paper_content import CircuitLine, Letterhead, QuoteContent
from estimating.quotes.paper_head import opening, summary
from estimating.quotes.paper_money import labour, lines_tables
from estimating.quotes.paper_words import InWords

__all__ = ["CircuitLine", "Letterhead", "QuoteContent", "quote_pdf"]

_LETTER_COUNTRIES = ("US", "CA", "MX", "PH", "CL", "CO", "VE")
_FUSE_WIDTH_PT = 16.0
_BASIS = "Wire and fuse sizes are worked out for each circuit from load, length, heat and voltage drop."


def quote_pdf(content: QuoteContent) -> bytes:
    """The quote as a PDF: the same bytes for the same content.

    Parameters
    ----------
    content : QuoteContent

    Returns
    -------
    bytes
        On A4, or on letter paper where the locale's country uses it.
    """
    paper = paper_of(content.locale)
    width = text_width(paper)
    story = [
        *opening(content, width),
        *summary(content, width),
        *_changes(content),
        *section("What it is made of", *lines_tables(content, width)),
        *section("How the hours were arrived at", *labour(content, width)),
        *_listed("What we found that you should know", content.findings),
        *_listed("Not included", content.exclusions),
        *_cautions(content),
        *_acceptance(content),
        *_circuits(content, width),
    ]
    block = TitleBlock(
        title="Quote",
        subject=" ".join(content.vehicle.split()) or content.addressee.partition("\n")[0],
        number=content.number,
        revision=f"{content.revision}{' draft' if content.is_draft else ''}",
        date=content.issued_on,
        by=content.by,
    )
    return pdf(block, story, paper=paper, author=content.letterhead.name, locale=content.locale)


def paper_of(locale: str) -> Paper:
    """The size of paper that a locale's country writes on.

    Examples
    --------
    >>> paper_of("en_US").name, paper_of("de").name
    ('LETTER', 'A4')
    """
    return Paper.LETTER if locale.replace("-", "_").rpartition("_")[2].upper() in _LETTER_COUNTRIES else Paper.A4


def _changes(content: QuoteContent) -> list[Flowable]:
    if content.changes_since is None:
        return []
    told = bullets(content.changes) or [Words("Nothing but the dates.", BODY)]
    return section(f"Changed since revision {content.changes_since}", *told)


def _circuits(content: QuoteContent, width: float) -> list[Flowable]:
    if not content.circuits:
        return []
    columns = [
        Column("Circuit", 2.0, is_bold=True),
        Column("Section", 1.6),
        Column("Work", 0.9),
        Column("Load", 2.4),
        Column("", 0.5),
        Column("Fuse", 1.15),
        Column("Wire", 1.75),
    ]
    cells = [[c.circuit, c.section, c.work, c.load, _fuse(c), c.fuse, c.wires] for c in content.circuits]
    basis = Words(_BASIS, QUIET)
    return section("Circuits", basis, rows(columns, cells, width_pt=width))


def _fuse(line: CircuitLine) -> Cell:
    return "" if line.fuse_a is None else Picture(fuse_drawn(line.fuse_family, line.fuse_a), _FUSE_WIDTH_PT)


def _listed(title: str, texts: tuple[str, ...]) -> list[Flowable]:
    return section(title, *bullets(texts)) if texts else []


def _cautions(content: QuoteContent) -> list[Flowable]:
    if not content.cautions:
        return []
    return section("Cautions", Framed([Words("For the safety of people", STRONG), *bullets(content.cautions)], DANGER))


def _acceptance(content: QuoteContent) -> list[Flowable]:
    said = InWords(content.quote.currency, content.locale)
    total, offer = said.money(content.quote.total), f"revision {content.revision} of quote {content.number}"
    if content.accepted_by:
        words = f"{content.accepted_by} accepted {offer} for {total} with tax on {said.moment(content.accepted_at)}."
        return kept_section("Accepted", Framed([Words(words, STRONG)], ACCENT))
    if content.is_draft:
        return kept_section("Acceptance", Words("This is a draft: it cannot be accepted yet.", BODY))
    until = f" It can be accepted until {said.day(content.valid_until)}." if content.valid_until else ""
    words = f"I accept {offer} for {total} with tax, and pay the deposit of {said.money(content.quote.deposit)}.{until}"
    return kept_section("Acceptance", Words(words, BODY), SignatureLines(["Place and date", "Name", "Signature"]))
