"""The demo's delivered job is one that the rules let leave, with papers that open."""

from __future__ import annotations

from datetime import UTC, datetime
from io import BytesIO

import pytest
from pypdf import PdfReader

from shop.handover.demo import demo_handover
from shop.handover.models import Handover, PaperKind
from shop.handover.record import read_record
from shop.handover.services import paper_of
from shop.history.reading import history
from shop.people.roles import OWNER

AT = datetime(2031, 5, 2, 9, tzinfo=UTC)


@pytest.mark.django_db
def test_demo_job_is_proved_paid_released_and_told(owner, technician):
    demo_handover(at=AT, by="Otto Ledger", tessa=technician, wilma=owner)
    handover = Handover.objects.get()
    content = read_record(handover.content).content
    assert handover.released_name == "Wilma Lumen, owner"
    assert [fault.advice != "" for fault in content.faults] == [True]
    assert all(package.is_done for package in handover.job.packages.all())
    assert {document.balance.open for document in handover.job.documents.all()} == {0}
    for kind in PaperKind:
        assert len(PdfReader(BytesIO(bytes(paper_of(handover, kind, at=AT).pdf))).pages) >= 1
    first = history(handover.job, allowed=OWNER).lines[0]
    assert first.what == "vehicle released"
