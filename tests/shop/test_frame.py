"""Every page is one sheet: title block, skip links, designed wrong turns, tables that never count."""

from __future__ import annotations

import re
from datetime import date

import pytest
from django.contrib.sessions.backends.db import SessionStore
from django.template.loader import render_to_string
from django.test import Client, RequestFactory
from django.urls import reverse
from django_tables2 import RequestConfig

from circuits.paper.title_block import TitleBlock
from shop.jobs.sheet_table import Cell, SheetTable, UncountedPages
from shop.people.models import Role, User

SHEET = TitleBlock("Circuit plan", "J-7 & <saloon>", "P-7", "C", date(2031, 5, 2), "Otto Ledger")


def drawn(scheme: str = "") -> str:
    request = RequestFactory().get("/")
    request.session = SessionStore()
    request.COOKIES["scheme"] = scheme
    return render_to_string("base.html", {"sheet": SHEET}, request=request)


def test_title_block_carries_every_field_of_the_sheet() -> None:
    page = drawn()
    for value in ("Circuit plan", "J-7 &amp; &lt;saloon&gt;", "P-7", ">C<", "2 May 2031", "Otto Ledger"):
        assert value in page


def test_page_begins_with_ways_past_the_frame_and_has_one_heading() -> None:
    page = drawn()
    assert page.index('href="#content"') < page.index('id="content"') < page.index('id="title-block"')
    assert len(re.findall("<h1", page)) == 1


@pytest.mark.parametrize(("scheme", "attribute"), [("dark", 'data-scheme="dark"'), ("light", 'data-scheme="light"')])
def test_stored_choice_of_light_or_dark_is_drawn_by_the_server(scheme: str, attribute: str) -> None:
    assert attribute in drawn(scheme)


def test_made_up_scheme_is_not_echoed() -> None:
    assert "data-scheme=" not in drawn('"><script>')


def test_page_asks_nothing_of_other_sites_and_runs_no_inline_script() -> None:
    page = drawn()
    assert not re.findall(r'(?:src|href)="(?:https?:)?//', page)
    assert not re.findall(r"<script(?![^>]*src=)|\son\w+=|style=", page)


@pytest.fixture
def office(db) -> Client:
    client = Client(raise_request_exception=False)
    client.force_login(User.objects.create_user("otto", role=Role.OFFICE))
    return client


def test_wrong_address_names_it_and_shows_the_way_back(office: Client) -> None:
    answer = office.get("/no-such-sheet/")
    assert answer.status_code == 404
    assert "/no-such-sheet/" in answer.text
    assert 'href="/"' in answer.text


def test_closed_sheet_says_who_opens_it(office: Client) -> None:
    answer = office.get(reverse("people:staff"))
    assert answer.status_code == 403
    assert "The owner can change your role." in answer.text


def test_form_without_its_mark_is_refused_in_plain_words(db) -> None:
    client = Client(enforce_csrf_checks=True)
    answer = client.post(reverse("people:log_in"), {"username": "otto"})
    assert answer.status_code == 403
    assert "nothing was stored" in answer.text


@pytest.mark.parametrize("name", ["500.html", "400.html"])
def test_page_of_last_resort_needs_nothing(name: str) -> None:
    page = render_to_string(name)
    assert "{%" not in page
    assert "/static/" not in page
    assert 'href="/"' in page


class UserTable(SheetTable):
    username = Cell(lambda user: user.username, figure=True, verbose_name="Log-in")
    caption = "Staff & co"

    class Meta:
        empty_text = "No staff yet."


def table_page(query: str, rows: int = 7) -> str:
    User.objects.bulk_create(User(username=f"u{n:02d}") for n in range(rows))
    request = RequestFactory().get(f"/?{query}")
    table = UserTable(User.objects.all())
    RequestConfig(request, paginate={"per_page": 3, "paginator_class": UncountedPages}).configure(table)
    return render_to_string("shop/table.html", {"table": table}, request=request)


def test_table_pages_without_counting(db, django_assert_num_queries) -> None:
    User.objects.bulk_create(User(username=f"v{n:02d}") for n in range(7))
    with django_assert_num_queries(2):  # the rows added, the page read
        page = table_page("page=2", rows=3)
    assert "Page 2" in page
    assert 'rel="prev"' in page
    assert 'rel="next"' in page


def test_sorted_column_says_which_way(db) -> None:
    assert 'aria-sort="ascending"' in table_page("sort=username")


def test_column_sorted_down_says_so(db) -> None:
    assert 'aria-sort="descending"' in table_page("sort=-username")


def test_cells_carry_their_header_and_class_for_the_phone(db) -> None:
    page = table_page("sort=username")
    assert re.search(r'<td data-label="Log-in" class="?figure"?>u00</td>', page)


def test_table_is_named_and_an_empty_one_says_so(db) -> None:
    page = table_page("", rows=0)
    assert 'aria-label="Staff &amp; co"' in page
    assert "No staff yet." in page
