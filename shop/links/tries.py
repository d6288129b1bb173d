"""Counts tries at addresses that do not exist, in the database: all processes of the site count together."""

from __future__ import annotations

from datetime import datetime

from django.conf import settings
from django.db import transaction
from django.db.models import F
from django.http import HttpRequest
from django.utils.crypto import salted_hmac

from shop.links.models import LinkTry
from shop.links.rules import TRIES_ALLOWED, WINDOW_S


def visitor_of(request: HttpRequest) -> str:
    """The visitor's network address as a keyed hash.

    Behind a proxy that the site is set up for, the address is the last one in ``X-Forwarded-For``: the proxy itself
    wrote it there, what stands before it the visitor may have made up.
    """
    address = request.META.get("REMOTE_ADDR", "")
    if getattr(settings, "SECURE_PROXY_SSL_HEADER", None):
        address = request.headers.get("X-Forwarded-For", address).rpartition(",")[2].strip() or address
    return salted_hmac("shop.links.tries", address, algorithm="sha256").hexdigest()


def is_shut_out(visitor: str, now: datetime) -> bool:
    """True where a visitor has tried too many addresses in this window. One query."""
    return LinkTry.objects.filter(visitor=visitor, window=_window(now), count__gte=TRIES_ALLOWED).exists()


def seconds_to_wait(now: datetime) -> int:
    """Until the window ends [s]."""
    return WINDOW_S - int(now.timestamp()) % WINDOW_S


@transaction.atomic
def count_try(visitor: str, now: datetime) -> None:
    """Count one more wrong address; windows that are over are forgotten."""
    window = _window(now)
    LinkTry.objects.filter(window__lt=window).delete()
    LinkTry.objects.bulk_create([LinkTry(visitor=visitor, window=window)], ignore_conflicts=True)
    LinkTry.objects.filter(visitor=visitor, window=window).update(count=F("count") + 1)


def _window(now: datetime) -> int:
    return int(now.timestamp()) // WINDOW_S
