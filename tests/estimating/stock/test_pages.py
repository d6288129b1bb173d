"""Pages of the stock: found, moved, refused with words; no money on them; the same number of queries at any length."""

from __future__ import annotations

import pytest
from django.contrib.auth import get_user_model
from django.db import connection
from django.test import Client
from django.test.utils import CaptureQueriesContext
from django.urls import reverse

from estimating.stock.models import MaterialRow, MovementRow
from estimating.stock.services import keep, level_of, material_named, take_in
from tests.estimating.purchasing import cast

pytestmark = pytest.mark.django_db


@pytest.fixture
def technician():
    client = Client()
    client.force_login(get_user_model().objects.create_user("tessa", role="technician"))
    return client


@pytest.fixture
def office():
    client = Client()
    client.force_login(get_user_model().objects.create_user("otto", role="office"))
    return client


@pytest.fixture
def roll():
    return take_in(material=material_named("wire", "14 AWG RD", 125), amount=25_000, act=cast.ACT)


def moved(client, roll, **data):
    sent = {"act": "issue", "holding": roll.pk, "amount": "2 m", "job": "J-1", "token": "t1", **data}
    return client.post(reverse("stock:move", args=[roll.material_id]), sent)


def test_a_technician_issues_a_cut_from_the_page(technician, roll):
    assert moved(technician, roll).status_code == 302
    assert level_of(roll) == 23_000
    assert MovementRow.objects.latest("pk").by == "tessa"


def test_the_same_form_sent_twice_moves_once(technician, roll):
    for _ in range(2):
        moved(technician, roll)
    assert level_of(roll) == 23_000


@pytest.mark.parametrize(
    ("data", "words"),
    [
        ({"amount": "30 m"}, "25.00 m there, 30.00 m asked for"),
        ({"amount": "lots"}, "lots"),
        ({"job": ""}, "number of the job"),
        ({"holding": ""}, "which roll or bin"),
        ({"holding": "999999"}, "valid choice"),
        ({"act": "burn"}, "valid choice"),
        ({"amount": "1e999 m"}, "1e999"),
    ],
)
def test_what_cannot_be_is_told_and_nothing_moves(technician, roll, data, words):
    answer = moved(technician, roll, **data)
    assert answer.status_code == 400
    assert words in answer.content.decode()
    assert level_of(roll) == 25_000


@pytest.mark.parametrize(
    ("act", "amount", "level"), [("count", "20", 20_000), ("scrap", "5", 20_000), ("receipt", "5", 25_000)]
)
def test_other_movements_from_the_page(technician, roll, act, amount, level):
    assert moved(technician, roll, act=act, amount=amount, job="").status_code == 302
    assert level_of(roll) == level
    assert roll.material.holdings.count() == (2 if act == "receipt" else 1)


def test_the_stock_is_found_by_any_word(technician, roll):
    for words in ("14 AWG", "wire rd", roll.label.lower()):
        assert "14 AWG RD" in technician.get(reverse("stock:stock"), {"q": words}).content.decode()
    assert "Nothing found" in technician.get(reverse("stock:stock"), {"q": "bicycle"}).content.decode()


def test_what_runs_low_is_listed_alone(office, roll):
    fuse = material_named("fuse", "blade 15 A")
    answer = office.post(reverse("stock:material", args=[fuse.pk]), {"bin": "A3", "low_level": "20"})
    assert answer.status_code == 302
    page = office.get(reverse("stock:stock") + "?low").content.decode()
    assert "blade 15 A" in page
    assert "14 AWG RD" not in page


def test_a_technician_changes_no_level(technician, roll):
    technician.post(reverse("stock:material", args=[roll.material_id]), {"bin": "Z"})
    assert MaterialRow.objects.get().bin == ""


def test_csv_has_every_material_and_no_formula(technician, roll):
    keep(material=roll.material, bin_name="=A1", low_level=0)
    text = technician.get(reverse("stock:stock"), {"as": "csv"}).content.decode("utf-8-sig")
    assert "wire,14 AWG RD,125,'=A1,25,m," in text


@pytest.mark.parametrize("name", ["stock:stock", "stock:material"])
def test_queries_do_not_grow_with_rows(technician, roll, name):
    args = [roll.material_id] if name == "stock:material" else []
    queries = []
    for more in (0, 60):
        for n in range(more):
            take_in(material=roll.material, amount=1_000, act=cast.ACT)
            material_named("fuse", f"blade {n} A")
        with CaptureQueriesContext(connection) as captured:
            assert technician.get(reverse(name, args=args)).status_code == 200
        queries.append(len(captured))
    assert queries[0] == queries[1] <= 8
