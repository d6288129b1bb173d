"""No log shows the secret part of a customer's address: not the access log of a web server, not our own."""

from __future__ import annotations

import io
import logging

import pytest

from shop.log_secrets import WEB_LOGGERS, HideSecrets
from shop.settings import LOGGING

SECRET = "k7Zr-vJ2m_Qp0sXw4bTn9cYd6fGh1jKl3aEoUiMyNrB"


class Atoms(dict):
    """What an access log formats by, in the manner of a WSGI server."""


@pytest.mark.parametrize("name", WEB_LOGGERS)
def test_web_servers_log_no_secret(name):
    said, logger = io.StringIO(), logging.getLogger(name)
    handler = logging.StreamHandler(said)
    logger.addHandler(handler)
    level, logger.level = logger.level, logging.INFO
    try:
        atoms = Atoms(r=f"GET /for-you/{SECRET}/quote-1.pdf HTTP/1.1", f=f"https://shop.example/for-you/{SECRET}/")
        logger.info('"%(r)s" 200 "%(f)s"', atoms)
        logger.info("%s: %s", "Gone", f"/for-you/{SECRET}/")
    finally:
        logger.removeHandler(handler)
        logger.level = level
    assert "/quote-1.pdf" in said.getvalue()
    assert SECRET not in said.getvalue()


def test_site_logs_no_secret_not_even_in_a_traceback():
    assert LOGGING["handlers"]["console"]["filters"] == ["hide_secrets"]
    said = io.StringIO()
    handler = logging.StreamHandler(said)
    handler.addFilter(HideSecrets())
    try:
        raise RuntimeError(f"no answer for /for-you/{SECRET}/")
    except RuntimeError as error:
        record = logging.LogRecord("any", logging.ERROR, "", 1, "failed", None, (RuntimeError, error, None))
    handler.handle(record)
    assert "no answer for" in said.getvalue()
    assert SECRET not in said.getvalue()
