"""Addresses of the quotes app."""

from __future__ import annotations

from django.urls import URLPattern, URLResolver, path

from estimating.quotes.views import hours, minutes, parts, prices, quote, revision, terms

app_name = "quotes"
urlpatterns: list[URLPattern | URLResolver] = [
    path("plans/<int:plan_id>/parts/", parts.parts, name="parts"),
    path("plans/<int:plan_id>/hours/", hours.hours, name="hours"),
    path("plans/<int:plan_id>/quote/", quote.for_plan, name="for_plan"),
    path("quotes/<int:quote_id>/", quote.quote, name="quote"),
    path("quotes/<int:quote_id>/send/", quote.send, name="send"),
    path("quotes/<int:quote_id>/draft.pdf", quote.draft_paper, name="draft_paper"),
    path("quotes/<int:quote_id>/revisions/<int:number>/", revision.revision, name="revision"),
    path("quotes/<int:quote_id>/revisions/<int:number>/accept/", revision.accept, name="accept"),
    path("quotes/<int:quote_id>/revisions/<int:number>/decline/", revision.decline, name="decline"),
    path("quotes/<int:quote_id>/revisions/<int:number>/quote.pdf", revision.paper, name="paper"),
    path("quotes/<int:quote_id>/revisions/<int:number>/answer.json", revision.answer, name="answer"),
    path("settings/prices/", prices.prices, name="prices"),
    path("settings/prices/start/", prices.start, name="start_prices"),
    path("settings/prices/import/", prices.import_prices, name="import_prices"),
    path("settings/prices/new/", prices.new_price, name="new_price"),
    path("settings/prices/<int:price_id>/", prices.price, name="price"),
    path("settings/prices/<int:price_id>/delete/", prices.delete_price, name="delete_price"),
    path("settings/minutes/", minutes.minutes, name="minutes"),
    path("settings/terms/", terms.terms, name="terms"),
]
