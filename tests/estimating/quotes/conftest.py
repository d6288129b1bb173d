"""The shared cast as rows, and a client for each role."""

from __future__ import annotations

import pytest
from django.contrib.auth import get_user_model
from django.test import Client

from circuits.planning.models import PlanRow
from circuits.planning.store import create_plan
from estimating.quotes.models import QuoteRevision, QuoteRow
from estimating.quotes.services import create_quote, send_revision
from tests.estimating.quotes import cast


@pytest.fixture
def plan(db: None) -> PlanRow:
    return create_plan(title="Heron estate, rewire", plan=cast.PLAN, by="Ada")


@pytest.fixture
def quote(plan: PlanRow) -> QuoteRow:
    return create_quote(plan=plan, addressee="R. Oduya\n4 Mill Lane", vehicle="Heron estate", by="Ada", at=cast.NOON)


@pytest.fixture
def sent(quote: QuoteRow) -> QuoteRevision:
    return send_revision(quote=quote, by="Ada", at=cast.NOON)


def _client(role: str) -> Client:
    client = Client()
    client.force_login(get_user_model().objects.create_user(role, password="only-for-tests", role=role))
    return client


@pytest.fixture
def owner(db: None) -> Client:
    return _client("owner")


@pytest.fixture
def office(db: None) -> Client:
    return _client("office")


@pytest.fixture
def technician(db: None) -> Client:
    return _client("technician")


@pytest.fixture
def stranger(db: None) -> Client:
    return Client()
