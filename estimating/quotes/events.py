"""What the floor above may want to hear. Sent inside the transaction: a receiver that raises undoes the whole act."""

from __future__ import annotations

from django.dispatch import Signal

quote_created = Signal()
"""A quote came to be. Arguments: ``quote`` (QuoteRow), ``by`` (str)."""

quote_sent = Signal()
"""A revision went to the customer. Arguments: ``revision`` (QuoteRevision), ``at`` (datetime)."""

quote_accepted = Signal()
"""The customer accepted. Arguments: ``revision`` (QuoteRevision), ``name`` (str), ``at`` (datetime)."""

quote_declined = Signal()
"""The customer said no. Arguments: ``revision`` (QuoteRevision), ``reason`` (str), ``at`` (datetime)."""
