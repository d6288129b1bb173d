"""The pages of the help. What can be read from the product's own tables is read from there, so it stays true."""

from __future__ import annotations

import csv
from functools import cache
from pathlib import Path

from django.http import HttpRequest, HttpResponse
from django.shortcuts import render

import circuits
from circuits.electrical.basis import bases
from circuits.harness.order import STAGES
from circuits.paper.title_block import TitleBlock
from circuits.sheets.columns import COLUMNS, OPTIONAL_SHEETS
from shop.proof.limits import packaged_limits


@cache
def finding_codes() -> tuple[dict[str, str], ...]:
    """Every finding the product can give, of plans and of their networks: code, severity, meaning, cure."""
    found: list[dict[str, str]] = []
    for name in ("finding_codes.csv", "network/finding_codes.csv"):
        with (Path(circuits.__file__).parent / name).open(newline="", encoding="utf-8") as table:
            found += csv.DictReader(table)
    return tuple(sorted(found, key=lambda row: row["code"]))


def help_start(request: HttpRequest) -> HttpResponse:
    """From the first call to a quote that is accepted."""
    return render(request, "shop/help/start.html", {"sheet": TitleBlock("Help")})


def help_sheet(request: HttpRequest) -> HttpResponse:
    """The circuit sheet, column by column."""
    sheets = [(name, tuple(columns.values()), name in OPTIONAL_SHEETS) for name, columns in COLUMNS.items()]
    return render(request, "shop/help/sheet.html", {"sheets_of_columns": sheets, "sheet": TitleBlock("Circuit sheet")})


def help_findings(request: HttpRequest) -> HttpResponse:
    """Every finding, what it means and what cures it."""
    context = {"codes": finding_codes(), "sheet": TitleBlock("Findings")}
    return render(request, "shop/help/findings.html", context)


def help_floor(request: HttpRequest) -> HttpResponse:
    """Work packages, hours, proof, faults."""
    context = {"limits": packaged_limits(), "stages": STAGES, "sheet": TitleBlock("Work, proof and faults")}
    return render(request, "shop/help/floor.html", context)


def help_money(request: HttpRequest) -> HttpResponse:
    """Changes, invoices, payments, rounding."""
    return render(request, "shop/help/money.html", {"sheet": TitleBlock("Money")})


def help_handover(request: HttpRequest) -> HttpResponse:
    """Release, papers, customer links, history."""
    return render(request, "shop/help/handover.html", {"sheet": TitleBlock("Handover")})


def help_basis(request: HttpRequest) -> HttpResponse:
    """What each figure rests on."""
    context = {"bases": bases(), "sheet": TitleBlock("Basis of the figures")}
    return render(request, "shop/help/basis.html", context)


def help_materials(request: HttpRequest) -> HttpResponse:
    """From accepted jobs to a kit on the bench."""
    return render(request, "shop/help/materials.html", {"sheet": TitleBlock("Materials and stock")})
