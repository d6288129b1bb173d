"""Changes: the difference between what was accepted and today's plan, priced, sent, answered."""

from dataclasses import replace
from decimal import Decimal

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from estimating.quotes.models import PriceRow, TermsRow
from estimating.quotes.rules import RefusedError
from estimating.quotes.settings_services import save_terms
from estimating.quotes.store import terms_row
from shop.billing.agreement import Agreement, agreement_of, difference, difference_of, unaccepted_circuits
from shop.billing.change_record import read_change, write_change
from shop.billing.change_services import answer_change, send_change
from shop.billing.drafting import books_of
from shop.billing.models import Change
from shop.billing.orders import What
from tests.estimating.quotes.cast import FAN, HEADLAMP, LOST, SOCKET, TAIL, plan_of
from tests.shop.billing import cast
from tests.shop.billing.cast import D, plan_becomes


def agreed(job) -> Agreement:
    found = agreement_of(job)
    assert found is not None
    return found


def found(job):
    return difference_of(job, agreed(job))


def send(job, **given):
    return send_change(job=job, note="", by="Otto", at=cast.NOON, **given)


def accept(change):
    return answer_change(change=change, accepted=True, name="A. Fernwhistle", at=cast.NOON, by="Otto")


def test_an_untouched_plan_is_no_change(job):
    assert not found(job)
    assert unaccepted_circuits(job) == ()
    with pytest.raises(RefusedError, match="no change to send"):
        send(job)


def test_circuits_added_dropped_and_altered_are_told_apart(job):
    plan_becomes(job, HEADLAMP, replace(FAN, load_a=20.0), SOCKET)
    difference = found(job)
    assert difference.circuits.added == ("socket",)
    assert difference.circuits.dropped == ("tail lamp",)
    assert [one.circuit for one in difference.circuits.altered] == ["cooling fan"]
    assert unaccepted_circuits(job) == ("socket", "cooling fan", "tail lamp")


def test_an_added_circuit_costs_and_a_dropped_one_saves(job):
    plan_becomes(job, HEADLAMP, TAIL, FAN, SOCKET)
    more = found(job).priced
    assert more.total > 0
    assert more.hours > 0
    assert any(part.kind == "wire" and part.by > 0 for part in more.parts)
    plan_becomes(job, HEADLAMP, FAN)
    less = found(job).priced
    assert less.total < 0
    assert less.after == less.before + less.total


def test_prices_and_rates_that_moved_since_are_no_change(job):
    row = terms_row()
    row.rate_per_h, row.markup_percent = D("200.00"), D("90.00")
    save_terms(row=row)
    assert TermsRow.objects.get().rate_per_h == 200
    assert not found(job)
    plan_becomes(job, HEADLAMP, TAIL, FAN, SOCKET)
    labour = [line for line in found(job).priced.lines if line.line_class == "labour"]
    before = agreed(job).record.terms.rate_per_h
    assert sum(line.net for line in labour) == found(job).priced.hours * before


def test_parts_nobody_priced_before_take_todays_price(job):
    from estimating.quotes.settings_services import start_price_book

    start_price_book()
    PriceRow.objects.all().update(price=D("50.00"), cost=D("40.00"))
    from estimating.quotes.store import renew_costing_stamp

    renew_costing_stamp()
    assert not found(job), "what was agreed keeps its price"
    plan_becomes(job, HEADLAMP, TAIL, FAN, replace(SOCKET, load_a=30.0))
    known = {(part.kind, part.spec) for part in agreed(job).part_prices}
    new = [part for part in found(job).part_prices if (part.kind, part.spec) not in known]
    assert new
    assert all(part.unit_price == D("50.00") for part in new)
    promised = {(part.kind, part.spec): part.unit_price for part in agreed(job).part_prices}
    kept = [part for part in found(job).part_prices if (part.kind, part.spec) in known]
    assert kept
    assert all(part.unit_price == promised[part.kind, part.spec] for part in kept), "agreed prices hold in a change"


def test_a_part_without_a_price_stands_in_the_way(job):
    from estimating.quotes.settings_services import start_price_book
    from estimating.quotes.store import renew_costing_stamp

    start_price_book()
    PriceRow.objects.exclude(kind="clip").delete()
    renew_costing_stamp()
    plan_becomes(job, HEADLAMP, TAIL, FAN, replace(SOCKET, load_a=30.0))
    with pytest.raises(RefusedError, match="has no price"):
        send(job)


def test_an_error_in_the_plan_stands_in_the_way(job):
    plan_becomes(job, HEADLAMP, TAIL, FAN, LOST)
    with pytest.raises(RefusedError, match="Cure it on the plan first"):
        send(job)


