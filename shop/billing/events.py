"""What other parts of the shop may want to hear. Sent inside the transaction: a receiver that raises undoes the act."""

from __future__ import annotations

from django.dispatch import Signal

change_accepted = Signal()
"""The customer accepted a change. Arguments: ``change`` (Change), ``at`` (datetime)."""
