"""Things that look like themselves, and figures as people read them: ``{% load drawn %}``.

Tags: ``wire_stroke``, ``fuse_drawn``, ``symbol``, ``drawing``. Filters: ``amps``, ``volts``, ``metres``, ``percent``,
``hours``, ``money``. Each distinct wire, fuse and symbol is painted once a process: a plan page shows hundreds of them.
"""

from __future__ import annotations

from decimal import Decimal
from functools import lru_cache
from typing import Any

from babel.numbers import format_currency
from django import template
from django.utils.html import format_html
from django.utils.safestring import SafeString, mark_safe
from django.utils.translation import get_language

from circuits.drawings import fuses, strokes, symbols
from circuits.drawings.shapes import Drawing, DrawingError
from circuits.drawings.svg import svg

register = template.Library()

NOTHING = "–"


@lru_cache(maxsize=1024)
def _wire_html(colour: str, unknown: str) -> SafeString:
    picture = mark_safe(svg(strokes.wire_stroke(colour)))  # noqa: S308 - svg escapes every text
    return format_html('<span class="wire">{}{}</span>', picture, colour or unknown)


@register.simple_tag
def wire_stroke(colour: str | None, stays: bool = False) -> SafeString:
    """``{% wire_stroke "RD/BK" %}``: a stroke in base colour and tracer, the letters beside it.

    Without a colour it says that none is chosen; of a wire that ``stays`` in, that nobody wrote it down.
    """
    return _wire_html(colour or "", "not recorded" if stays else "not chosen")


@lru_cache(maxsize=1024)
def _fuse_html(family: str, rating_a: float, with_words: bool) -> SafeString:
    picture = mark_safe(svg(fuses.fuse_drawn(family, rating_a)))  # noqa: S308 - svg escapes every text
    colour, _ = fuses.fuse_tint(family, rating_a)
    words = f"{rating_a:g} A {family}" + (f", {colour}" if colour else "")
    css = "fuse-words" if with_words else "visually-hidden"
    return format_html('<span class="fuse-drawn">{} <span class="{}">{}</span></span>', picture, css, words)


@register.simple_tag
def fuse_drawn(family: str, rating_a: float | None, words: bool = True) -> SafeString | str:
    """``{% fuse_drawn "blade" 15 %}``: the fuse in its colour; ``words=False`` hides the words from view."""
    if rating_a is None or family == "none":
        return NOTHING
    return _fuse_html(str(family), float(rating_a), words)


@register.simple_tag
def symbol(name: str) -> SafeString | str:
    """``{% symbol "relay" %}``: a graphical symbol, named for those who cannot see it; nothing if unknown."""
    try:
        return mark_safe(_symbol_svg(str(name)))  # noqa: S308 - svg escapes every text
    except DrawingError:
        return ""


@lru_cache(maxsize=64)
def _symbol_svg(name: str) -> str:
    return svg(symbols.symbol(name))


@register.simple_tag
def drawing(value: Drawing | None) -> SafeString | str:
    """``{% drawing obj %}``: any drawing as SVG."""
    return mark_safe(svg(value)) if value else ""  # noqa: S308 - svg escapes every text


def _digits(value: float) -> str:
    """Three sensible digits, never an exponent: 0.123, 1.23, 12.3, 123; what is less than half a thousandth is 0."""
    size = abs(value)
    if size < 0.0005:
        return "0"
    decimals = 0 if size >= 99.95 else 1 if size >= 9.995 else 2 if size >= 0.0995 else 3
    return f"{value:.{decimals}f}"


def _with_unit(value: Any, unit: str) -> str:
    return NOTHING if value is None or value == "" else f"{_digits(float(value))} {unit}"


@register.filter
def amps(value: Any) -> str:
    """``13.4 A``."""
    return _with_unit(value, "A")


@register.filter
def volts(value: Any) -> str:
    """``0.26 V``."""
    return _with_unit(value, "V")


@register.filter
def metres(value: Any) -> str:
    """``2.30 m``."""
    return NOTHING if value is None or value == "" else f"{float(value):.2f} m"


@register.filter
def percent(value: Any) -> str:
    """``2.1 %``: one decimal, as limits are given so."""
    return NOTHING if value is None or value == "" else f"{float(value):.1f} %"


@register.filter
def hours(value: Any) -> str:
    """``31.5 h``: one decimal."""
    return NOTHING if value is None or value == "" else f"{float(value):.1f} h"


@register.filter
def money(value: Any, currency: str = "") -> str:
    """``{{ total|money:"EUR" }}``: an amount in the reader's language; ``"EUR de"`` names a locale of its own."""
    if value is None or value == "":
        return NOTHING
    code, _, locale = currency.partition(" ")
    if not code:
        return f"{Decimal(value):,f}"
    return format_currency(Decimal(value), code, locale=locale or (get_language() or "en").replace("-", "_"))
