"""Purchase orders: the list, the page, PDF and CSV, sending, and deliveries."""

from __future__ import annotations

from django.contrib import messages
from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.utils import timezone
from django.views.decorators.http import require_http_methods, require_POST, require_safe

from circuits.paper.title_block import TitleBlock
from estimating.purchasing import orders as services
from estimating.purchasing.forms import NoteForm, PacksForm, ReceiveForm
from estimating.purchasing.lines import lines_with_came
from estimating.purchasing.models import OrderRow
from estimating.purchasing.order_page import order_csv, order_page, orders_listed
from estimating.purchasing.papers import order_pdf
from estimating.purchasing.receiving import Received, receive
from estimating.purchasing.redraft import Redraft, change_packs, redraft, send_order
from estimating.purchasing.states import OrderState
from estimating.purchasing.views.shared import may_edit, may_see, said
from estimating.quotes.access import person
from estimating.quotes.downloads import csv_download, pdf_download
from estimating.quotes.letterheads import shop_letterhead
from estimating.quotes.rules import RefusedError
from estimating.quotes.views.acts import done
from estimating.stock.paging import list_page


@require_safe
@may_see
def orders(request: HttpRequest) -> HttpResponse:
    """All orders, newest first; of one state with ``?state=``."""
    state = request.GET.get("state", "")
    context = {
        "sheet": TitleBlock("Orders"),
        "list": list_page(request, orders_listed(state)),
        "state": state,
        "states": [state.value for state in OrderState],
        "said": said(),
    }
    return render(request, "estimating/purchasing/orders.html", context)


def _order_or_404(order_id: int) -> OrderRow:
    return get_object_or_404(OrderRow.objects.select_related("supplier"), pk=order_id)


@require_http_methods(["GET", "HEAD", "POST"])
@may_see
def order(request: HttpRequest, order_id: int) -> HttpResponse:
    """One order with its lines, what came of them, and what can be done next."""
    row = _order_or_404(order_id)
    if request.method == "POST":
        form = NoteForm(request.POST)
        if request.user.has_perm("purchasing.edit_orders") and form.is_valid():
            done(request, lambda: services.write_note(order=row, note=form.cleaned_data["note"]), "Stored.")
        return redirect("purchasing:order", order_id=row.pk)
    return _shown(request, row)


def _shown(
    request: HttpRequest, row: OrderRow, form: PacksForm | None = None, drawn: Redraft | None = None, act: str = ""
) -> HttpResponse:
    """The page of an order; with ``drawn`` it asks whether ``act`` is meant although it fails jobs."""
    page = order_page(row)
    context = {
        "sheet": _block(row),
        "order": row,
        "page": page,
        "note_form": NoteForm(initial={"note": row.note}),
        "packs_form": form or PacksForm(None, page.lines),
        "drawn": drawn,
        "act": act,
        "said": said(),
    }
    status = 400 if form is not None and form.errors else 200
    return render(request, "estimating/purchasing/order.html", context, status=status)


@require_POST
@may_edit
def packs(request: HttpRequest, order_id: int) -> HttpResponse:
    """Other quantities than planned, while the order is in draft; asks first where that fails a job."""
    row = _order_or_404(order_id)
    form = PacksForm(request.POST, lines_with_came(row))
    if not form.is_valid():
        return _shown(request, row, form)
    at = timezone.now()
    try:
        drawn = redraft(row, form.packs(), timezone.localdate(at))
        if drawn.failed and "sure" not in request.POST and row.state == OrderState.DRAFT:
            return _shown(request, row, form, drawn, "packs")
        change_packs(order=row, packs=form.packs(), at=at)
    except RefusedError as refused:
        form.add_error(None, str(refused))
        return _shown(request, row, form)
    messages.success(request, f"Stored: {row.number} comes to {said().money(drawn.order.total)}.")
    return redirect("purchasing:order", order_id=order_id)


def _block(row: OrderRow) -> TitleBlock:
    made = timezone.localdate(row.sent_at or row.made_at)
    return TitleBlock("Purchase order", row.supplier.name, row.number, date=made, by=row.sent_by or row.made_by)


@require_POST
@may_edit
def send(request: HttpRequest, order_id: int) -> HttpResponse:
    """The order goes to the supplier; asks first where it would come too late by now."""
    row, at = _order_or_404(order_id), timezone.now()
    if row.state == OrderState.DRAFT and "sure" not in request.POST:
        drawn = redraft(row, {}, timezone.localdate(at))
        if drawn.failed:
            return _shown(request, row, None, drawn, "send")
    act = lambda: send_order(order=row, by=person(request), at=at)  # noqa: E731
    done(request, act, f"Order {row.number} counts as sent: give the supplier its PDF or CSV.")
    return redirect("purchasing:order", order_id=order_id)


@require_POST
@may_edit
def withdraw(request: HttpRequest, order_id: int) -> HttpResponse:
    """A draft is put aside."""
    row = _order_or_404(order_id)
    done(request, lambda: services.withdraw_order(order=row), f"Order {row.number} is withdrawn.")
    return redirect("purchasing:order", order_id=order_id)


@require_POST
@may_edit
def close(request: HttpRequest, order_id: int) -> HttpResponse:
    """No more comes of it."""
    row = _order_or_404(order_id)
    done(request, lambda: services.close_order(order=row), f"Order {row.number} is closed: what has not come is off.")
    return redirect("purchasing:order", order_id=order_id)


@require_http_methods(["GET", "HEAD", "POST"])
@may_edit
def receive_order(request: HttpRequest, order_id: int) -> HttpResponse:
    """Enters a delivery."""
    row = _order_or_404(order_id)
    form = ReceiveForm(request.POST if request.method == "POST" else None, lines_with_came(row))
    if form.is_valid():
        data = form.cleaned_data
        try:
            received = receive(
                order=row,
                came=form.came(),
                token=data["token"],
                by=person(request),
                at=timezone.now(),
                note_number=data["note_number"],
            )
        except RefusedError as refused:
            form.add_error(None, str(refused))
        else:
            _tell(request, received)
            return redirect("purchasing:order", order_id=row.pk)
    context = {"sheet": _block(row), "order": row, "form": form, "said": said()}
    return render(request, "estimating/purchasing/receive.html", context, status=400 if form.errors else 200)


def _tell(request: HttpRequest, received: Received) -> None:
    if not received.is_new:
        messages.info(request, "This delivery had been entered already: nothing was done twice.")
        return
    messages.success(request, "Delivery entered: it is in stock.")
    for job in received.ready_jobs:
        messages.success(request, f"Kit ready: job {job}.")


@require_safe
@may_see
def paper(request: HttpRequest, order_id: int) -> HttpResponse:
    """The order as a PDF."""
    row = _order_or_404(order_id)
    return pdf_download(order_pdf(row, lines_with_came(row), shop_letterhead(), said()), f"order {row.number}")


@require_safe
@may_see
def table(request: HttpRequest, order_id: int) -> HttpResponse:
    """The order as CSV."""
    row = _order_or_404(order_id)
    return csv_download(order_csv(lines_with_came(row)), f"order {row.number}")
