"""Time and progress as people say them: ``{% load work %}``."""

from __future__ import annotations

import math
from typing import Any

from django import template
from django.utils import timezone

from shop.faults.models import Fault
from shop.floor.fault_time import fault_time
from shop.floor.queued import new_key
from shop.floor.rules import done_in_words, hours_and_minutes
from shop.proof.judging import limits_in_words, shown

register = template.Library()


@register.filter
def spent(minutes: float) -> str:
    """``1 h 35``."""
    return hours_and_minutes(minutes)


@register.simple_tag
def progress(package: object) -> str:
    """``3 of 11 circuits``."""
    circuits = getattr(package, "circuits", [])
    if not circuits:
        return "done" if getattr(package, "is_done", False) else "not done"
    return done_in_words(getattr(package, "done", 0), len(circuits))


@register.simple_tag
def limits(row: object) -> str:
    """``at most 100 mΩ``."""
    return limits_in_words(getattr(row, "low", None), getattr(row, "high", None), getattr(row, "unit", ""))


@register.simple_tag
def figure(value: float | None, unit: str) -> str:
    """``380 mA``."""
    return shown(value, unit) if unit else ""


@register.simple_tag
def tolerance(row: object) -> str:
    """``1.60 Ω (1.02 Ω to 2.51 Ω)``: what is expected of a check, and between what a sound vehicle reads."""
    value, unit = getattr(row, "expected", None), getattr(row, "unit", "")
    low, high = getattr(row, "least_expected", None), getattr(row, "most_expected", None)
    if value is None or not unit:
        return ""
    if low is None or high is None or low == high or math.isinf(value):
        return shown(value, unit)
    return f"{shown(value, unit)} ({shown(low, unit)} to {shown(high, unit)})"


@register.inclusion_tag("shop/floor/_fault_time.html", takes_context=True)
def time_on(context: dict[str, Any], fault: Fault) -> dict[str, Any]:
    """``{% time_on fault %}``: hours booked to a fault, and the tap that starts or stops them. One query."""
    time = fault_time(fault, timezone.now())
    user = context.get("user")
    shared = {name: context.get(name) for name in ("perms", "csrf_token", "user")}
    return {"fault": fault, "time": time, "is_mine": user in time.at_work, "key": new_key(), **shared}
