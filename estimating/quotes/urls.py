"""Addresses of the quotes app."""

from __future__ import annotations

from django.urls import URLPattern, URLResolver

app_name = "quotes"
urlpatterns: list[URLPattern | URLResolver] = []
