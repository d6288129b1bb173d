"""Reading and filling the pages of money."""

from __future__ import annotations

import re
from uuid import uuid4

from django.urls import reverse

NO_LINES = {"line-TOTAL_FORMS": "0", "line-INITIAL_FORMS": "0"}


def url(name, job, *more):
    return reverse(f"billing:{name}", args=[job.pk, *more])


def text_of(answer):
    return re.sub(r"\s+", " ", re.sub(r"<[^>]+>", " ", answer.content.decode()).replace("\xa0", " "))


def invoice_form(what, **fields):
    return {"what": what, "days": "14", "key": str(uuid4()), "act": "look"} | NO_LINES | fields


def seen_in(answer):
    (seen,) = re.findall(r'name="seen" value="([0-9a-f]*)"', answer.content.decode())
    return seen


def issue_by_page(client, job, what, **fields):
    form = invoice_form(what, **fields)
    looked = client.post(url("new_invoice", job), form)
    return client.post(url("new_invoice", job), form | {"act": "issue", "seen": seen_in(looked)}, follow=True)


def lines(*rows):
    form = {"line-TOTAL_FORMS": str(len(rows)), "line-INITIAL_FORMS": "0"}
    for index, row in enumerate(rows):
        form |= {f"line-{index}-{name}": text for name, text in row.items()}
    return form


LINE = {"text": "Grommet", "line_class": "parts", "quantity": "2", "unit": "piece", "unit_price": "1.50"}
