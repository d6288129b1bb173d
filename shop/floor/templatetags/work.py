"""Time and progress as people say them: ``{% load work %}``."""

from __future__ import annotations

from django import template

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
