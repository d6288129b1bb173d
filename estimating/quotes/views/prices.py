"""The price book: look up, change in place, bring in a list, take it away as CSV."""

from __future__ import annotations

from django.contrib import messages
from django.contrib.auth.decorators import permission_required
from django.core.exceptions import BadRequest
from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.views.decorators.http import require_http_methods, require_POST, require_safe

from circuits.errors import UnreadableError
from circuits.paper.title_block import TitleBlock
from estimating.pricing.price_book_csv import MAX_BYTES, read_price_book, write_price_book
from estimating.quotes.downloads import csv_download
from estimating.quotes.models import PriceRow
from estimating.quotes.paper_words import InWords
from estimating.quotes.price_changes import named_columns, price_changes, with_unnamed_kept
from estimating.quotes.price_list import price_line, price_list
from estimating.quotes.settings_forms import PriceFileForm, PriceForm, PriceListForm
from estimating.quotes.settings_services import delete_price as take_out
from estimating.quotes.settings_services import import_price_list, save_price, start_price_book
from estimating.quotes.store import price_item_of, shop_rules
from estimating.quotes.views.acts import posted

may_see = permission_required("quotes.view_prices", raise_exception=True)
may_edit = permission_required("quotes.edit_prices", raise_exception=True)


@require_safe
@may_see
def prices(request: HttpRequest) -> HttpResponse:
    """The book, page by page."""
    rules = shop_rules()
    if request.GET.get("as") == "csv":
        return csv_download(write_price_book(rules.book.items), "price book")
    words, page = request.GET.get("q", "").strip()[:100], request.GET.get("page", "1")
    number = int(page) if page.isdecimal() and 0 < int(page) < 10_000 else 1
    context = {
        "sheet": TitleBlock("Prices"),
        "words": words,
        "list": price_list(words, number, rules.terms),
        "said": InWords(rules.terms.currency, rules.terms.locale),
        "terms": rules.terms,
    }
    return render(request, "estimating/quotes/prices.html", context)


@require_POST
@may_edit
def start(request: HttpRequest) -> HttpResponse:
    """Makes the packaged example the shop's own book."""
    made = start_price_book()
    messages.success(request, f"{made} rows to start from: put your own prices in their place.")
    return redirect("quotes:prices")


@require_http_methods(["GET", "HEAD", "POST"])
@may_edit
def price(request: HttpRequest, price_id: int) -> HttpResponse:
    """One row: in its place in the table where the page can, on a page of its own elsewhere."""
    return _edit(request, get_object_or_404(PriceRow, pk=price_id))


@require_http_methods(["GET", "HEAD", "POST"])
@may_edit
def new_price(request: HttpRequest) -> HttpResponse:
    """A new row."""
    return _edit(request, PriceRow(pack=1, spec=request.GET.get("spec", "")[:120]))


def _edit(request: HttpRequest, row: PriceRow) -> HttpResponse:
    in_place = bool(request.headers.get("HX-Request")) and row.pk is not None
    form = PriceForm(posted(request), instance=row)
    stored = request.method == "POST" and form.is_valid()
    if stored:
        save_price(row=form.save(commit=False))
    if in_place:
        return _row(request, PriceRow.objects.get(pk=row.pk), None if stored or "leave" in request.GET else form)
    if stored:
        messages.success(request, f"Stored: {row}.")
        return redirect("quotes:prices")
    context = {"sheet": TitleBlock("Price"), "form": form, "row": row}
    return render(request, "estimating/quotes/price.html", context, status=400 if form.errors else 200)


def _row(request: HttpRequest, row: PriceRow, form: PriceForm | None) -> HttpResponse:
    terms = shop_rules().terms
    said = InWords(terms.currency, terms.locale)
    context = {"line": price_line(row, terms), "form": form, "said": said, "terms": terms, "is_fresh": True}
    return render(request, f"estimating/quotes/_price_{'form' if form else 'row'}.html", context)


@require_POST
@may_edit
def delete_price(request: HttpRequest, price_id: int) -> HttpResponse:
    """Takes a row out."""
    row = get_object_or_404(PriceRow, pk=price_id)
    take_out(row=row)
    messages.success(request, f"Taken out: {row}.")
    return redirect("quotes:prices")


@require_http_methods(["GET", "HEAD", "POST"])
@may_edit
def import_prices(request: HttpRequest) -> HttpResponse:
    """A list is read and shown with what it would change; stored on the second press."""
    form = PriceFileForm(posted(request), request.FILES or None)
    context = {"sheet": TitleBlock("Bring in prices"), "form": form}
    try:
        if "content" in request.POST:
            return _store_list(request)
        if request.method == "POST" and form.is_valid():
            upload = form.cleaned_data["file"]
            context |= _preview(upload.read(MAX_BYTES + 1))
    except UnreadableError as error:
        context["faults"] = error.faults
    failed = bool("faults" in context or (request.method == "POST" and form.errors))
    return render(request, "estimating/quotes/import_prices.html", context, status=400 if failed else 200)


def _store_list(request: HttpRequest) -> HttpResponse:
    form = PriceListForm(request.POST)
    if not form.is_valid():
        raise BadRequest("This form is not ours: choose the file again.")
    items = read_price_book(form.cleaned_data["content"].encode())
    import_price_list(items=items, remove_absent=form.cleaned_data["remove_absent"])
    messages.success(request, f"Stored: {len(items)} row{'' if len(items) == 1 else 's'}.")
    return redirect("quotes:prices")


def _preview(content: bytes) -> dict[str, object]:
    """What the list would change in the shop's own rows, and the form that stores it."""
    book = [price_item_of(row) for row in PriceRow.objects.all()]
    items = with_unnamed_kept(read_price_book(content), book, named_columns(content))
    return {
        "changes": price_changes(book, items),
        "list_form": PriceListForm(initial={"content": write_price_book(items).decode("utf-8-sig")}),
        "count": len(items),
        "is_first": not book,
    }
