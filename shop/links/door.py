"""The door of a customer link: who comes in, what is said to those who do not, and what every answer carries."""

from __future__ import annotations

from collections.abc import Callable
from functools import wraps
from typing import Concatenate, ParamSpec

from django.contrib.auth.decorators import login_not_required
from django.http import Http404, HttpRequest, HttpResponse
from django.shortcuts import render
from django.utils import timezone
from django.views.decorators.debug import sensitive_variables

from circuits.paper.title_block import TitleBlock
from estimating.quotes.letterheads import shop_letterhead
from shop.links.models import CustomerLink
from shop.links.rules import LinkState, closed_words
from shop.links.services import link_of
from shop.links.tries import count_try, is_shut_out, seconds_to_wait, visitor_of

NOTHING = "There is nothing at this address: check it letter by letter."

P = ParamSpec("P")
Inside = Callable[Concatenate[HttpRequest, CustomerLink, str, P], HttpResponse]
Outside = Callable[..., HttpResponse]


def by_link(view: Inside[P]) -> Outside:
    """A view for those who hold an open link: it gets the link, and its secret for further addresses.

    No log-in. Everybody else gets one sentence, and the same one for every address that does not exist.
    """

    @login_not_required
    @wraps(view)
    @sensitive_variables("secret")
    def outside(request: HttpRequest, secret: str, *args: P.args, **kwargs: P.kwargs) -> HttpResponse:
        now, visitor = timezone.now(), visitor_of(request)
        if is_shut_out(visitor, now):
            said = "Too many addresses have been tried from here: wait a quarter of an hour, then try again."
            answer = _refused(request, said, 429)
            answer["Retry-After"] = str(seconds_to_wait(now))
            return _private(answer)
        link = link_of(secret)
        if link is None:
            count_try(visitor, now)
            return _private(_refused(request, NOTHING, 404))
        state = link.state(now)
        if state is not LinkState.OPEN:
            return _private(_refused(request, closed_words(state, shop_letterhead().name), 410))
        try:
            return _private(view(request, link, secret, *args, **kwargs))
        except Http404:
            return _private(_refused(request, NOTHING, 404))

    return outside


def _refused(request: HttpRequest, said: str, status: int) -> HttpResponse:
    context = {"sheet": TitleBlock("This address does not open"), "said": said, "shop": shop_letterhead()}
    return render(request, "shop/links/closed.html", context, status=status)


def _private(response: HttpResponse) -> HttpResponse:
    """No search engine, no shared cache, and no other site learns the address.

    ``same-origin`` keeps the address from every other site. ``no-referrer`` would also make browsers send forms with
    ``Origin: null``, which the check against forged forms has to refuse.
    """
    response["X-Robots-Tag"] = "noindex, nofollow, noarchive"
    response["Referrer-Policy"] = "same-origin"
    response["Cache-Control"] = "private, no-store"
    return response
