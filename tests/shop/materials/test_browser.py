"""Buying in a real browser: from three accepted jobs to two orders, a part delivery, a ready kit, a cut list."""

from __future__ import annotations

import io
import re
from datetime import timedelta
from typing import Any

import pytest
from axe_playwright_python.sync_playwright import Axe
from django.urls import reverse
from django.utils import timezone
from pypdf import PdfReader

from estimating.purchasing.models import OfferRow, OrderRow, SupplierRow
from estimating.stock.models import MaterialRow
from shop.jobs.models import Customer, Job, Stage, Vehicle
from shop.jobs.services import Opening, open_job
from shop.materials.work import ahead
from tests.estimating.purchasing import cast

pytestmark = pytest.mark.django_db(transaction=True)
RULES = {"runOnly": {"type": "tag", "values": ["wcag2a", "wcag2aa", "wcag21a", "wcag21aa", "wcag22aa"]}}


@pytest.fixture
def jobs(db: Any) -> list[Job]:
    """Three accepted jobs, two suppliers that sell all they need."""
    found = []
    for n in range(3):
        customer = Customer.objects.create(name=f"Customer {n}")
        vehicle = Vehicle.objects.create(customer=customer, description="Heron estate")
        opening = Opening(f"Rewire {n}", starts_on=timezone.localdate() + timedelta(days=9 + n))
        plan = cast.plan_row(f"Heron {n}")
        job = open_job(customer=customer, vehicle=vehicle, plan=plan, opening=opening, by="Ada", at=timezone.now())
        Job.objects.filter(pk=job.pk).update(stage=Stage.BOOKED)
        found.append(Job.objects.get(pk=job.pk))
    north, south = cast.supplier("North"), cast.supplier("South")
    cast.sell_everything(tuple(ahead(job) for job in found), north, wire_seller=south)
    return found


def test_from_three_accepted_jobs_to_a_cut_list(live_shop: Any, jobs: list[Job], settings: Any) -> None:
    settings.LONG_WORK_APART = True  # no broker: planned beside the page, which asks until it is done
    page = live_shop.open(reverse("materials:materials"))
    assert page.get_by_role("region", name="Jobs ahead").get_by_text("not planned").count() == 3
    page.get_by_role("button", name="Plan what to buy").click()
    page.get_by_role("button", name="Make 2 purchase orders").click()
    orders = list(OrderRow.objects.order_by("pk"))
    for order in orders:
        page.goto(live_shop.url + reverse("purchasing:order", args=[order.pk]))
        page.get_by_role("button", name="Send", exact=True).click()
        page.get_by_text("counts as sent").wait_for()

    parts, wire = sorted(orders, key=lambda order: order.supplier.name)
    page.goto(live_shop.url + reverse("purchasing:order", args=[parts.pk]))
    page.get_by_role("link", name="Enter a delivery").click()
    page.get_by_role("button", name="Enter the delivery").click()
    page.get_by_text("Delivery entered").wait_for()
    assert page.get_by_text("Kit ready").count() == 0, "the wire is still to come"

    page.goto(live_shop.url + reverse("purchasing:receive", args=[wire.pk]))
    boxes = page.get_by_label(re.compile("^Packs of"))
    assert boxes.count() > 1
    boxes.first.fill("0")
    page.get_by_role("button", name="Enter the delivery").click()
    page.get_by_text("Delivery entered").wait_for()
    page.get_by_role("link", name="Enter a delivery").click()
    page.get_by_role("button", name="Enter the delivery").click()
    page.get_by_text(f"Kit ready: job {jobs[0].number}").wait_for()

    page.goto(live_shop.url + reverse("materials:kit", args=[jobs[0].pk]))
    page.get_by_role("heading", name="Kit ready").wait_for()
    assert page.get_by_text("not reserved").count() == 0
    with page.expect_download() as download:
        link = page.get_by_role("link", name="Cut list PDF")
        link.evaluate("link => { link.download = 'cuts.pdf'; link.click() }")
    text = "\n".join(sheet.extract_text() for sheet in PdfReader(io.BytesIO(download.value.path().read_bytes())).pages)
    assert "cooling fan/1" in text
    assert "R-" in text

    page.get_by_role("button", name="Give the kit out").click()
    page.get_by_role("heading", name="Kit given out").wait_for()


@pytest.mark.parametrize(("width", "scheme"), [(390, "dark"), (1440, "light")])
def test_every_page_fits_and_meets_wcag(live_shop: Any, jobs: list[Job], width: int, scheme: str) -> None:
    first = ahead(jobs[0])
    run = cast.start_run(jobs=[first], today=timezone.localdate(), by="Ada", at=timezone.now())
    run.refresh_from_db()
    orders = cast.place_orders(run=run, by="Ada", at=timezone.now())
    cast.send_order(order=orders[0], by="Ada", at=timezone.now())
    open_run = cast.start_run(jobs=[first], today=timezone.localdate(), by="Ada", at=timezone.now())
    paths = {
        "needs": reverse("materials:materials"),
        "kit": reverse("materials:kit", args=[jobs[0].pk]),
        "run ordered": reverse("purchasing:run", args=[run.pk]),
        "run ready": reverse("purchasing:run", args=[open_run.pk]),
        "orders": reverse("purchasing:orders"),
        "order sent": reverse("purchasing:order", args=[orders[0].pk]),
        "order draft": reverse("purchasing:order", args=[orders[1].pk]),
        "receive": reverse("purchasing:receive", args=[orders[0].pk]),
        "suppliers": reverse("purchasing:suppliers"),
        "supplier": reverse("purchasing:supplier", args=[SupplierRow.objects.all()[0].pk]),
        "new supplier": reverse("purchasing:new_supplier"),
        "offer": reverse("purchasing:offer", args=[OfferRow.objects.all()[0].pk]),
        "rules": reverse("purchasing:rules"),
        "stock": reverse("stock:stock"),
        "material": reverse("stock:material", args=[MaterialRow.objects.all()[0].pk]),
        "new material": reverse("stock:new_material"),
    }
    live_shop.page.emulate_media(color_scheme=scheme)
    found = []
    for name, path in paths.items():
        live_shop.page.set_viewport_size({"width": width, "height": 844})
        page = live_shop.open(path)
        # As tall as the page: else the title block at the foot lies over what can be scrolled clear of it.
        page.set_viewport_size({"width": width, "height": page.evaluate("document.documentElement.scrollHeight")})
        violations = Axe().run(page, options=RULES).response["violations"]
        found += [f"{name}: {one['id']} {one['nodes'][0]['html'][:200]}" for one in violations]
        if page.evaluate("document.documentElement.scrollWidth") > width:
            found.append(f"{name}: wider than the screen")
    assert not found, "\n".join(found)
