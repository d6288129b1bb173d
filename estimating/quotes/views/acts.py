"""What all acting views share: may they, and what came of it."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

from django.contrib import messages
from django.core.exceptions import PermissionDenied
from django.forms import BaseForm, BaseFormSet
from django.http import HttpRequest, QueryDict

from estimating.quotes.rules import RefusedError


def need(request: HttpRequest, permission: str) -> None:
    """PermissionDenied where the person may not."""
    if not request.user.has_perm(permission):
        raise PermissionDenied


def posted(request: HttpRequest) -> QueryDict | None:
    """What was typed, also where that is nothing; None where the page is only read."""
    return request.POST if request.method == "POST" else None


def done(request: HttpRequest, act: Callable[[], object], said: str) -> bool:
    """Does it and says so; where the rules refuse, says why and answers False."""
    try:
        act()
    except RefusedError as refused:
        for reason in refused.reasons:
            messages.error(request, reason)
        return False
    messages.success(request, said)
    return True


def all_valid(*forms: BaseForm | BaseFormSet[Any]) -> bool:
    """True where every form is filled rightly. All are judged, so that all faults show at once."""
    faulty = [form for form in forms if not form.is_valid()]
    return not faulty
