"""The circuit simulator that network results are compared with."""

from __future__ import annotations

import pytest

from tests.servers.presence import need_program


@pytest.fixture(scope="session")
def ngspice() -> str:
    """Path of ngspice."""
    return need_program("ngspice", "ngspice")
