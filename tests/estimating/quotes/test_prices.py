"""The price book: look up, change in place, add, take out, take away as CSV."""

from decimal import Decimal

import pytest
from django.urls import reverse

from estimating.pricing.price_book_csv import example_price_book, read_price_book
from estimating.quotes.models import PriceRow
from estimating.quotes.settings_services import save_price, start_price_book
from estimating.quotes.store import shop_rules, work_up_plan

PRICES = "/settings/prices/"
TYPED = {
    "kind": "wire", "spec": "14 AWG*", "unit": "m", "cost": "0.60", "markup_percent": "", "price": "", "pack": "100",
    "supplier": "Wharf Cable, invented",
}  # fmt: skip
IN_PLACE = {"HTTP_HX_REQUEST": "true"}


@pytest.fixture
def row(db):
    return save_price(row=PriceRow(kind="clip", spec="*", unit="piece", cost=Decimal("0.50"), pack=50))


def _url(name, row):
    return reverse(f"quotes:{name}", args=[row.pk])


def _shown(row, **changed):
    fields = ("kind", "spec", "unit", "cost", "markup_percent", "price", "pack", "supplier")
    values = {field: getattr(row, field) for field in fields} | changed
    return {field: "" if value is None else str(value) for field, value in values.items()}


def test_shop_without_prices_sees_the_examples_as_such(office, db):
    page = office.get(PRICES).content.decode()
    assert "packaged examples with invented prices" in page
    assert "18 AWG*" in page


def test_starting_from_the_examples_makes_them_the_shops_own(office, db):
    office.post(reverse("quotes:start_prices"))
    assert PriceRow.objects.count() == len(example_price_book())
    assert {(i.kind, i.spec, i.cost) for i in shop_rules().book.items} == {
        (i.kind, i.spec, i.cost) for i in example_price_book().items
    }


def test_starting_again_changes_nothing(row):
    assert start_price_book() == 0
    assert PriceRow.objects.count() == 1


def test_search_finds_by_every_word(office, db):
    start_price_book()
    page = office.get(PRICES, {"q": "fuse blade"}).content.decode()
    assert "blade" in page
    assert "18 AWG*" not in page
    assert "No price for" in office.get(PRICES, {"q": "nothing of the kind"}).content.decode()


@pytest.mark.parametrize("page", ["2", "0", "-1", "x", "99999999999"])
def test_any_page_number_gives_a_page(office, db, page):
    start_price_book()
    assert office.get(PRICES, {"page": page}).status_code == 200


def test_pages_show_every_row_once(office, db):
    start_price_book()
    lines = [line for n in range(1, 9) for line in office.get(PRICES, {"page": n}).context["list"].lines]
    assert len(lines) == len({line.row_id for line in lines}) == PriceRow.objects.count()


def test_csv_reads_back_to_the_same_book(office, db):
    start_price_book()
    answer = office.get(PRICES, {"as": "csv"})
    assert set(read_price_book(answer.content)) == set(shop_rules().book.items)


def test_new_price_is_used_by_the_next_work_up(office, plan, row):
    assert any(part.startswith("wire ") for part in work_up_plan(plan.pk).quote.unpriced)
    office.post(reverse("quotes:new_price"), TYPED | {"spec": "*"})
    assert not any(part.startswith("wire ") for part in work_up_plan(plan.pk).quote.unpriced)


def test_changing_in_place_answers_with_the_row(office, row):
    form = office.get(_url("price", row), **IN_PLACE).content.decode()
    assert form.count("<tr") == 1
    assert "autofocus" in form
    answer = office.post(_url("price", row), _shown(row, cost="0.75"), **IN_PLACE).content.decode()
    assert answer.count("<tr") == 1
    assert "0.975" in answer
    row.refresh_from_db()
    assert row.cost == Decimal("0.75")


def test_row_can_be_left_as_it_was(office, row):
    answer = office.get(_url("price", row) + "?leave", **IN_PLACE).content.decode()
    assert answer.count("<tr") == 1
    assert "<input" not in answer


def test_bad_figure_in_place_keeps_the_form_and_the_price(office, row):
    answer = office.post(_url("price", row), _shown(row, cost="cheap"), **IN_PLACE).content.decode()
    assert "expected a number such as 1.25" in answer
    assert 'value="cheap"' in answer
    row.refresh_from_db()
    assert row.cost == Decimal("0.50")


def test_changing_without_scripts(office, row):
    assert office.get(_url("price", row)).status_code == 200
    assert office.post(_url("price", row), _shown(row, price="1.10")).url == PRICES
    row.refresh_from_db()
    assert row.price == Decimal("1.10")


@pytest.mark.parametrize(
    ("field", "value"),
    [
        ("cost", "-1"),
        ("cost", "NaN"),
        ("pack", "0"),
        ("kind", "biscuit"),
        ("unit", "furlong"),
        ("spec", ""),
        ("markup_percent", "-5"),
    ],
)
def test_figures_out_of_range_are_refused(office, db, field, value):
    answer = office.post(reverse("quotes:new_price"), TYPED | {field: value})
    assert answer.status_code == 400
    assert not PriceRow.objects.exists()


def test_second_row_of_the_same_part_is_refused(office, row):
    answer = office.post(reverse("quotes:new_price"), _shown(row, cost="9"))
    assert answer.status_code == 400
    assert PriceRow.objects.count() == 1


def test_row_can_be_taken_out(office, row):
    office.post(_url("delete_price", row))
    assert not PriceRow.objects.exists()


@pytest.mark.parametrize("name", ["price", "delete_price"])
def test_technician_and_stranger_may_not_write(technician, stranger, row, name):
    assert technician.post(_url(name, row), _shown(row, cost="9")).status_code == 403
    assert stranger.post(_url(name, row), _shown(row, cost="9")).status_code == 302
    row.refresh_from_db()
    assert row.cost == Decimal("0.50")


@pytest.mark.parametrize("name", ["prices", "new_price", "start_prices", "import_prices"])
def test_technician_and_stranger_may_not_see(technician, stranger, name):
    url = reverse(f"quotes:{name}")
    assert technician.get(url).status_code in (403, 405)
    assert technician.post(url).status_code in (403, 405)
    assert stranger.get(url).status_code == 302


def test_price_that_is_not_there(office, db):
    assert office.get(reverse("quotes:price", args=[99])).status_code == 404
