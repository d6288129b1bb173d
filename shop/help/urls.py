"""Addresses of the help."""

from __future__ import annotations

from django.urls import path

from shop.help import views

app_name = "help"
urlpatterns = [
    path("help/", views.help_start, name="start"),
    path("help/sheet/", views.help_sheet, name="sheet"),
    path("help/findings/", views.help_findings, name="findings"),
    path("help/basis/", views.help_basis, name="basis"),
    path("help/handover/", views.help_handover, name="handover"),
    path("help/floor/", views.help_floor, name="floor"),
    path("help/materials/", views.help_materials, name="materials"),
    path("help/money/", views.help_money, name="money"),
]
