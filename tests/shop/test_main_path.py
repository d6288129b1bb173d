"""The main path in a real browser: a sheet comes in, is edited in the grid, quoted, put on paper, accepted, booked."""

from __future__ import annotations

import io
from decimal import Decimal
from typing import Any

import pytest
from django.urls import reverse
from pypdf import PdfReader

from circuits.planning.models import CircuitRow
from circuits.sheets import write_xlsx
from circuits.sheets.starters import load_starter
from estimating.quotes.store import work_up_plan
from shop.jobs.models import Job, Stage
from tests.circuits.planning.hands import Hands

pytestmark = pytest.mark.django_db(transaction=True)


def test_from_circuit_sheet_to_booked_job(live_shop: Any, tmp_path: Any) -> None:
    sheet = tmp_path / "survey.xlsx"
    sheet.write_bytes(write_xlsx(load_starter("closed_car")))
    page = live_shop.open(reverse("jobs:new"))
    page.locator("[name=customer-name]").fill("Bo Tallow")
    page.locator("[name=vehicle-description]").fill("Quillfeather saloon")
    page.locator("[name=job-title]").fill("Full rewire")
    page.locator("[name=plan-source]").select_option("sheet")
    page.locator("[name=plan-file]").set_input_files(sheet)
    page.get_by_role("button", name="Open job").click()

    page.locator(".grid-table").wait_for()
    job = Job.objects.get()
    assert CircuitRow.objects.filter(plan=job.plan).count() == 42
    before = work_up_plan(job.plan_id).quote.total

    hands = Hands(page)
    hands.at(40, "Load")
    name = hands.cell(40, "Circuit").inner_text()
    hands.press("Home", "Control+d", "Control+s")
    hands.settled()
    assert CircuitRow.objects.filter(plan=job.plan).count() == 43
    worked = work_up_plan(job.plan_id)
    assert worked.quote.total > before, f"a copy of {name} costs something"

    page.get_by_role("link", name="Quote").click()
    page.get_by_role("button", name="Send revision 1").click()
    page.get_by_role("heading", name="revision 1").wait_for()
    job.refresh_from_db()
    assert job.stage == Stage.QUOTED

    with page.expect_download() as download:
        page.get_by_role("link", name="PDF").first.evaluate("link => { link.download = 'quote.pdf'; link.click() }")
    paper = PdfReader(io.BytesIO(download.value.path().read_bytes()))
    text = "\n".join(sheet.extract_text() for sheet in paper.pages)
    assert "Bo Tallow" in text
    assert amount(worked.quote.total) in text
    assert 1 <= len(paper.pages) <= 4

    page.get_by_label("Name of the customer who accepts").fill("Bo Tallow")
    page.get_by_label("The customer has read this revision").check()
    page.get_by_role("button", name="Accept revision 1").click()
    page.get_by_text("Accepted by Bo Tallow").wait_for()
    job.refresh_from_db()
    assert job.stage == Stage.BOOKED
    assert job.booked_at is not None


def amount(value: Decimal) -> str:
    """As the paper writes it.

    >>> amount(Decimal("7785.5"))
    '7,785.50'
    """
    return f"{value:,.2f}"
