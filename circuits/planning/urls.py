"""Addresses of the planning app."""

from __future__ import annotations

from django.urls import URLPattern, URLResolver, path

from circuits.planning import (
    bench_views,
    circuit_views,
    connectors_views,
    loom_views,
    panel_views,
    part_views,
    power_views,
    row_views,
    rules_views,
    sheet_views,
    supply_views,
    views,
)

app_name = "planning"
urlpatterns: list[URLPattern | URLResolver] = [
    path("plans/<int:plan_id>/", views.plan, name="plan"),
    path("plans/<int:plan_id>/<slug:listing>/save/", row_views.save, name="save_rows"),
    path("plans/<int:plan_id>/<slug:listing>/delete/", row_views.delete, name="delete_rows"),
    path("plans/<int:plan_id>/<slug:listing>/move/", row_views.move, name="move_rows"),
    path("plans/<int:plan_id>/circuits/new/", circuit_views.new_circuit, name="new_circuit"),
    path("plans/<int:plan_id>/circuits/<int:circuit_id>/", circuit_views.circuit, name="circuit"),
    path("plans/<int:plan_id>/circuits/<int:circuit_id>/duplicate/", circuit_views.duplicate, name="duplicate_circuit"),
    path("plans/<int:plan_id>/circuits/<int:circuit_id>/take-out/", circuit_views.take_out, name="take_out_circuit"),
    path("plans/<int:plan_id>/loom/", loom_views.loom, name="loom"),
    path("plans/<int:plan_id>/connectors/", connectors_views.connectors, name="connectors"),
    path("plans/<int:plan_id>/<slug:listing>/rows/new/", part_views.row, name="new_row"),
    path("plans/<int:plan_id>/<slug:listing>/rows/<int:row_id>/", part_views.row, name="row"),
    path("plans/<int:plan_id>/<slug:listing>/rows/<int:row_id>/take-out/", part_views.take_out, name="take_out_row"),
    path("plans/<int:plan_id>/panel/", panel_views.panel, name="panel"),
    path("plans/<int:plan_id>/supply/", supply_views.supply, name="supply"),
    path("plans/<int:plan_id>/power/", power_views.power, name="power"),
    path("plans/<int:plan_id>/sheet/", sheet_views.sheet, name="sheet"),
    path("plans/<int:plan_id>/sheet/<slug:file_format>/", sheet_views.sheet_file, name="sheet_file"),
    path("circuit-sheet/", sheet_views.sheet_template, name="sheet_template"),
    path("bench/", bench_views.bench, name="bench"),
    path("settings/build/", rules_views.rules, name="rules"),
]
