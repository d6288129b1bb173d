"""The frame offers the sheets of the set in hand and the sections, only those that the reader may open."""

from __future__ import annotations

from datetime import UTC, datetime

import pytest
from django.test import RequestFactory
from django.urls import get_resolver, resolve, reverse

from circuits.planning.services import FromStarter, new_plan
from shop.jobs.models import Customer, Vehicle
from shop.jobs.services import Opening, open_job
from shop.navigation import JOB_SHEETS, SECTIONS, SHOP_SHEETS, frame, sections, sheets
from shop.people.models import Role, User

AT = datetime(2031, 5, 2, 9, tzinfo=UTC)


@pytest.fixture
def job(db):
    customer = Customer.objects.create(name="Ada Fernwhistle")
    vehicle = Vehicle.objects.create(customer=customer, description="Quillfeather saloon")
    plan = new_plan(title="rewire", source=FromStarter("pickup"), by="Otto")
    return open_job(customer=customer, vehicle=vehicle, plan=plan, opening=Opening(title="Rewire"), by="Otto", at=AT)


def asked(address: str, role: Role | None):
    request = RequestFactory().get(address)
    request.resolver_match = resolve(address)
    request.user = User(username="x", role=role) if role else _nobody()
    return request


def _nobody():
    from django.contrib.auth.models import AnonymousUser

    return AnonymousUser()


def names(found) -> list[str]:
    return [f"{sheet.number} {sheet.name}" for sheet in found]


NUMBER = {entry.name: number for number, entry in enumerate(JOB_SHEETS, start=1)}
UP_TO_QUOTE = [f"{number} {name}" for name, number in NUMBER.items() if number <= NUMBER["Quote"]]
TOTAL = len(JOB_SHEETS)


def test_set_of_a_job_is_found_from_any_of_its_sheets_in_one_query(job, django_assert_num_queries) -> None:
    addresses = [
        (reverse("jobs:job", args=[job.pk]), 1),
        (reverse("planning:plan", args=[job.plan_id]), 2),
        (reverse("planning:sheet", args=[job.plan_id]), 2),
        (reverse("planning:loom", args=[job.plan_id]), 3),
        (reverse("planning:connectors", args=[job.plan_id]), NUMBER["Connectors"]),
        (reverse("planning:panel", args=[job.plan_id]), NUMBER["Panel"]),
        (reverse("planning:supply", args=[job.plan_id]), NUMBER["Supply"]),
        (reverse("planning:power", args=[job.plan_id]), NUMBER["Power-up"]),
        (reverse("quotes:parts", args=[job.plan_id]), NUMBER["Parts"]),
        (reverse("quotes:hours", args=[job.plan_id]), NUMBER["Hours"]),
        (reverse("quotes:quote", args=[job.quote_id]), NUMBER["Quote"]),
        (reverse("handover:handover", args=[job.pk]), TOTAL),
        (reverse("history:job", args=[job.pk]), 1),
    ]
    for address, number in addresses:
        with django_assert_num_queries(1):
            found = sheets(asked(address, Role.OWNER))
        assert names(found)[: len(UP_TO_QUOTE)] == UP_TO_QUOTE
        assert names(found)[-1] == f"{TOTAL} Handover"
        assert [sheet.number for sheet in found] == list(range(1, TOTAL + 1))
        assert (found.number, found.total) == (number, TOTAL)
        assert {sheet.url for sheet in found} >= {addresses[0][0], addresses[1][0], addresses[7][0]}


def test_sheets_keep_their_numbers_where_some_are_closed(job) -> None:
    found = sheets(asked(reverse("planning:plan", args=[job.plan_id]), Role.TECHNICIAN))
    assert names(found)[: len(UP_TO_QUOTE) - 1] == UP_TO_QUOTE[:-1]
    assert UP_TO_QUOTE[-1] not in names(found)
    assert names(found)[-1] == f"{TOTAL} Handover"
    assert found.total == TOTAL


def test_plan_without_a_job_has_sheets_of_its_own(db) -> None:
    plan = new_plan(title="loose", source=FromStarter("pickup"), by="Otto")
    found = sheets(asked(reverse("planning:plan", args=[plan.pk]), Role.OWNER))
    assert names(found) == UP_TO_QUOTE[1:]


def test_quote_nobody_knows_still_draws_its_frame(db) -> None:
    assert names(sheets(asked(reverse("quotes:quote", args=[404]), Role.OWNER))) == UP_TO_QUOTE[-1:]


def test_settings_are_a_set_too() -> None:
    found = sheets(asked(reverse("people:staff"), Role.OWNER))
    assert names(found) == ["1 Letterhead", "2 Staff", "3 Building", "4 Prices", "5 Minutes", "6 Terms", "7 Limits"]
    assert found.number == 2
    assert [section.name for section in sections(asked(reverse("quotes:terms"), Role.OWNER)) if section.current] == [
        "Shop"
    ]


def test_lists_belong_to_no_set() -> None:
    found = sheets(asked(reverse("jobs:jobs"), Role.OWNER))
    assert (names(found), found.number, bool(found)) == ([], 0, False)


@pytest.mark.parametrize(
    ("role", "expected"),
    [
        (
            Role.OWNER,
            ["Jobs", "Week", "Faults", "Customers", "Vehicles", "Materials", "Invoices", "Bench", "Shop", "Help"],
        ),
        (Role.TECHNICIAN, ["Jobs", "Week", "Faults", "Customers", "Vehicles", "Materials", "Bench", "Help"]),
        (None, []),
    ],
)
def test_sections_are_those_the_reader_may_open(role: Role | None, expected: list[str]) -> None:
    assert [section.name for section in sections(asked(reverse("jobs:jobs"), role))] == expected


def test_section_in_hand_is_marked(job) -> None:
    for address in (reverse("jobs:jobs"), reverse("planning:loom", args=[job.plan_id])):
        assert [s.name for s in sections(asked(address, Role.OWNER)) if s.current] == ["Jobs"]


def test_nothing_is_asked_of_the_database_until_the_frame_is_drawn(job, django_assert_num_queries) -> None:
    with django_assert_num_queries(0):
        frame(asked(reverse("planning:plan", args=[job.plan_id]), Role.OWNER))


def test_request_that_failed_before_log_in_has_a_frame() -> None:
    request = RequestFactory().get("/no-such-place/")
    request.resolver_match = None
    assert not sheets(request)
    assert sections(request) == []


def test_every_view_that_the_frame_names_exists() -> None:
    known = {
        f"{namespace}:{name}"
        for namespace, (_, resolver) in get_resolver().namespace_dict.items()
        for name in resolver.reverse_dict
        if isinstance(name, str)
    }
    named = {view for entry in (*SECTIONS, *JOB_SHEETS, *SHOP_SHEETS) for view in (entry.view, *entry.also)}
    assert named <= known
