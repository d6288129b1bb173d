"""What a phone sends, straight away or when its connection comes back. Each act carries its key and its own time."""

from __future__ import annotations

import re
import uuid
from dataclasses import dataclass
from datetime import UTC, datetime, timedelta

from django.contrib import messages
from django.http import HttpRequest, HttpResponse, JsonResponse
from django.shortcuts import redirect
from django.utils import timezone

from circuits.errors import LoomwrightError

OLDEST = timedelta(days=31)
REFUSED = 422
_KEY = re.compile(r"[0-9a-z]{8,39}")


class SentError(LoomwrightError, ValueError):
    """A key or a time that no phone of ours sends."""


@dataclass(frozen=True, slots=True)
class Sent:
    """Key of the act, and when it was made by the server's clock."""

    key: str
    at: datetime


def new_key() -> str:
    """A key for a form that is about to be drawn."""
    return uuid.uuid4().hex


def sent(request: HttpRequest) -> Sent:
    """Key and time of the act in the request.

    The phone says when it was made and when it sends, both by its own clock: what lies between is sure, also where the
    clock is wrong.

    Raises
    ------
    SentError
    """
    now = timezone.now()
    key = request.POST.get("key", "")
    if not _KEY.fullmatch(key):
        raise SentError("This page is too old to send: load it again.")
    made, sends = request.POST.get("made_ms", ""), request.POST.get("sends_ms", "")
    if not made:
        return Sent(key, now)
    try:
        ago = timedelta(milliseconds=int(sends) - int(made))
    except (ValueError, OverflowError):
        raise SentError(f"Found {made[:20]!r} as the time of the act, expected milliseconds.") from None
    if not timedelta(0) <= ago <= OLDEST:
        when = datetime.fromtimestamp(0, UTC) if ago > OLDEST else now
        raise SentError(
            f"The phone says that this was made {'over 31 days ago' if when < now else 'after it was sent'}. "
            "Enter it by hand, with a reason."
        )
    return Sent(key, now - ago)


def is_queued(request: HttpRequest) -> bool:
    """True where the page's own queue sends, and wants to be told in a few words."""
    return request.headers.get("X-Queued") == "1"


def done(request: HttpRequest, said: str, to: str) -> HttpResponse:
    """The act is stored: tell the queue, or show ``to``."""
    if is_queued(request):
        return JsonResponse({"said": said, "to": to})
    messages.success(request, said)
    return redirect(to)


def refused(request: HttpRequest, why: str, to: str) -> HttpResponse:
    """The act cannot be stored as it is: the queue sets it aside and shows why; else ``to`` shows it."""
    if is_queued(request):
        return JsonResponse({"why": why}, status=REFUSED)
    messages.error(request, why)
    return redirect(to)
