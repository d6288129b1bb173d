"""What the owner stores on the letterhead is what the quote's paper carries."""

from __future__ import annotations

import io

import pytest
from django.urls import reverse
from PIL import Image
from pypdf import PdfReader

from shop.people.letterhead import letterhead
from shop.people.models import Role, ShopRow, User
from tests.shop.jobs.conftest import job, vehicle  # noqa: F401  fixtures

pytestmark = pytest.mark.django_db

SHOP = {"name": "Sparrowgate Auto Electrics", "address": "3 Invented Yard\nSampleton", "tax_number": "XX 123"}


@pytest.fixture
def owner(client):
    user = User.objects.create_user("wilma", role=Role.OWNER)
    client.force_login(user)
    return user


def logo() -> io.BytesIO:
    out = io.BytesIO()
    Image.new("RGB", (60, 20), "navy").save(out, "PNG")
    out.seek(0)
    out.name = "logo.png"
    return out


def test_nothing_stored_is_a_blank_letterhead():
    assert letterhead().name == ""
    assert letterhead().logo_png is None


def test_stored_name_and_logo_reach_the_paper(client, owner, job):  # noqa: F811
    answer = client.post(reverse("people:shop"), SHOP | {"logo": logo()})
    assert answer.status_code == 302
    assert (letterhead().logo_png or b"").startswith(b"\x89PNG")
    paper = PdfReader(io.BytesIO(client.get(reverse("quotes:draft_paper", args=[job.quote_id])).content))
    text = paper.pages[0].extract_text()
    assert "Sparrowgate Auto Electrics" in text
    assert "Sampleton" in text
    assert len(paper.pages[0].images) == 1


def test_logo_can_be_taken_off_and_stays_otherwise(client, owner):
    client.post(reverse("people:shop"), SHOP | {"logo": logo()})
    client.post(reverse("people:shop"), SHOP | {"phone": "01 555"})
    assert ShopRow.objects.get().logo_png
    client.post(reverse("people:shop"), SHOP | {"drop_logo": "on"})
    assert ShopRow.objects.get().logo_png is None


def test_file_that_is_no_picture_stores_nothing(client, owner):
    bad = io.BytesIO(b"#!/bin/sh\n")
    bad.name = "logo.png"
    page = client.post(reverse("people:shop"), SHOP | {"logo": bad}).content.decode()
    assert "expected a PNG" in page
    assert not ShopRow.objects.exists()
