"""The shared cast as rows, and a client for each role."""

from __future__ import annotations

import pytest
from django.contrib.auth import get_user_model
from django.test import Client

from shop.jobs.models import Job
from tests.shop.billing import cast


@pytest.fixture
def job(db: None) -> Job:
    """A job whose quote was accepted."""
    return cast.booked_job()


@pytest.fixture
def unquoted(db: None) -> Job:
    """A job before any quote went out."""
    return cast.new_job("Hal Marrow")


def _client(role: str) -> Client:
    client = Client()
    client.force_login(get_user_model().objects.create_user(role, password="only-for-tests", role=role))
    return client


@pytest.fixture
def office(db: None) -> Client:
    return _client("office")


@pytest.fixture
def technician(db: None) -> Client:
    return _client("technician")