def test_each_change_is_measured_against_what_was_accepted_last(job):
    first = agreed(job).total
    plan_becomes(job, HEADLAMP, TAIL, FAN, SOCKET)
    one = accept(send(job))
    assert unaccepted_circuits(job) == ()
    plan_becomes(job, HEADLAMP, FAN, SOCKET)
    assert found(job).circuits.added == ()
    assert found(job).circuits.dropped == ("tail lamp",)
    two = accept(send(job))
    assert (one.number, two.number) == (1, 2)
    assert agreed(job).total == first + read_change(one.content).priced.total + read_change(two.content).priced.total


def test_a_declined_change_leaves_the_agreement_as_it_was(job):
    total = agreed(job).total
    plan_becomes(job, HEADLAMP, TAIL, FAN, SOCKET)
    answer_change(change=send(job), accepted=False, name="A. F.", at=cast.NOON, note="Too dear")
    assert agreed(job).total == total
    assert unaccepted_circuits(job) == ("socket",)
    row = Change.objects.get()
    assert (row.state, row.answered_name, row.answer_note) == ("declined", "A. F.", "Too dear")
    assert row.answered_at == cast.NOON


def test_a_later_change_replaces_the_open_one(job):
    plan_becomes(job, HEADLAMP, TAIL, FAN, SOCKET)
    first = send(job)
    plan_becomes(job, HEADLAMP, SOCKET)
    second = send(job)
    first.refresh_from_db()
    assert (first.state, second.state) == ("superseded", "sent")
    with pytest.raises(RefusedError, match="not with the customer any more"):
        accept(first)


def test_an_answer_needs_a_name_and_is_taken_once(job):
    plan_becomes(job, HEADLAMP, SOCKET)
    change = send(job)
    with pytest.raises(RefusedError, match="name of the customer"):
        answer_change(change=change, accepted=True, name="  ", at=cast.NOON)
    accept(change)
    with pytest.raises(RefusedError, match="not with the customer any more: accepted"):
        answer_change(change=change, accepted=False, name="A. F.", at=cast.NOON)


def test_what_is_sent_is_what_was_looked_at(job):
    plan_becomes(job, HEADLAMP, SOCKET)
    with pytest.raises(RefusedError, match="changed since you looked"):
        send(job, seen="0123456789abcdef")
    with pytest.raises(RefusedError, match="sent meanwhile"):
        send(job, expected=7)
    assert not Change.objects.exists()


def test_before_acceptance_there_is_nothing_to_change(unquoted):
    assert unaccepted_circuits(unquoted) == ()
    with pytest.raises(RefusedError, match="next revision"):
        send(unquoted)


def test_a_sent_change_keeps_all_it_was_made_from(job):
    plan_becomes(job, HEADLAMP, TAIL, FAN, SOCKET)
    record = read_change(send(job).content)
    assert read_change(write_change(record)) == record
    plan_becomes(job, HEADLAMP)
    again = read_change(Change.objects.get().content)
    assert again == record
    assert [row["circuit"] for row in again.plan["circuits"]][-1] == "socket"


def test_accepted_changes_are_invoiced_with_the_quote(job):
    cast.issue(job, What.REST)
    plan_becomes(job, HEADLAMP, TAIL, FAN, SOCKET)
    total = read_change(accept(send(job)).content).priced.total
    assert books_of(job).agreed_left == total
    row = cast.issue(job, What.REST)
    row.refresh_from_db()
    assert row.payable == total


def test_a_change_without_price_can_be_sent(job):
    plan_becomes(job, HEADLAMP, TAIL, replace(FAN, switch="fan:auto"))
    change = send(job)
    assert change.total == 0
    assert read_change(change.content).circuits.altered


CIRCUITS = [HEADLAMP, TAIL, FAN, SOCKET, replace(SOCKET, name="radio", load_a=5.0), replace(FAN, load_a=22.0)]


@pytest.mark.django_db
@settings(max_examples=12, suppress_health_check=[HealthCheck.function_scoped_fixture])
@given(st.lists(st.lists(st.sampled_from(CIRCUITS), unique_by=lambda c: c.name, min_size=1), min_size=2, max_size=4))
def test_changes_step_by_step_come_to_the_work_up_of_the_last_plan(job, steps):
    """The quote and any row of changes equal one change from the quote to the last plan, to the cent."""
    start = agreed(job)
    at_once = difference(plan_of(*steps[-1]), start)
    now, nets = start, Decimal(0)
    for circuits in steps:
        step = difference(plan_of(*circuits), now)
        nets += step.priced.net
        record = replace(_record(now, step), plan=step.plan)
        now = replace(now, changes=(*now.changes, (Change(number=len(now.changes) + 1), record)))
    assert nets == at_once.priced.net
    assert now.total == start.total + at_once.priced.total
    assert difference(plan_of(*steps[-1]), now).names == ()


def _record(agreement, step):
    from shop.billing.change_record import ChangeHeading, ChangeRecord

    heading = ChangeHeading(1, "", "", 1, cast.TODAY, "", "", "", "")
    terms = agreement.record.terms
    return ChangeRecord(
        heading, agreement.record.letterhead, terms, step.priced, step.circuits, step.part_prices, step.plan
    )
