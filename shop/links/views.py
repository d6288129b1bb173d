"""Pages of customer links: the office makes and revokes them."""

from __future__ import annotations

from django.contrib import messages
from django.contrib.auth.decorators import permission_required
from django.http import HttpRequest, HttpResponse
from django.shortcuts import get_object_or_404, redirect, render
from django.urls import reverse
from django.utils import timezone
from django.views.decorators.cache import never_cache
from django.views.decorators.debug import sensitive_variables
from django.views.decorators.http import require_POST

from circuits.paper.title_block import TitleBlock
from shop.jobs.models import Job
from shop.links.forms import LinkForm
from shop.links.models import CustomerLink
from shop.links.services import make_link, revoke_link

may_link = permission_required("links.edit_link", raise_exception=True)


@may_link
@never_cache
@sensitive_variables("address")
def links(request: HttpRequest, job_id: int) -> HttpResponse:
    """The addresses of a job; a new one is shown once, right after it is made, for it is kept nowhere."""
    job = get_object_or_404(Job.objects.with_parties(), pk=job_id)
    now, address = timezone.now(), ""
    form = LinkForm(request.POST or None)
    if request.method == "POST" and form.is_valid():
        new = make_link(job=job, days=form.cleaned_data["days"], by=str(request.user), at=now)
        address = request.build_absolute_uri(reverse("links:open", args=[new.secret]))
    rows = [(link, link.state(now)) for link in job.links.prefetch_related("acts")]
    sheet = TitleBlock("Customer link", str(job.vehicle), job.number)
    context = {"sheet": sheet, "job": job, "form": form, "address": address, "links": rows}
    return render(request, "shop/links/links.html", context, status=400 if form.errors else 200)


@may_link
@require_POST
def revoke(request: HttpRequest, job_id: int, link_id: int) -> HttpResponse:
    """Close an address."""
    link = get_object_or_404(CustomerLink, pk=link_id, job=job_id)
    revoke_link(link_id=link.pk, by=str(request.user), at=timezone.now())
    messages.success(request, "Revoked: the address no longer opens.")
    return redirect("links:links", job_id)
