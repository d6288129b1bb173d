"""Amounts of a material as people read them: ``{% load stocked %}``."""

from __future__ import annotations

from django import template

from estimating.stock.models import MaterialRow

register = template.Library()


@register.filter
def amount_of(amount: int, material: MaterialRow) -> str:
    """``{{ level|amount_of:material }}``: pieces or metres."""
    return material.says(amount)
