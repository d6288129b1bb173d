"""Suppliers and what they sell; how the shop buys."""

from __future__ import annotations

from django.contrib import messages
from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.views.decorators.http import require_http_methods, require_POST, require_safe

from circuits.paper.title_block import TitleBlock
from estimating.purchasing.forms import BuyingForm, OfferForm, SupplierForm
from estimating.purchasing.models import OfferRow, SupplierRow
from estimating.purchasing.offers import BreakText, save_offer
from estimating.purchasing.rules_store import buying_row
from estimating.purchasing.views.shared import may_edit, may_rule, may_see, said
from estimating.quotes.views.acts import posted
from estimating.stock.paging import list_page


@require_safe
@may_see
def suppliers(request: HttpRequest) -> HttpResponse:
    """All suppliers."""
    context = {"sheet": TitleBlock("Suppliers"), "list": list_page(request, SupplierRow.objects.all()), "said": said()}
    return render(request, "estimating/purchasing/suppliers.html", context)


@require_http_methods(["GET", "HEAD", "POST"])
@may_edit
def supplier(request: HttpRequest, supplier_id: int) -> HttpResponse:
    """One supplier: terms and offers."""
    return _supplier(request, get_object_or_404(SupplierRow, pk=supplier_id))


@require_http_methods(["GET", "HEAD", "POST"])
@may_edit
def new_supplier(request: HttpRequest) -> HttpResponse:
    """A new supplier."""
    return _supplier(request, SupplierRow())


def _supplier(request: HttpRequest, row: SupplierRow) -> HttpResponse:
    money = said()
    form = SupplierForm(posted(request), instance=row, currency=money.currency)
    if form.is_valid():
        form.save()
        messages.success(request, f"Stored: {row}.")
        return redirect("purchasing:supplier", supplier_id=row.pk)
    words = request.GET.get("q", "").strip()[:100]
    offers = OfferRow.objects.filter(supplier=row.pk).select_related("material").prefetch_related("breaks")
    if words:
        offers = offers.filter(material__spec__icontains=words)
    context = {
        "sheet": TitleBlock("Supplier", SupplierRow.objects.get(pk=row.pk).name if row.pk else ""),
        "form": form,
        "supplier": row,
        "list": list_page(request, offers),
        "words": words,
        "prices": BreakText(money.currency),
        "said": money,
    }
    return render(request, "estimating/purchasing/supplier.html", context, status=400 if form.errors else 200)


@require_http_methods(["GET", "HEAD", "POST"])
@may_edit
def new_offer(request: HttpRequest, supplier_id: int) -> HttpResponse:
    """A new offer of a supplier."""
    return _offer(request, OfferRow(supplier=get_object_or_404(SupplierRow, pk=supplier_id)))


@require_http_methods(["GET", "HEAD", "POST"])
@may_edit
def offer(request: HttpRequest, offer_id: int) -> HttpResponse:
    """One offer."""
    rows = OfferRow.objects.select_related("supplier", "material").prefetch_related("breaks")
    return _offer(request, get_object_or_404(rows, pk=offer_id))


def _offer(request: HttpRequest, row: OfferRow) -> HttpResponse:
    currency, initial = said().currency, {}
    if row.pk:
        initial = {
            "kind": row.material.kind,
            "spec": row.material.spec,
            "insulation_c": row.material.insulation_c or None,
            "roll": f"{row.length_mm / 1000:g}" if row.length_mm else "",
            "prices": BreakText(currency).write(list(row.breaks.all())),
        }
    form = OfferForm(posted(request), instance=row, initial=initial, currency=currency)
    if form.is_valid():
        data = form.cleaned_data
        offer = form.save(commit=False)
        save_offer(
            offer=offer, material=form.material(), length_mm=data["roll"], pack=data["pack"], breaks=data["prices"]
        )
        messages.success(request, f"Stored: {offer}.")
        return redirect("purchasing:supplier", supplier_id=row.supplier_id)
    context = {"sheet": TitleBlock("Offer", row.supplier.name), "form": form, "offer": row}
    return render(request, "estimating/purchasing/offer.html", context, status=400 if form.errors else 200)


@require_POST
@may_edit
def delete_offer(request: HttpRequest, offer_id: int) -> HttpResponse:
    """Takes an offer out. Orders keep what they were made of."""
    row = get_object_or_404(OfferRow, pk=offer_id)
    row.delete()
    messages.success(request, "Offer taken out.")
    return redirect("purchasing:supplier", supplier_id=row.supplier_id)


@require_http_methods(["GET", "HEAD", "POST"])
@may_rule
def rules(request: HttpRequest) -> HttpResponse:
    """How the shop buys and cuts."""
    form = BuyingForm(posted(request), instance=buying_row())
    if form.is_valid():
        form.save()
        messages.success(request, "Stored.")
        return redirect("purchasing:rules")
    context = {"sheet": TitleBlock("Buying"), "form": form}
    return render(request, "estimating/purchasing/rules.html", context, status=400 if form.errors else 200)
