"""The top of a quote: who writes to whom about what, and the figures that matter."""

from __future__ import annotations

from dataclasses import replace
from io import BytesIO

from PIL import Image as Pillow
from PIL import UnidentifiedImageError
from reportlab.platypus import Flowable, Image

from circuits.paper.flow import Words
from circuits.paper.rows import side_by_side
from circuits.paper.styles import BODY, LABEL, MM, QUIET, TITLE, TextStyle
from estimating.quotes.paper_content import Letterhead, QuoteContent
from estimating.quotes.paper_words import InWords, basis_words, work_words

_LOGO_WIDTH_PT, _LOGO_HEIGHT_PT = 50 * MM, 20 * MM
_SHOP_NAME = TextStyle(size_pt=12.0, leading_pt=15.0, is_bold=True, after_pt=1.0)
_FIGURE = TextStyle(size_pt=14.0, leading_pt=18.0, is_bold=True)
_SMALL_FIGURE = TextStyle(size_pt=10.0, leading_pt=18.0, is_bold=True)
_ADDRESS = TextStyle(size_pt=9.5, leading_pt=13.0)
_FACT = TextStyle(size_pt=9.0, leading_pt=12.0)
_FACT_NAME = replace(QUIET, leading_pt=12.0)
_HALVES = (0.64, 0.36)


def opening(content: QuoteContent, width_pt: float) -> list[Flowable]:
    """Shop and logo, addressee and dates, the title."""
    said = InWords(content.quote.currency, content.locale)
    state = "Draft, not sent" if content.is_draft else ""
    facts = [
        ("Number", content.number),
        ("Revision", str(content.revision)),
        ("Date", said.day(content.issued_on) or state),
        ("Made out by", content.by),
    ]
    to: list[Flowable] = [Words("for", LABEL), Words(content.addressee or "–", _ADDRESS)]
    if content.vehicle:
        to += [Words("", LABEL), Words("vehicle", LABEL), Words(content.vehicle, _ADDRESS)]
    top = letterhead_row(content.letterhead, width_pt)
    middle = side_by_side([[to, _facts(facts, width_pt * 0.36)]], _HALVES, width_pt=width_pt, space_pt=(14.0, 12.0))
    return [top, middle, Words("Quote", TITLE)]


def letterhead_row(shop: Letterhead, width_pt: float) -> Flowable:
    """The shop as its papers name it, its logo at the right."""
    return side_by_side([[_shop(shop), _logo(shop.logo_png) or Words("")]], _HALVES, width_pt=width_pt)


def summary(content: QuoteContent, width_pt: float) -> list[Flowable]:
    """Total, deposit, last day; below what is included."""
    said, quote = InWords(content.quote.currency, content.locale), content.quote
    cells = [
        ("Total with tax", said.money(quote.total), _FIGURE),
        ("Deposit on acceptance", said.money(quote.deposit), _FIGURE),
        ("Valid until", said.day(content.valid_until) or "–", _SMALL_FIGURE),
    ]
    boxes = [[Words(label, LABEL), Words(value, style)] for label, value, style in cells]
    box = side_by_side([boxes], (0.36, 0.32, 0.32), width_pt=width_pt, is_boxed=True, space_pt=(0.0, 8.0))
    included = (
        f"Included: {work_words(content.circuits)}; all parts listed below; labour with a test of every circuit "
        f"({basis_words(content.basis)})."
    )
    return [box, Words(included, BODY), *([Words(content.note, BODY)] if content.note.strip() else [])]


def _shop(shop: Letterhead) -> list[Flowable]:
    contact = "  ·  ".join(filter(None, [shop.phone, shop.email, shop.web]))
    tax = f"Tax number {shop.tax_number}" if shop.tax_number else ""
    return [
        Words(shop.name, _SHOP_NAME),
        *(Words(text, QUIET) for text in (shop.address.strip(), contact, tax) if text),
    ]


def _logo(picture: bytes | None) -> Flowable | None:
    """The logo in its own proportions; none where the picture cannot be read (checked when it is stored)."""
    if not picture:
        return None
    try:
        with Pillow.open(BytesIO(picture)) as image:
            width, height = image.size
    except (UnidentifiedImageError, OSError):
        return None
    scale = min(_LOGO_WIDTH_PT / width, _LOGO_HEIGHT_PT / height)
    return Image(BytesIO(picture), width * scale, height * scale, hAlign="RIGHT")


def _facts(facts: list[tuple[str, str]], width_pt: float) -> Flowable:
    lines = [[Words(name, _FACT_NAME), Words(text, _FACT)] for name, text in facts if text]
    return side_by_side(lines, (0.36, 0.64), width_pt=width_pt)
