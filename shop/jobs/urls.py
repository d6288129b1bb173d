"""Addresses of the jobs app."""

from __future__ import annotations

from django.urls import URLPattern, URLResolver

app_name = "jobs"
urlpatterns: list[URLPattern | URLResolver] = []
