"""The parts page: quantities for all, money for those who may see it."""

import csv
import io
from dataclasses import replace

import pytest
from django.urls import reverse

from circuits.planning.store import create_plan
from estimating.quotes.parts_page import parts_groups
from estimating.quotes.store import work_up_plan
from tests.estimating.quotes import cast


def _url(plan, query=""):
    return reverse("quotes:parts", args=[plan.pk]) + query


def _csv(client, plan):
    answer = client.get(_url(plan, "?as=csv"))
    assert answer["Content-Type"].startswith("text/csv")
    return list(csv.reader(io.StringIO(answer.content.decode("utf-8-sig"))))


def test_every_part_is_listed_with_the_circuits_that_caused_it(owner, plan):
    page = owner.get(_url(plan)).content.decode()
    assert "Relay sockets" in page
    circuit = plan.circuits.get(name="cooling fan")
    assert reverse("planning:circuit", args=[plan.pk, circuit.pk]) in page


def test_wire_is_drawn_in_its_colour(owner, plan):
    page = owner.get(_url(plan)).content.decode()
    assert 'class="wire"' in page


def test_parts_net_adds_up_to_the_quote(owner, plan):
    rows = _csv(owner, plan)
    net = sum(float(row[rows[0].index("net")]) for row in rows[1:])
    lines = [line for line in work_up_plan(plan.pk).quote.lines if line.line_class == "parts"]
    assert net == pytest.approx(float(sum(line.net for line in lines)))


def test_lines_carry_no_money_where_prices_are_not_shown(plan):
    groups = parts_groups(work_up_plan(plan.pk), {}, with_prices=False)
    assert {line.price for group in groups for line in group.lines} == {None}
    assert {group.net for group in groups} == {None}


def test_technician_gets_quantities_without_money(technician, plan):
    assert _csv(technician, plan)[0] == ["kind", "spec", "quantity", "unit", "circuits"]
    page = technician.get(_url(plan)).content.decode()
    assert "Quantity" in page
    assert "Price" not in page
    assert "Supplier" not in page


def test_names_that_a_spreadsheet_would_run_are_guarded(owner, db):
    plan = create_plan(title="x", plan=cast.plan_of(replace(cast.SOCKET, name='=HYPERLINK("http://x")')), by="Ada")
    texts = [cell for row in _csv(owner, plan) for cell in row]
    assert any(cell.startswith("'=HYPERLINK") for cell in texts)
    assert not any(cell.startswith("=") for cell in texts)


def test_name_with_markup_is_shown_as_text(owner, db):
    plan = create_plan(title="x", plan=cast.plan_of(replace(cast.SOCKET, name="<b>socket</b>")), by="Ada")
    assert "<b>socket" not in owner.get(_url(plan)).content.decode()


def test_plan_without_circuits_says_what_to_do_first(owner, db):
    plan = create_plan(title="x", plan=cast.plan_of(), by="Ada")
    assert "No parts yet" in owner.get(_url(plan)).content.decode()


def test_stranger_must_log_in(stranger, plan):
    assert stranger.get(_url(plan)).status_code == 302


def test_plan_that_is_not_there(owner, db):
    assert owner.get(reverse("quotes:parts", args=[999])).status_code == 404


def test_post_is_refused(owner, plan):
    assert owner.post(_url(plan)).status_code == 405
