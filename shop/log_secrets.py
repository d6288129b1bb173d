"""Keeps the secret part of customers' addresses out of every log: whoever reads a log could otherwise open them."""

from __future__ import annotations

import logging
import re

_ADDRESS = re.compile(r"(/for-you/)[^/\s\"'?]+")

WEB_LOGGERS = (
    "django.request",
    "django.server",
    "django.security.csrf",
    "gunicorn.access",
    "gunicorn.error",
    "waitress",
)
"""Loggers of web servers with handlers of their own, which the site's handlers never see."""


class HideSecrets(logging.Filter):
    """Lets every record through, the secret of a customer's address replaced in its message and its traceback."""

    def filter(self, record: logging.LogRecord) -> bool:
        """Always True."""
        message = record.getMessage()
        hidden = without_secrets(message)
        if hidden != message:
            record.msg, record.args = hidden, None
        if record.exc_info and not record.exc_text:
            record.exc_text = logging.Formatter().formatException(record.exc_info)
        if record.exc_text:
            record.exc_text = without_secrets(record.exc_text)
        return True


def without_secrets(text: str) -> str:
    """The text with the secret of each customer's address left out.

    Examples
    --------
    >>> without_secrets('"GET /for-you/kX3-abc/accept/2/ HTTP/1.1" 200')
    '"GET /for-you/.../accept/2/ HTTP/1.1" 200'
    """
    return _ADDRESS.sub(r"\1...", text)


def hide_in_web_servers() -> None:
    """Put the filter on the loggers of the web servers; once, however often it is called."""
    for name in WEB_LOGGERS:
        logger = logging.getLogger(name)
        if not any(isinstance(one, HideSecrets) for one in logger.filters):
            logger.addFilter(HideSecrets())
