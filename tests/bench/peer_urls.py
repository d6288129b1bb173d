"""Addresses of the site plus the admin's list of the same jobs."""

from __future__ import annotations

from typing import Any

from django.contrib import admin
from django.urls import include, path

from shop.jobs.models import Job


class JobPeer(admin.ModelAdmin):
    """The same columns of the same rows, as the admin shows them: 25 a page, sortable, searchable."""

    list_display = ("number", "title", "customer", "vehicle", "plate", "stage", "starts_on")
    list_select_related = ("customer", "vehicle")
    list_filter = ("stage",)
    search_fields = ("number", "title", "customer__name", "vehicle__plate")
    list_per_page = 25

    @admin.display(ordering="vehicle__plate")
    def plate(self, job: Job) -> str:
        """Plate of the vehicle."""
        return job.vehicle.plate

    def has_view_permission(self, request: Any, obj: Any = None) -> bool:
        """Anyone logged in."""
        return True

    has_module_permission = has_change_permission = has_view_permission


class Peer(admin.AdminSite):
    """Open to anyone logged in: roles of ours know nothing of the admin's permissions."""

    def has_permission(self, request: Any) -> bool:
        """Anyone logged in."""
        return bool(request.user.is_active)


peer = Peer(name="admin")
peer.register(Job, JobPeer)
urlpatterns = [path("admin/", peer.urls), path("", include("shop.urls"))]
