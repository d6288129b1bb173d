"""The whole way from a circuit sheet to a priced quote, for scripts. Needs no database.

Exit status: 0 worked up; 1 worked up, but a finding of severity error must be cured before anything is built;
2 input that cannot be read (every fault on stderr) or output that cannot be written.
"""

from __future__ import annotations

import argparse
import io
import sys
from dataclasses import asdict, replace
from datetime import timedelta
from decimal import Decimal, InvalidOperation
from pathlib import Path
from typing import Any

from django.core.management.base import BaseCommand, CommandParser
from django.utils.timezone import localdate

from circuits.electrical.basis import bases
from circuits.errors import LoomwrightError
from circuits.plan import Plan
from circuits.rules import BuildRules, Series, SizingRules
from circuits.sheets import read_sheet
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

STATUS_FINDINGS = 1
STATUS_UNREADABLE = 2

SERIES = {"awg": Series.AWG, "mm2": Series.MM2}
STDOUT = "-"


class Command(BaseCommand):
    """``manage.py quote_sheet SHEET``."""

    help = "Reads a circuit sheet, sizes every wire and fuse, and writes parts, hours and a priced quote."
    requires_system_checks: list[str] = []  # they may ask for a database

    def add_arguments(self, parser: CommandParser) -> None:
        parser.usage = "manage.py quote_sheet SHEET [options]"
        parser.add_argument("sheet", help="XLSX workbook, JSON file, zip or folder of CSV files")
        parser.add_argument("--json", metavar="FILE", help="write the answer there; - for standard output")
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

    def handle(self, *args: Any, **options: Any) -> None:
        _tolerate_narrow_terminals()
        try:
            rules = _rules(options)
            worked = work_up(_plan(Path(options["sheet"])), rules)
            self._write(worked, rules, options)
        except (LoomwrightError, OSError) as error:
            self.stderr.write(_said(error))
            sys.exit(STATUS_UNREADABLE)
        if options["json"] != STDOUT:
            self._tell(worked, rules)
        if worked.sized.has_errors:
            sys.exit(STATUS_FINDINGS)

    def _write(self, worked: WorkUp, rules: ShopRules, options: dict[str, Any]) -> None:
        if options["json"]:
            told = answer(worked) | {
                "basis": [asdict(one) for one in bases()],
                "exclusions": list(rules.terms.exclusions),
                "cautions": list(rules.terms.cautions),
            }
            if options["json"] == STDOUT:
                self.stdout.write(json_text(told), ending="")
            else:
                Path(options["json"]).write_text(json_text(told), encoding="utf-8")
        if options["pdf"]:
            Path(options["pdf"]).write_bytes(_pdf(worked, rules, options))

    def _tell(self, worked: WorkUp, rules: ShopRules) -> None:
        for line in summary_lines(worked):
            self.stdout.write(line)
        self.stdout.write("\nCautions")
        for caution in rules.terms.cautions:
            self.stdout.write(f"  {caution}")


def _tolerate_narrow_terminals() -> None:
    """A terminal that lacks a sign such as ² shows its number instead of failing."""
    for stream in (sys.stdout, sys.stderr):
        if isinstance(stream, io.TextIOWrapper):
            stream.reconfigure(errors="backslashreplace")


def _plan(path: Path) -> Plan:
    if not path.exists():
        raise FileNotFoundError(f"{path}: no such file or folder; expected a circuit sheet")
    return read_sheet(path)


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


def _said(error: Exception) -> str:
    if isinstance(error, OSError) and error.strerror:
        return f"{error.filename}: {error.strerror}"
    return str(error)
