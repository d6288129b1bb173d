"""The cast as rows, and a client for each role."""

from __future__ import annotations

import pytest
from django.contrib.auth import get_user_model
from django.test import Client

from tests.estimating.purchasing import cast


@pytest.fixture
def job(db):
    return cast.job("J-1")


@pytest.fixture
def market(job):
    """North sells parts, South sells wire."""
    north, south = cast.supplier("North"), cast.supplier("South")
    cast.sell_everything((job,), north, wire_seller=south)
    return north, south


@pytest.fixture
def orders(job, market):
    """Orders for the job, sent: parts from North, wire from South."""
    return sorted(cast.ordered(job), key=lambda order: order.supplier.name)


def _client(role):
    client = Client()
    client.force_login(get_user_model().objects.create_user(role, role=role))
    return client


@pytest.fixture
def owner(db):
    return _client("owner")


@pytest.fixture
def office(db):
    return _client("office")


@pytest.fixture
def technician(db):
    return _client("technician")
