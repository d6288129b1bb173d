"""The hours page: distribution, sections, elements; no money."""

from django.urls import reverse

from circuits.planning.store import create_plan
from estimating.quotes.store import work_up_plan
from tests.estimating.quotes import cast


def test_figures_are_those_of_the_work_up(technician, plan):
    page = technician.get(reverse("quotes:hours", args=[plan.pk])).content.decode()
    total = work_up_plan(plan.pk).hours.total
    for hours in (total.p50_h, total.p80_h, total.p90_h):
        assert f"{hours:.1f} h" in page
    assert "<svg" in page


def test_every_element_shows_its_minutes_and_source(technician, plan):
    page = technician.get(reverse("quotes:hours", args=[plan.pk])).content.decode()
    for element in work_up_plan(plan.pk).hours.elements:
        assert element.element.capitalize() in page
    assert "common practice, no source" in page


def test_plan_without_circuits_says_what_to_do_first(technician, db):
    plan = create_plan(title="x", plan=cast.plan_of(), by="Ada")
    assert technician.get(reverse("quotes:hours", args=[plan.pk])).status_code == 200


def test_stranger_must_log_in(stranger, plan):
    assert stranger.get(reverse("quotes:hours", args=[plan.pk])).status_code == 302


def test_plan_that_is_not_there(owner, db):
    assert owner.get(reverse("quotes:hours", args=[999])).status_code == 404
