"""Where the letterhead comes from: the floor above knows it, a setting names the function that gives it."""

from __future__ import annotations

from dataclasses import dataclass

from django.conf import settings
from django.utils.module_loading import import_string


@dataclass(frozen=True, slots=True)
class Letterhead:
    """TEMP until papers."""

    name: str = ""
    address: tuple[str, ...] = ()


def shop_letterhead() -> Letterhead:
    """The shop's letterhead, from the function that ``LOOMWRIGHT_LETTERHEAD`` names; a blank one where none is named."""
    name = getattr(settings, "LOOMWRIGHT_LETTERHEAD", "")
    if not name:
        return Letterhead(name="")
    letterhead: Letterhead = import_string(name)()
    return letterhead
