"""What the frame of every page needs from the site: where one can go from here.

Two ways out of a sheet: the other sheets of its set (a job's, or the shop's own), and the site's sections. Only
what the reader may open is offered. A page costs at most one query for it, and only where the frame is drawn: a
fragment costs none.
"""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from typing import Any

from django.db.models import Q
from django.http import HttpRequest
from django.urls import NoReverseMatch, reverse
from django.utils.functional import SimpleLazyObject

from shop.jobs import models as jobs


@dataclass(frozen=True, slots=True)
class Section:
    """One section of the site."""

    name: str
    url: str
    current: bool


@dataclass(frozen=True, slots=True)
class Sheet:
    """One sheet of a set, with its number in it."""

    number: int
    name: str
    url: str
    current: bool


@dataclass(frozen=True, slots=True)
class SheetSet:
    """Sheets of one set that the reader may open. ``total`` counts those of the whole set."""

    sheets: tuple[Sheet, ...] = ()
    total: int = 0

    def __iter__(self) -> Iterator[Sheet]:
        return iter(self.sheets)

    def __len__(self) -> int:
        return len(self.sheets)

    @property
    def number(self) -> int:
        """Number of the sheet in hand; 0 where it is none of them."""
        return next((sheet.number for sheet in self.sheets if sheet.current), 0)


@dataclass(frozen=True, slots=True)
class _Entry:
    """A page that may be offered: its name and view, further views that belong to it, the permission it asks for."""

    name: str
    view: str
    also: tuple[str, ...] = ()
    permission: str = ""


_HELP_PAGES = (
    *("help:sheet", "help:findings", "help:basis", "help:money", "help:floor", "help:handover", "help:materials"),
)

SECTIONS = (
    _Entry("Jobs", "jobs:jobs", ("jobs:new",), "jobs.view_job"),
    _Entry("Week", "floor:week", (), "floor.view_work"),
    _Entry("Faults", "faults:faults", (), "faults.view_faults"),
    _Entry("Customers", "jobs:customers", ("jobs:customer",), "jobs.view_job"),
    _Entry("Vehicles", "jobs:vehicles", ("jobs:vehicle",), "jobs.view_job"),
    _Entry("Materials", "materials:materials", (), "purchasing.view_kits"),
    _Entry("Invoices", "billing:invoices", ("billing:journal",), "billing.view_money"),
    _Entry("Bench", "planning:bench"),
    _Entry("Shop", "people:shop", (), "people.edit_shop"),
    _Entry("Help", "help:start", _HELP_PAGES),
)

_CIRCUIT_PAGES = ("planning:circuit", "planning:new_circuit", "planning:duplicate_circuit", "planning:take_out_circuit")
_ROW_PAGES = ("planning:row", "planning:new_row")
_QUOTE_PAGES = ("quotes:for_plan", "quotes:send", "quotes:revision", "quotes:accept", "quotes:decline")
_MONEY_PAGES = (
    *("billing:pay", "billing:refund", "billing:change", "billing:sent_change", "billing:answer_change"),
    *("billing:new_invoice", "billing:invoice", "billing:credit"),
)
_WORK_PAGES = ("floor:package", "floor:hours", "floor:add_hours")
_PRICE_PAGES = ("quotes:import_prices", "quotes:new_price", "quotes:price", "quotes:delete_price")

JOB_SHEETS = (
    _Entry("Job", "jobs:job", ("jobs:edit", "links:links", "history:job"), "jobs.view_job"),
    _Entry("Plan", "planning:plan", (*_CIRCUIT_PAGES, *_ROW_PAGES, "planning:sheet"), "planning.view_plan"),
    _Entry("Loom", "planning:loom", (), "planning.view_plan"),
    _Entry("Connectors", "planning:connectors", (), "planning.view_plan"),
    _Entry("Panel", "planning:panel", (), "planning.view_plan"),
    _Entry("Supply", "planning:supply", (), "planning.view_plan"),
    _Entry("Power-up", "planning:power", (), "planning.view_plan"),
    _Entry("Parts", "quotes:parts", (), "planning.view_plan"),
    _Entry("Hours", "quotes:hours", (), "quotes.view_hours"),
    _Entry("Quote", "quotes:quote", _QUOTE_PAGES, "quotes.view_prices"),
    _Entry("Kit", "materials:kit", (), "purchasing.view_kits"),
    _Entry("Work", "floor:work", _WORK_PAGES, "floor.view_work"),
    _Entry("Proof", "proof:proof", ("proof:check",), "proof.view_proof"),
    _Entry("Faults", "faults:job_faults", ("faults:new", "faults:fault", "faults:find"), "faults.view_faults"),
    _Entry("Money", "billing:money", _MONEY_PAGES, "billing.view_money"),
    _Entry("Handover", "handover:handover", (), "handover.view_handover"),
)

_ORDER_PAGES = ("purchasing:order", "purchasing:order_packs", "purchasing:send_order", "purchasing:receive")
_SUPPLIER_PAGES = ("purchasing:supplier", "purchasing:new_supplier", "purchasing:offer", "purchasing:new_offer")

