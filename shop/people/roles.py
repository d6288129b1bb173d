"""What each role may do. Permissions live in code: they are decisions of the product, not data.

Lower floors ask ``user.has_perm("quotes.view_prices")`` and never learn of roles.
"""

from __future__ import annotations

from typing import Any

from django.contrib.auth.backends import ModelBackend

from shop.people.models import Role, User

TECHNICIAN = frozenset(
    {
        "jobs.view_job",
        "planning.view_plan",
        "quotes.view_hours",
        "floor.view_work",
        "floor.book_hours",
        "proof.view_proof",
        "proof.take_readings",
        "faults.view_faults",
        "faults.edit_faults",
        "handover.view_handover",
        "purchasing.view_kits",
        "stock.view_stock",
        "stock.move_stock",
    }
)
OFFICE = TECHNICIAN | {
    "jobs.edit_job",
    "planning.edit_plan",
    "quotes.view_prices",
    "quotes.edit_quote",
    "quotes.send_quote",
    "quotes.edit_prices",
    "floor.lay_out",
    "floor.correct_hours",
    "billing.view_money",
    "billing.edit_money",
    "handover.release",
    "links.edit_link",
    "purchasing.view_orders",
    "purchasing.edit_orders",
    "stock.edit_materials",
}
OWNER = OFFICE | {"planning.edit_rules", "quotes.edit_terms", "people.edit_shop", "people.edit_staff"}
OWNER |= {"proof.override_lock", "proof.edit_limits", "purchasing.edit_rules"}

PERMISSIONS: dict[str, frozenset[str]] = {Role.OWNER: OWNER, Role.OFFICE: OFFICE, Role.TECHNICIAN: TECHNICIAN}


class RoleBackend(ModelBackend):
    """Password log-in, with permissions from the role alone: no query per check."""

    def has_perm(self, user_obj: Any, perm: str, obj: Any = None) -> bool:
        """True where the user's role carries ``perm``."""
        return isinstance(user_obj, User) and user_obj.is_active and perm in PERMISSIONS[user_obj.role]

    def get_all_permissions(self, user_obj: Any, obj: Any = None) -> set[str]:
        """All permissions of the user's role."""
        return set(PERMISSIONS[user_obj.role]) if isinstance(user_obj, User) and user_obj.is_active else set()
