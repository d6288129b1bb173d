"""What a customer sees and does by a link."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

from django.core.exceptions import ObjectDoesNotExist
from django.http import Http404, HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.utils import timezone
from django.views.decorators.debug import sensitive_variables
from django.views.decorators.http import require_POST, require_safe

from estimating.quotes.downloads import pdf_download
from estimating.quotes.rules import RefusedError
from shop.links.customer_page import page_of
from shop.links.door import by_link
from shop.links.forms import CustomerAcceptForm
from shop.links.models import CustomerLink
from shop.links.papers import papers_of
from shop.links.rules import ClosedError
from shop.links.services import accept_by_link, accept_change_by_link


@require_safe
@by_link
@sensitive_variables("secret")
def open_link(request: HttpRequest, link: CustomerLink, secret: str) -> HttpResponse:
    """The quote and the change as they stand, and the papers."""
    return _render(request, link, secret)


@require_POST
@by_link
@sensitive_variables("secret")
def accept(request: HttpRequest, link: CustomerLink, secret: str, number: int) -> HttpResponse:
    """The customer accepts the revision that was read."""
    return _accept(request, link, secret, number, accept_by_link)


@require_POST
@by_link
@sensitive_variables("secret")
def accept_change(request: HttpRequest, link: CustomerLink, secret: str, number: int) -> HttpResponse:
    """The customer accepts the change that was read."""
    return _accept(request, link, secret, number, accept_change_by_link)


@require_safe
@by_link
@sensitive_variables("secret")
def paper(_request: HttpRequest, link: CustomerLink, secret: str, key: str) -> HttpResponse:
    """A paper of the job."""
    for one in papers_of(link.job, at=timezone.now()):
        if one.key == key:
            return pdf_download(one.fetch(), one.title)
    raise Http404


def _accept(
    request: HttpRequest, link: CustomerLink, secret: str, number: int, act: Callable[..., Any]
) -> HttpResponse:
    form = CustomerAcceptForm(request.POST)
    if not form.is_valid():
        return _render(request, link, secret, form, status=400)
    try:
        act(link=link, number=number, name=form.cleaned_data["name"], at=timezone.now())
    except ObjectDoesNotExist as error:
        raise Http404 from error
    except (RefusedError, ClosedError) as refused:
        form.add_error(None, str(refused))
        return _render(request, link, secret, form, status=409)
    return redirect("links:open", secret)


def _render(
    request: HttpRequest,
    link: CustomerLink,
    secret: str,
    form: CustomerAcceptForm | None = None,
    status: int = 200,
) -> HttpResponse:
    page = page_of(link, at=timezone.now())
    context = {"page": page, "sheet": page.sheet, "link": link, "secret": secret, "form": form or CustomerAcceptForm()}
    return render(request, "shop/links/customer.html", context, status=status)
