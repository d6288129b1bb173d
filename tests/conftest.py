"""Fixtures every test may use. Servers and programs are described in ``tests/servers``."""

from __future__ import annotations

import os

import pytest
from hypothesis import HealthCheck, settings

from tests.servers.broker import redis_url
from tests.servers.browsers import browser, live_shop, page
from tests.servers.databases import own_postgres_url, postgres_url
from tests.servers.spice import ngspice
from tests.servers.workers import broker

__all__ = ["broker", "browser", "live_shop", "ngspice", "own_postgres_url", "page", "postgres_url", "redis_url"]

# No deadlines: the machine is shared. The same examples every time, so that a failure can be repeated.
settings.register_profile("repeatable", deadline=None, derandomize=True, suppress_health_check=[HealthCheck.too_slow])
settings.register_profile("searching", deadline=None, max_examples=1000, suppress_health_check=[HealthCheck.too_slow])
settings.load_profile(os.environ.get("HYPOTHESIS_PROFILE", "repeatable"))

MARKERS = {
    "browser": {"browser"},
    "postgres": {"postgres_url"},
    "redis": {"redis_url"},
    "database": {"db", "transactional_db", "live_server"},
}


def pytest_collection_modifyitems(items: list[pytest.Item]) -> None:
    """Mark each test by the servers it talks to, so that ``-m`` can choose among them."""
    for item in items:
        used = set(getattr(item, "fixturenames", ()))
        for marker, fixtures in MARKERS.items():
            if used & fixtures or (marker == "database" and item.get_closest_marker("django_db")):
                item.add_marker(marker)
