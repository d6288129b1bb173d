"""Where the letterhead comes from: the floor above knows it, a setting names the function that gives it."""

from __future__ import annotations

from django.conf import settings
from django.utils.module_loading import import_string

from estimating.quotes.paper_content import Letterhead


def shop_letterhead() -> Letterhead:
    """The shop's letterhead, from the function that ``LOOMWRIGHT_LETTERHEAD`` names; blank where none is named."""
    name = getattr(settings, "LOOMWRIGHT_LETTERHEAD", "")
    if not name:
        return Letterhead()
    letterhead: Letterhead = import_string(name)()
    return letterhead
