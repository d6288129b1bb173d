"""Addresses of purchasing."""

from __future__ import annotations

from django.urls import path

from estimating.purchasing.views import orders, runs, suppliers

app_name = "purchasing"
urlpatterns = [
    path("materials/runs/<int:run_id>/", runs.run, name="run"),
    path("materials/runs/<int:run_id>/stop/", runs.stop, name="stop_run"),
    path("materials/runs/<int:run_id>/order/", runs.order, name="make_orders"),
    path("materials/orders/", orders.orders, name="orders"),
    path("materials/orders/<int:order_id>/", orders.order, name="order"),
    path("materials/orders/<int:order_id>/packs/", orders.packs, name="order_packs"),
    path("materials/orders/<int:order_id>/send/", orders.send, name="send_order"),
    path("materials/orders/<int:order_id>/withdraw/", orders.withdraw, name="withdraw_order"),
    path("materials/orders/<int:order_id>/close/", orders.close, name="close_order"),
    path("materials/orders/<int:order_id>/receive/", orders.receive_order, name="receive"),
    path("materials/orders/<int:order_id>/order.pdf", orders.paper, name="order_paper"),
    path("materials/orders/<int:order_id>/order.csv", orders.table, name="order_csv"),
    path("materials/suppliers/", suppliers.suppliers, name="suppliers"),
    path("materials/suppliers/new/", suppliers.new_supplier, name="new_supplier"),
    path("materials/suppliers/<int:supplier_id>/", suppliers.supplier, name="supplier"),
    path("materials/suppliers/<int:supplier_id>/offers/new/", suppliers.new_offer, name="new_offer"),
    path("materials/offers/<int:offer_id>/", suppliers.offer, name="offer"),
    path("materials/offers/<int:offer_id>/delete/", suppliers.delete_offer, name="delete_offer"),
    path("settings/buying/", suppliers.rules, name="rules"),
]
