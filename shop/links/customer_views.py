"""What a customer sees by a link."""

from __future__ import annotations

from django.http import Http404, HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.utils import timezone
from django.views.decorators.debug import sensitive_variables
from django.views.decorators.http import require_POST, require_safe

from circuits.paper.title_block import TitleBlock
from estimating.quotes.downloads import pdf_download
from estimating.quotes.models import QuoteRevision
from estimating.quotes.quote_page import Standing, shown
from estimating.quotes.record import read_record
from estimating.quotes.rules import RefusedError, has_expired
from shop.links.door import by_link
from shop.links.forms import CustomerAcceptForm
from shop.links.models import CustomerLink
from shop.links.papers import papers_of, standing_revision
from shop.links.rules import ClosedError
from shop.links.services import accept_by_link


@require_safe
@by_link
@sensitive_variables("secret")
def open_link(request: HttpRequest, link: CustomerLink, secret: str) -> HttpResponse:
    """The quote as it stands, and the papers."""
    return _render(request, link, secret, CustomerAcceptForm())


@require_POST
@by_link
@sensitive_variables("secret")
def accept(request: HttpRequest, link: CustomerLink, secret: str, number: int) -> HttpResponse:
    """The customer accepts the revision that was read."""
    form = CustomerAcceptForm(request.POST)
    if not form.is_valid():
        return _render(request, link, secret, form, status=400)
    try:
        accept_by_link(link=link, number=number, name=form.cleaned_data["name"], at=timezone.now())
    except QuoteRevision.DoesNotExist as error:
        raise Http404 from error
    except (RefusedError, ClosedError) as refused:
        form.add_error(None, str(refused))
        return _render(request, link, secret, form, status=409)
    return redirect("links:open", secret)


@require_safe
@by_link
@sensitive_variables("secret")
def paper(request: HttpRequest, link: CustomerLink, secret: str, key: str) -> HttpResponse:
    """A paper of the job."""
    for one in papers_of(link.job, at=timezone.now()):
        if one.key == key:
            return pdf_download(one.fetch(), one.title)
    raise Http404


def _render(
    request: HttpRequest, link: CustomerLink, secret: str, form: CustomerAcceptForm, status: int = 200
) -> HttpResponse:
    now = timezone.now()
    revision = standing_revision(link.job)
    context = {
        "sheet": TitleBlock("Your quote" if revision else "Your job", str(link.job.vehicle), link.job.number),
        "link": link,
        "secret": secret,
        "form": form,
        "papers": papers_of(link.job, at=now),
        "revision": revision,
    }
    if revision is not None:
        page = shown(read_record(revision.content), is_draft=False)
        expired = has_expired(revision.state, revision.valid_until, timezone.localdate(now))
        context |= {"shown": page, "said": page.said, "standing": Standing(revision, expired)}
    return render(request, "shop/links/customer.html", context, status=status)
