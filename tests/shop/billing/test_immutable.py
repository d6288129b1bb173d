"""What has been issued or booked stays: the service, the model and the database each hold it."""

import pytest
from django.core.management import call_command
from django.db import DatabaseError, connection, transaction

from shop.billing.change_services import answer_change, send_change
from shop.billing.issue import paper_of_change, paper_of_document
from shop.billing.models import Change, ChangePaper, Document, DocumentPaper, FrozenError, Payment
from tests.estimating.quotes.cast import HEADLAMP, SOCKET
from tests.shop.billing import cast


@pytest.fixture
def rows(job):
    invoice = cast.issue(job)
    payment = cast.pay(job, "10.00", invoice)
    cast.plan_becomes(job, HEADLAMP, SOCKET)
    change = send_change(job=job, note="", by="Otto", at=cast.NOON)
    return {
        "billing_document": invoice,
        "billing_payment": payment,
        "billing_documentpaper": paper_of_document(invoice.pk, at=cast.NOON),
        "billing_change": change,
        "billing_changepaper": paper_of_change(change.pk, at=cast.NOON),
    }


COLUMNS = [
    ("billing_document", "content", "'{}'"),
    ("billing_document", "number", "'I-2026-777'"),
    ("billing_document", "sequence", "777"),
    ("billing_document", "payable", "0"),
    ("billing_document", "due_on", "'2099-01-01'"),
    ("billing_document", "customer_name", "'x'"),
    ("billing_payment", "amount", "1"),
    ("billing_payment", "moved_on", "'2020-01-01'"),
    ("billing_payment", "invoice_id", "NULL"),
    ("billing_documentpaper", "made_at", "'2020-01-01'"),
    ("billing_change", "content", "'{}'"),
    ("billing_change", "total", "1"),
    ("billing_change", "number", "7"),
    ("billing_changepaper", "made_at", "'2020-01-01'"),
]


@pytest.mark.parametrize(("table", "column", "value"), COLUMNS)
def test_database_refuses_to_change(rows, table, column, value):
    sql = f"UPDATE {table} SET {column} = {value} WHERE id = {rows[table].pk}"
    with pytest.raises(DatabaseError, match="cannot be changed"), transaction.atomic():
        connection.cursor().execute(sql)


@pytest.mark.parametrize("table", sorted({table for table, _, _ in COLUMNS}))
def test_database_refuses_to_delete(rows, table):
    with pytest.raises(DatabaseError, match="cannot be deleted"), transaction.atomic():
        connection.cursor().execute(f"DELETE FROM {table} WHERE id = {rows[table].pk}")


@pytest.mark.parametrize("model", [Document, Payment, DocumentPaper, ChangePaper, Change])
def test_model_refuses_to_save_or_delete(rows, model):
    row = model.objects.get()
    with pytest.raises(FrozenError):
        row.save()
    with pytest.raises(FrozenError):
        row.delete()
    with pytest.raises(FrozenError):
        model.objects.all().delete()
    field = "content" if hasattr(row, "content") else "made_at" if hasattr(row, "made_at") else "amount"
    with pytest.raises(FrozenError):
        model.objects.update(**{field: getattr(row, field)})
    with pytest.raises(FrozenError):
        model.objects.bulk_update([row], [field])


@pytest.mark.parametrize("model", [Document, Payment, DocumentPaper, ChangePaper, Change])
def test_a_copy_with_the_same_key_does_not_write_over(rows, model):
    row = model.objects.get()
    copy = model(**{field.attname: getattr(row, field.attname) for field in model._meta.concrete_fields})
    with pytest.raises(FrozenError):
        copy.save()


def test_an_answer_is_given_once(rows):
    answer_change(change=rows["billing_change"], accepted=True, name="A. F.", at=cast.NOON)
    with pytest.raises(DatabaseError, match="cannot be changed"), transaction.atomic():
        Change.objects.update(state="declined")
    with pytest.raises(DatabaseError, match="cannot be changed"), transaction.atomic():
        Change.objects.update(answered_name="Somebody else")


@pytest.mark.parametrize("sequence", [1, 3])
def test_database_refuses_a_number_out_of_order(rows, sequence):
    row = Document.objects.get()
    values = {field.attname: getattr(row, field.attname) for field in Document._meta.concrete_fields}
    copy = Document(**values | {"id": None, "sequence": sequence, "number": f"I-2026-00{sequence}", "step": 99})
    copy.key = "6f1a3c1e-0000-4000-8000-000000000001"
    with pytest.raises(DatabaseError, match="without a gap"), transaction.atomic():
        copy.save()


def test_emptying_the_database_is_refused_outside_tests(rows):
    """The command as shops have it: ours in tests lifts the guards first."""
    from django.core.management.commands.flush import Command

    with pytest.raises(Exception, match=r"couldn't be flushed|cannot be deleted"), transaction.atomic():
        call_command(Command(), interactive=False, verbosity=0)
    assert Document.objects.exists()
