"""Addresses of money."""

from __future__ import annotations

from django.urls import path

from shop.billing.views import changes, invoices, lists, money

app_name = "billing"
urlpatterns = [
    path("jobs/<int:job_id>/money/", money.money, name="money"),
    path("jobs/<int:job_id>/payment/", money.pay, name="pay"),
    path("jobs/<int:job_id>/refund/", money.refund, name="refund"),
    path("jobs/<int:job_id>/changes/", changes.change, name="change"),
    path("jobs/<int:job_id>/changes/send/", changes.send, name="send_change"),
    path("jobs/<int:job_id>/changes/<int:number>/", changes.sent_change, name="sent_change"),
    path("jobs/<int:job_id>/changes/<int:number>/answer/", changes.answer, name="answer_change"),
    path("jobs/<int:job_id>/changes/<int:number>/paper/", changes.change_paper, name="change_paper"),
    path("jobs/<int:job_id>/invoices/new/", invoices.new_invoice, name="new_invoice"),
    path("jobs/<int:job_id>/invoices/<int:document_id>/", invoices.invoice, name="invoice"),
    path("jobs/<int:job_id>/invoices/<int:document_id>/paper/", invoices.invoice_paper, name="invoice_paper"),
    path("jobs/<int:job_id>/invoices/<int:document_id>/credit/", invoices.credit, name="credit"),
    path("invoices/", lists.invoices, name="invoices"),
    path("invoices/<int:document_id>/", invoices.find, name="find"),
    path("invoices/journal/", lists.journal, name="journal"),
]
