"""Changes: today's difference, what was sent, the customer's answer."""

from __future__ import annotations

from functools import partial

from django.core.exceptions import BadRequest
from django.http import HttpRequest, HttpResponse
from django.shortcuts import redirect, render
from django.utils import timezone
from django.views.decorators.http import require_POST, require_safe

from circuits.paper.title_block import TitleBlock
from estimating.quotes.downloads import pdf_download
from estimating.quotes.paper_words import InWords
from estimating.quotes.views.acts import done
from shop.billing.access import block, change_or_404, job_or_404, person
from shop.billing.agreement import agreement_of
from shop.billing.change_papers import circuit_sentences, more_or_less
from shop.billing.change_record import read_change
from shop.billing.change_services import answer_change, draft_change, send_change
from shop.billing.forms import AnswerForm, NoteForm
from shop.billing.issue import paper_of_change
from shop.billing.models import Change
from shop.billing.views.permits import may_act, may_see


@require_safe
@may_see
def change(request: HttpRequest, job_id: int) -> HttpResponse:
    """What today's plan changes against what was accepted, and all that was sent."""
    job = job_or_404(job_id)
    agreement = agreement_of(job)
    context = {"sheet": block("Changes", job), "job": job, "agreement": agreement}
    context["changes"] = Change.objects.without_content().filter(job=job).order_by("-number")
    if agreement:
        draft = draft_change(job, agreement, note="", by=person(request), today=timezone.localdate())
        record = draft.record
        context |= {
            "draft": draft,
            "record": record,
            "said": InWords(agreement.currency, agreement.record.terms.locale),
        }
        context |= {
            "sentences": circuit_sentences(record) if draft.difference else (),
            "more": more_or_less(record.priced),
        }
        context["form"] = NoteForm(initial={"expected": record.heading.number, "seen": draft.fingerprint})
    return render(request, "shop/billing/change.html", context)


@require_POST
@may_act
def send(request: HttpRequest, job_id: int) -> HttpResponse:
    """Sends what the sender looked at as the next change."""
    form = NoteForm(request.POST)
    if not form.is_valid():
        raise BadRequest("This form is not ours: open the change again.")
    data = form.cleaned_data
    act = partial(send_change, job=job_or_404(job_id), by=person(request), at=timezone.now(), **data)
    if done(request, act, f"Change {data['expected']} is with the customer."):
        return redirect("billing:sent_change", job_id, data["expected"])
    return redirect("billing:change", job_id)


@require_safe
@may_see
def sent_change(request: HttpRequest, job_id: int, number: int) -> HttpResponse:
    """A change as it was sent."""
    return _render(request, change_or_404(job_id, number), AnswerForm())


@require_POST
@may_act
def answer(request: HttpRequest, job_id: int, number: int) -> HttpResponse:
    """The customer accepts or declines."""
    row = change_or_404(job_id, number)
    form = AnswerForm(request.POST)
    if not form.is_valid():
        return _render(request, row, form)
    data = form.cleaned_data
    accepted = data["answer"] == "accepted"
    act = partial(
        answer_change,
        change=row,
        accepted=accepted,
        name=data["name"],
        note=data["note"],
        at=timezone.now(),
        by=person(request),
    )
    done(request, act, f"Change {number} is {'accepted' if accepted else 'marked as declined'}.")
    return redirect("billing:sent_change", job_id, number)


@require_safe
@may_see
def change_paper(request: HttpRequest, job_id: int, number: int) -> HttpResponse:
    """The PDF that was sent."""
    row = change_or_404(job_id, number)
    made = paper_of_change(row.pk, at=timezone.now())
    return pdf_download(bytes(made.pdf), f"{row.job.number} change {number}")


def _render(request: HttpRequest, row: Change, form: AnswerForm) -> HttpResponse:
    record = read_change(row.content)
    heading = record.heading
    sheet = TitleBlock(
        title="Change",
        subject=f"{row.job.number} {heading.vehicle}",
        number=heading.quote_number,
        revision=f"change {row.number}",
        date=heading.date,
        by=row.sent_by,
    )
    context = {"sheet": sheet, "row": row, "job": row.job, "record": record, "form": form}
    context |= {
        "said": InWords(record.priced.currency, record.terms.locale),
        "sentences": circuit_sentences(record),
        "more": more_or_less(record.priced),
    }
    return render(request, "shop/billing/sent_change.html", context, status=400 if form.errors else 200)
