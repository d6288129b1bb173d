"""A booked job and its people."""

from __future__ import annotations

import pytest

from tests.shop.floor import cast


@pytest.fixture
def job(db):
    return cast.booked_job()


@pytest.fixture
def tessa(db):
    return cast.member("tessa")


@pytest.fixture
def bo(db):
    return cast.member("bo")


@pytest.fixture
def owner(db):
    return cast.member("wilma", "owner")
