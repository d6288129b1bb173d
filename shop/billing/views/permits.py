"""Who may: technicians see no money at all."""

from __future__ import annotations

from django.contrib.auth.decorators import permission_required

may_see = permission_required("billing.view_money", raise_exception=True)
may_act = permission_required("billing.edit_money", raise_exception=True)
