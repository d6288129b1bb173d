"""What the pages of purchasing share: who may, in which money."""

from __future__ import annotations

from django.contrib.auth.decorators import permission_required

from estimating.quotes.paper_words import InWords
from estimating.quotes.store import shop_rules

may_see = permission_required("purchasing.view_orders", raise_exception=True)
may_edit = permission_required("purchasing.edit_orders", raise_exception=True)
may_rule = permission_required("purchasing.edit_rules", raise_exception=True)


def said() -> InWords:
    """The shop's money in words."""
    terms = shop_rules().terms
    return InWords(terms.currency, terms.locale)
