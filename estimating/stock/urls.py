"""Addresses of the stock."""

from __future__ import annotations

from django.urls import path

from estimating.stock import views

app_name = "stock"
urlpatterns = [
    path("materials/stock/", views.stock, name="stock"),
    path("materials/stock/new/", views.new_material, name="new_material"),
    path("materials/stock/<int:material_id>/", views.material, name="material"),
    path("materials/stock/<int:material_id>/move/", views.move_material, name="move"),
]
