"""Pages of the stock. They show quantities and places, no money."""

from __future__ import annotations

from uuid import uuid4

from django.contrib import messages
from django.contrib.auth.decorators import permission_required
from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.utils import timezone
from django.views.decorators.http import require_http_methods, require_safe

from circuits.paper.title_block import TitleBlock
from estimating.quotes.access import person
from estimating.quotes.downloads import csv_download
from estimating.stock.forms import MaterialChoice, MaterialForm, MoveForm
from estimating.stock.listing import stock_csv
from estimating.stock.models import MaterialRow, MovementRow
from estimating.stock.moves import move
from estimating.stock.paging import list_page
from estimating.stock.services import Act, StockError, keep

may_see = permission_required("stock.view_stock", raise_exception=True)
may_move = permission_required("stock.move_stock", raise_exception=True)
may_edit = permission_required("stock.edit_materials", raise_exception=True)


@require_safe
@may_see
def stock(request: HttpRequest) -> HttpResponse:
    """All materials with their levels; those below their least level alone with ``?low``."""
    words = request.GET.get("q", "").strip()[:100]
    rows = MaterialRow.objects.with_level().matching(words)
    rows = rows.low() if "low" in request.GET else rows
    if request.GET.get("as") == "csv":
        return csv_download(stock_csv(rows), "stock")
    page = list_page(request, rows)
    context = {"sheet": TitleBlock("Stock"), "words": words, "is_low": "low" in request.GET, "list": page}
    return render(request, "estimating/stock/stock.html", context)


@require_http_methods(["GET", "HEAD", "POST"])
@may_see
def material(request: HttpRequest, material_id: int) -> HttpResponse:
    """One material: where it lies, what moved, and how much of it is kept."""
    row = get_object_or_404(MaterialRow.objects.with_level(), pk=material_id)
    posted = request.POST if request.method == "POST" and request.user.has_perm("stock.edit_materials") else None
    form = MaterialForm(posted, material=row)
    if posted is not None and form.is_valid():
        keep(material=row, bin_name=form.cleaned_data["bin"], low_level=form.cleaned_data.get("low_level", 0))
        messages.success(request, f"Stored: {row}.")
        return redirect("stock:material", material_id=row.pk)
    moving = MoveForm(material=row, initial={"token": uuid4().hex})
    return _material_page(request, row, form, moving)


@require_http_methods(["GET", "HEAD", "POST"])
@may_move
def move_material(request: HttpRequest, material_id: int) -> HttpResponse:
    """Enters a movement; what cannot be is told and nothing is stored."""
    row = get_object_or_404(MaterialRow.objects.with_level(), pk=material_id)
    moving = MoveForm(request.POST if request.method == "POST" else None, material=row)
    if moving.is_valid():
        data = moving.cleaned_data
        act = Act(person(request), timezone.now(), data["job"], data["note"], f"by hand {data['token']}")
        try:
            move(
                material=row,
                what=data["act"],
                holding=data["holding"],
                amount=data["amount"],
                bin_name=data["bin"],
                act=act,
            )
        except StockError as error:
            moving.add_error("amount", str(error))
        else:
            messages.success(request, "Entered.")
            return redirect("stock:material", material_id=row.pk)
    return _material_page(request, row, MaterialForm(material=row), moving)


def _material_page(request: HttpRequest, row: MaterialRow, form: MaterialForm, moving: MoveForm) -> HttpResponse:
    movements = MovementRow.objects.filter(holding__material=row).select_related("holding")
    context = {
        "sheet": TitleBlock("Material", row.key),
        "material": row,
        "holdings": row.holdings.with_something(),
        "movements": list_page(request, movements),
        "form": form,
        "moving": moving,
    }
    wrong = bool(form.errors or (request.method == "POST" and moving.errors))
    return render(request, "estimating/stock/material.html", context, status=400 if wrong else 200)


@require_http_methods(["GET", "HEAD", "POST"])
@may_edit
def new_material(request: HttpRequest) -> HttpResponse:
    """Names a material that is to be kept."""
    form = MaterialChoice(request.POST if request.method == "POST" else None)
    if form.is_valid():
        return redirect("stock:material", material_id=form.material().pk)
    context = {"sheet": TitleBlock("New material"), "form": form}
    return render(request, "estimating/stock/new_material.html", context, status=400 if form.errors else 200)
