"""``{% load cautions %}{% cautions_of_the_trade as texts %}``: for the pages that give an electrical figure."""

from __future__ import annotations

from django import template

from circuits.cautions import cautions

register = template.Library()


@register.simple_tag
def cautions_of_the_trade() -> tuple[str, ...]:
    """The cautions, for a loop."""
    return cautions()
