"""Every address x every role: a page without a decision fails here."""

from __future__ import annotations

from collections.abc import Iterator
from datetime import UTC, datetime

import pytest
from django.urls import URLPattern, URLResolver, get_resolver, reverse

from shop.jobs.demo import open_demo_shop
from shop.jobs.models import Job
from shop.people.models import Role, User

ANYONE, STAFF, OFFICE, OWNER = "anyone", "staff", "office", "owner"
MAY: dict[str, set[str | None]] = {
    ANYONE: {None, Role.TECHNICIAN, Role.OFFICE, Role.OWNER},
    STAFF: {Role.TECHNICIAN, Role.OFFICE, Role.OWNER},
    OFFICE: {Role.OFFICE, Role.OWNER},
    OWNER: {Role.OWNER},
}
DECIDED = {
    "people:log_in": ANYONE,
    "people:log_out": STAFF,
    "people:password": STAFF,
    "people:shop": OWNER,
    "people:logo": OWNER,
    "people:staff": OWNER,
    "people:new_member": OWNER,
    "people:member": OWNER,
    "jobs:jobs": STAFF,
    "jobs:find": STAFF,
    "jobs:new": OFFICE,
    "jobs:job": STAFF,
    "jobs:edit": OFFICE,
    "jobs:customers": STAFF,
    "jobs:customer": STAFF,
    "jobs:vehicles": STAFF,
    "jobs:vehicle": STAFF,
    "help:start": STAFF,
    "help:sheet": STAFF,
    "help:findings": STAFF,
    "help:basis": STAFF,
    "help:handover": STAFF,
    "help:money": STAFF,
    "help:materials": STAFF,
    "help:floor": STAFF,
    "planning:plan": STAFF,
    "planning:save_rows": OFFICE,
    "planning:delete_rows": OFFICE,
    "planning:move_rows": OFFICE,
    "planning:new_circuit": OFFICE,
    "planning:circuit": STAFF,
    "planning:duplicate_circuit": OFFICE,
    "planning:take_out_circuit": OFFICE,
    "planning:loom": STAFF,
    "planning:panel": STAFF,
    "planning:connectors": STAFF,
    "planning:new_row": OFFICE,
    "planning:row": OFFICE,
    "planning:take_out_row": OFFICE,
    "planning:supply": STAFF,
    "planning:power": STAFF,
    "planning:sheet": STAFF,
    "planning:sheet_file": STAFF,
    "planning:sheet_template": STAFF,
    "planning:bench": STAFF,
    "planning:rules": OWNER,
    "quotes:parts": STAFF,
    "quotes:hours": STAFF,
    "quotes:for_plan": OFFICE,
    "quotes:quote": OFFICE,
    "quotes:send": OFFICE,
    "quotes:draft_paper": OFFICE,
    "quotes:revision": OFFICE,
    "quotes:accept": OFFICE,
    "quotes:decline": OFFICE,
    "quotes:paper": OFFICE,
    "quotes:answer": OFFICE,
    "quotes:prices": OFFICE,
    "quotes:start_prices": OFFICE,
    "quotes:import_prices": OFFICE,
    "quotes:new_price": OFFICE,
    "quotes:price": OFFICE,
    "quotes:delete_price": OFFICE,
    "quotes:minutes": STAFF,
    "quotes:terms": OWNER,
    "floor:week": STAFF,
    "floor:worker": ANYONE,
    "floor:work": STAFF,
    "floor:lay_out": OFFICE,
    "floor:order": OFFICE,
    "floor:add_hours": STAFF,
    "floor:hours": STAFF,
    "floor:package": STAFF,
    "floor:tap": STAFF,
    "floor:fault_tap": STAFF,
    "floor:hold": STAFF,
    "floor:person": OFFICE,
    "proof:proof": STAFF,
    "proof:make": STAFF,
    "proof:battery": STAFF,
    "proof:check": STAFF,
    "proof:read": STAFF,
    "proof:limits": OWNER,
    "faults:faults": STAFF,
    "faults:job_faults": STAFF,
    "faults:new": STAFF,
    "faults:fault": STAFF,
    "faults:test": STAFF,
    "faults:find": STAFF,
    "faults:answer": STAFF,
    "faults:take_back": STAFF,
    "faults:close": STAFF,
    "faults:reopen": STAFF,
    "faults:add_photo": STAFF,
    "faults:photo": STAFF,
    "billing:money": OFFICE,
    "billing:pay": OFFICE,
    "billing:refund": OFFICE,
    "billing:change": OFFICE,
    "billing:send_change": OFFICE,
    "billing:sent_change": OFFICE,
    "billing:answer_change": OFFICE,
    "billing:change_paper": OFFICE,
    "billing:new_invoice": OFFICE,
    "billing:invoice": OFFICE,
    "billing:invoice_paper": OFFICE,
    "billing:credit": OFFICE,
    "billing:invoices": OFFICE,
    "billing:find": OFFICE,
    "billing:journal": OFFICE,
    "handover:handover": STAFF,
    "handover:release": OFFICE,
    "handover:draft_paper": STAFF,
    "handover:paper": STAFF,
    "links:links": OFFICE,
    "links:revoke": OFFICE,
    "links:open": ANYONE,
    "links:accept": ANYONE,
    "links:accept_change": ANYONE,
    "links:paper": ANYONE,
    "history:job": STAFF,
    "materials:materials": STAFF,
    "materials:start": OFFICE,
    "materials:kit": STAFF,
    "materials:give_out": STAFF,
    "materials:let_go": OFFICE,
    "materials:settle": OFFICE,
    "materials:cut_list": STAFF,
    "materials:cut_list_csv": STAFF,
    "materials:labels": STAFF,
    "materials:labels_csv": STAFF,
    "purchasing:run": OFFICE,
    "purchasing:stop_run": OFFICE,
    "purchasing:make_orders": OFFICE,
    "purchasing:orders": OFFICE,
    "purchasing:order": OFFICE,
    "purchasing:order_packs": OFFICE,
    "purchasing:send_order": OFFICE,
    "purchasing:withdraw_order": OFFICE,
    "purchasing:close_order": OFFICE,
    "purchasing:receive": OFFICE,
    "purchasing:order_paper": OFFICE,
    "purchasing:order_csv": OFFICE,
    "purchasing:suppliers": OFFICE,
    "purchasing:new_supplier": OFFICE,
    "purchasing:supplier": OFFICE,
    "purchasing:new_offer": OFFICE,
    "purchasing:offer": OFFICE,
    "purchasing:delete_offer": OFFICE,
    "purchasing:rules": OWNER,
    "stock:stock": STAFF,
    "stock:new_material": OFFICE,
    "stock:material": STAFF,
    "stock:move": STAFF,
}


