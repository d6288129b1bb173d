"""The whole way from a circuit sheet to a priced quote, for scripts. Needs no database.

Exit status: 0 worked up; 1 worked up, but a finding of severity error must be cured before anything is built;
2 input that cannot be read (every fault on stderr) or output that cannot be written.
"""

from __future__ import annotations

import argparse
from collections.abc import Iterator
from dataclasses import asdict, replace
from datetime import timedelta
from decimal import Decimal, InvalidOperation
from pathlib import Path
from typing import Any

from django.core.management.base import CommandParser
from django.utils.timezone import localdate

from circuits.electrical.basis import bases
from circuits.planning.scripts import SERIES, ScriptCommand, add_sheet, plan_at
from circuits.rules import BuildRules, SizingRules
from estimating.answer import answer, json_text
from estimating.labour.condition import conditions
from estimating.pricing.book import PriceBook
from estimating.pricing.price_book_csv import read_price_book
from estimating.pricing.quote import LabourBasis
from estimating.quotes.paper_content import Letterhead
from estimating.quotes.paper_facts import paper_content
from estimating.quotes.papers import quote_pdf
from estimating.quotes.record import Heading, make_record
from estimating.quotes.store import default_terms
from estimating.rules import ShopRules
from estimating.summary import summary_lines
from estimating.workup import WorkUp, work_up


class Command(ScriptCommand):
    """``manage.py quote_sheet SHEET``."""

    help = "Reads a circuit sheet, sizes every wire and fuse, and writes parts, hours and a priced quote."

    def add_arguments(self, parser: CommandParser) -> None:
        parser.usage = "manage.py quote_sheet SHEET [options]"
        add_sheet(parser)
        parser.add_argument("--pdf", metavar="FILE", help="write the quote as a PDF there")
        parser.add_argument("--prices", metavar="CSV", help="price book; without it the example prices are used")
        parser.add_argument("--series", choices=SERIES, default="awg", help="wire sizes in stock")
        parser.add_argument("--condition", choices=[one.name for one in conditions()], default="ordinary")
        parser.add_argument(
            "--basis", choices=[basis.value for basis in LabourBasis], default="P80", help="hours that are sold"
        )
        parser.add_argument("--currency", default=default_terms().currency, help="ISO 4217 code")
        parser.add_argument("--locale", default=default_terms().locale, help="for dates and money on the PDF")
        parser.add_argument("--rate", type=_decimal, metavar="PER_HOUR", help="labour rate")
        parser.add_argument("--number", default="", help="number of the quote; without it the PDF is a draft")
        parser.add_argument("--shop", default="", help="name of the shop on the PDF")
        parser.add_argument("--addressee", default="", help="customer on the PDF")

    def work(self, options: dict[str, Any]) -> tuple[WorkUp, ShopRules]:
        """The sheet worked up by the rules that the options make."""
        rules = _rules(options)
        worked = work_up(plan_at(options["sheet"]), rules)
        told = answer(worked) | {
            "basis": [asdict(one) for one in bases()],
            "exclusions": list(rules.terms.exclusions),
            "cautions": list(rules.terms.cautions),
        }
        self.write_json(json_text(told), options["json"])
        if options["pdf"]:
            Path(options["pdf"]).write_bytes(_pdf(worked, rules, options))
        return worked, rules

    def tell(self, found: tuple[WorkUp, ShopRules]) -> Iterator[str]:
        """The summary, and the cautions of the terms."""
        worked, rules = found
        yield from summary_lines(worked)
        yield "\nCautions"
        for caution in rules.terms.cautions:
            yield f"  {caution}"

    def must_be_cured(self, found: tuple[WorkUp, ShopRules]) -> bool:
        """True where a finding must be cured before anything is built."""
        return found[0].sized.has_errors


def _rules(options: dict[str, Any]) -> ShopRules:
    terms = replace(
        default_terms(),
        currency=options["currency"],
        locale=options["locale"],
        labour_basis=LabourBasis(options["basis"]),
    )
    if options["rate"] is not None:
        terms = replace(terms, rate_per_h=options["rate"])
    rules = ShopRules(
        build=BuildRules(sizing=SizingRules(series=SERIES[options["series"]])),
        condition_cv=next(one.cv for one in conditions() if one.name == options["condition"]),
        terms=terms,
    )
    if options["prices"]:
        rules = replace(rules, book=PriceBook(read_price_book(Path(options["prices"]).read_bytes())))
    return rules


def _pdf(worked: WorkUp, rules: ShopRules, options: dict[str, Any]) -> bytes:
    today = localdate()
    heading = Heading(
        number=options["number"],
        revision=1,
        date=today,
        valid_until=today + timedelta(days=rules.terms.validity_days),
        by=options["shop"],
        addressee=options["addressee"],
        vehicle=worked.sized.wiring.plan.vehicle.description,
    )
    record = make_record(heading, Letterhead(name=options["shop"]), rules, worked)
    return quote_pdf(paper_content(record, is_draft=not options["number"]))


def _decimal(text: str) -> Decimal:
    try:
        number = Decimal(text)
    except InvalidOperation:
        number = Decimal("NaN")
    if not (number.is_finite() and number >= 0):
        raise argparse.ArgumentTypeError(f"found {text!r}, expected an amount such as 75 or 82.50")
    return number
