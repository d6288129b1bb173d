"""A paper is made once, whoever asks for it at the same moment."""

from __future__ import annotations

import pytest
from django.utils import timezone

from estimating.quotes.models import QuotePaper
from estimating.quotes.papers_once import made_once

pytestmark = pytest.mark.django_db


def test_a_paper_that_is_there_is_not_made_again(sent):
    now = timezone.now()
    QuotePaper.objects.all().delete()
    first = made_once(QuotePaper, lambda: b"first", at=now, revision_id=sent.pk)
    assert made_once(QuotePaper, lambda: b"second", at=now, revision_id=sent.pk) == first


def test_of_two_that_are_made_at_once_the_first_stays_for_both(sent):
    now = timezone.now()
    QuotePaper.objects.all().delete()

    def make() -> bytes:
        QuotePaper.objects.create(revision=sent, pdf=b"quicker", made_at=now)
        return b"slower"

    assert bytes(made_once(QuotePaper, make, at=now, revision_id=sent.pk).pdf) == b"quicker"