def addresses(patterns: list[URLPattern | URLResolver], space: str = "") -> Iterator[tuple[str, URLPattern]]:
    for pattern in patterns:
        if isinstance(pattern, URLResolver):
            yield from addresses(pattern.url_patterns, pattern.namespace or space)
        else:
            yield f"{space}:{pattern.name}", pattern


ALL = dict(addresses(get_resolver().url_patterns))


def test_every_address_has_a_decision():
    assert set(ALL) - set(DECIDED) == set(), "say in DECIDED who may open these"
    assert set(DECIDED) - set(ALL) == set(), "no such address any more"


@pytest.fixture(scope="module")
def demo(django_db_setup, django_db_blocker):
    with django_db_blocker.unblock():
        open_demo_shop(at=datetime(2031, 5, 2, 9, tzinfo=UTC))
        yield Job.objects.select_related("quote", "plan").order_by("pk")[0]
        from django.core.management import call_command

        call_command("flush", interactive=False, verbosity=0)


def path_of(name: str, job: Job) -> str:
    known = {
        "job_id": job.pk,
        "plan_id": job.plan_id,
        "quote_id": job.quote_id,
        "customer_id": job.customer_id,
        "vehicle_id": job.vehicle_id,
        "user_id": User.objects.get(username="bench").pk,
        "number": 1,
        "circuit_id": job.plan.circuits.values_list("pk", flat=True)[0],
        "listing": "circuits",
        "row_id": job.plan.circuits.values_list("pk", flat=True)[0],
        "file_format": "json",
        "price_id": 1,
        "run_id": 1,
        "order_id": 1,
        "supplier_id": 1,
        "offer_id": 1,
        "material_id": 1,
        "package_id": 1,
        "entry_id": 1,
        "check_id": 1,
        "fault_id": 1,
        "photo_id": 1,
        "step_id": 1,
        "document_id": 1,
        "kind": "sheet",
        "link_id": 1,
        "secret": "nothing-opens-by-this",
        "key": "quote-1",
    }
    return reverse(name, kwargs={key: known[key] for key in ALL[name].pattern.converters})


@pytest.mark.django_db
@pytest.mark.parametrize("role", [None, *Role])
@pytest.mark.parametrize("name", sorted(DECIDED))
def test_address_opens_for_those_who_may_and_for_nobody_else(client, demo, name, role):
    if role is not None:
        client.force_login(User.objects.get(role=role))
    answer = client.get(path_of(name, demo))
    if role in MAY[DECIDED[name]]:
        assert answer.status_code in (200, 302, 400, 404, 405), answer.status_code
        assert "/log-in/" not in str(answer.get("Location", ""))
    elif role is None:
        assert answer.status_code == 302
        assert answer.url.startswith(reverse("people:log_in"))
    else:
        refusals = {answer.status_code, client.post(path_of(name, demo)).status_code}
        assert 403 in refusals
        assert refusals <= {403, 405}  # 405: the address has no such act for anyone