MATERIAL_SHEETS = (
    _Entry("Needs", "materials:materials", ("purchasing:run",), "purchasing.view_kits"),
    _Entry("Orders", "purchasing:orders", _ORDER_PAGES, "purchasing.view_orders"),
    _Entry("Suppliers", "purchasing:suppliers", _SUPPLIER_PAGES, "purchasing.view_orders"),
    _Entry("Stock", "stock:stock", ("stock:material", "stock:new_material", "stock:move"), "stock.view_stock"),
    _Entry("Buying", "purchasing:rules", (), "purchasing.edit_rules"),
)

SHOP_SHEETS = (
    _Entry("Letterhead", "people:shop", (), "people.edit_shop"),
    _Entry("Staff", "people:staff", ("people:member", "people:new_member"), "people.edit_staff"),
    _Entry("Building", "planning:rules", (), "planning.edit_rules"),
    _Entry("Prices", "quotes:prices", _PRICE_PAGES, "quotes.view_prices"),
    _Entry("Minutes", "quotes:minutes", (), "quotes.view_hours"),
    _Entry("Terms", "quotes:terms", (), "quotes.edit_terms"),
    _Entry("Limits", "proof:limits", (), "proof.edit_limits"),
)

_KEY_OF_VIEW = {"planning": "plan_id", "quotes": "plan_id", "billing": "job_id"}
"""What the address of a sheet takes, by its app; ``job_id`` for those that are not named."""

_KEY_OF_QUOTE = "quote_id"


def frame(request: HttpRequest) -> dict[str, Any]:
    """Context of the page frame: ``sections`` of the site and ``sheets`` of the set, worked out when drawn."""
    return {
        "sections": SimpleLazyObject(lambda: sections(request)),
        "sheets": SimpleLazyObject(lambda: sheets(request)),
    }


def sections(request: HttpRequest) -> list[Section]:
    """Sections that the reader may open; none before log-in."""
    here = _view_name(request)
    in_shop = any(_is_here(entry, here) for entry in SHOP_SHEETS)
    in_job = any(_is_here(entry, here) for entry in JOB_SHEETS)
    in_materials = any(_is_here(entry, here) for entry in MATERIAL_SHEETS)
    within = {"Shop": in_shop, "Jobs": in_job, "Materials": in_materials}
    found = []
    for entry in _allowed(request, SECTIONS):
        if url := _url(entry.view, {}):
            current = _is_here(entry, here) or within.get(entry.name, False)
            found.append(Section(entry.name, url, current))
    return found


def sheets(request: HttpRequest) -> SheetSet:
    """Sheets of the job in hand, found from the ids in the address, or of the shop's settings; none elsewhere."""
    here = _view_name(request)
    if any(_is_here(entry, here) for entry in SHOP_SHEETS):
        return _numbered(request, SHOP_SHEETS, {}, here)
    if any(_is_here(entry, here) for entry in MATERIAL_SHEETS):
        return _numbered(request, MATERIAL_SHEETS, {}, here)
    if any(_is_here(entry, here) for entry in JOB_SHEETS):
        return _numbered(request, JOB_SHEETS, _ids(request), here)
    return SheetSet()


def _view_name(request: HttpRequest) -> str:
    return request.resolver_match.view_name if request.resolver_match else ""


def _is_here(entry: _Entry, here: str) -> bool:
    return here == entry.view or here in entry.also


def _allowed(request: HttpRequest, entries: tuple[_Entry, ...]) -> list[_Entry]:
    user = getattr(request, "user", None)  # absent where a request failed before it was known who asks
    if user is None or not user.is_authenticated:
        return []
    return [entry for entry in entries if not entry.permission or user.has_perm(entry.permission)]


def _numbered(request: HttpRequest, entries: tuple[_Entry, ...], ids: dict[str, int], here: str) -> SheetSet:
    """A sheet keeps its number in the set, also where the reader may not open all of them."""
    allowed = _allowed(request, entries)
    found = [
        Sheet(number, entry.name, url, _is_here(entry, here))
        for number, entry in enumerate(entries, start=1)
        if entry in allowed and (url := _url(entry.view, ids))
    ]
    return SheetSet(tuple(found), len(entries))


def _url(view: str, ids: dict[str, int]) -> str:
    """Address of a view with that of the ids which it takes; empty where the job does not have it."""
    if not ids:
        return _reversed(view, {})
    if view == "quotes:quote" and _KEY_OF_QUOTE not in ids:
        view = "quotes:for_plan"
    key = _KEY_OF_QUOTE if view == "quotes:quote" else _KEY_OF_VIEW.get(view.partition(":")[0], "job_id")
    return _reversed(view, {key: ids[key]}) if key in ids else ""


def _reversed(view: str, kwargs: dict[str, int]) -> str:
    try:
        return reverse(view, kwargs=kwargs)
    except NoReverseMatch:
        return ""


def _ids(request: HttpRequest) -> dict[str, int]:
    """Ids of the job, plan and quote that belong together: one query."""
    given = request.resolver_match.kwargs if request.resolver_match else {}
    wanted = Q()
    for key, field in (("job_id", "pk"), ("plan_id", "plan_id"), ("quote_id", "quote_id")):
        if key in given:
            wanted = Q(**{field: given[key]})
            break
    found = jobs.Job.objects.filter(wanted).values_list("pk", "plan_id", "quote_id").first() if wanted else None
    row = dict(zip(("job_id", "plan_id", "quote_id"), found, strict=True)) if found else given
    return {key: value for key, value in row.items() if isinstance(value, int)}
