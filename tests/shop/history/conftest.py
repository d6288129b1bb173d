"""The cast of the history tests."""

from __future__ import annotations

from tests.shop.links.conftest import job, office, sent  # noqa: F401
