"""Addresses of the people app."""

from __future__ import annotations

from django.urls import URLPattern, URLResolver

app_name = "people"
urlpatterns: list[URLPattern | URLResolver] = []
