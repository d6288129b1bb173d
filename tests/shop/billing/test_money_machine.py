"""Everything that can happen to the money of a job, in any order: no cent is made or lost."""

from __future__ import annotations

from decimal import Decimal

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from hypothesis.stateful import RuleBasedStateMachine, invariant, precondition, rule

from circuits.errors import PlanError
from estimating.pricing.account import Account, Act, Entry, replay
from estimating.pricing.claims import Remaining, credit, rest, share, whole
from estimating.pricing.invoice import InvoiceLine, lot, nets_by_rate, totals_of

CENT = Decimal("0.01")
ZERO = Decimal(0)
CENTS = st.integers(1, 10_000_00).map(lambda cents: cents * CENT)
RATES = st.sampled_from([Decimal(0), Decimal("5.5"), Decimal(7), Decimal(20), Decimal("25")])


@st.composite
def works(draw: st.DrawFn) -> tuple[InvoiceLine, ...]:
    """Lines of work, of some rates; more than nothing together."""
    pairs = draw(st.lists(st.tuples(CENTS, RATES), min_size=1, max_size=6))
    return tuple(lot(f"work {index}", net, rate, "EUR") for index, (net, rate) in enumerate(pairs))


class Money(RuleBasedStateMachine):
    """A job with an agreed price, invoiced in parts, credited, paid, overpaid and paid back."""

    def __init__(self) -> None:
        super().__init__()
        self.agreed: tuple[InvoiceLine, ...] = ()
        self.documents: dict[str, tuple[Decimal, dict[Decimal, Decimal]]] = {}
        self.entries: list[Entry] = []
        self.account = Account()
        self.claimed = self.credited = self.paid = self.refunded = Decimal(0)
        self.taxes = Decimal(0)

    def remaining(self) -> list[Remaining]:
        pairs = self.documents.items()
        left = [Remaining(number, number, tuple(nets.items()), payable) for number, (payable, nets) in pairs]
        return [one for one in left if not one.is_nothing]

    @property
    def total(self) -> Decimal:
        return totals_of(self.agreed, "EUR").total

    @property
    def left(self) -> Decimal:
        return self.total - sum((one.payable for one in self.remaining()), Decimal(0))

    def enter(self, entry: Entry) -> None:
        self.entries.append(entry)
        self.account.enter(entry)

    def issue(self, claim) -> None:
        number = f"I-{len(self.documents) + 1}"
        totals = claim.totals
        assert totals.total == totals.net + totals.tax
        assert totals.due == totals.total - totals.prepaid + totals.rounding
        for group in totals.taxes:
            assert abs(group.tax - group.taxable * group.tax_percent / 100) <= CENT / 2
        self.documents[number] = (totals.payable, {group.tax_percent: group.taxable for group in totals.taxes})
        self.claimed += totals.payable
        self.enter(Entry(Act.INVOICE, totals.payable, number))

    @rule(lines=works())
    def agree(self, lines: tuple[InvoiceLine, ...]) -> None:
        self.agreed = (*self.agreed, *lines)

    @precondition(lambda self: self.agreed)
    @rule(dropped=st.integers(0, 20))
    def agree_to_less(self, dropped: int) -> None:
        line = self.agreed[dropped % len(self.agreed)]
        self.agreed = (*self.agreed, lot("dropped", -line.net / 2, line.tax_percent, "EUR"))

    @precondition(lambda self: self.agreed and self.left > 0 and self.total > 0)
    @rule(percent=st.integers(1, 100))
    def invoice_a_part(self, percent: int) -> None:
        amount = max((self.left * percent / 100).quantize(CENT), CENT)
        claim = share(self.agreed, self.total, amount, "Part", "EUR")
        assert claim.totals.payable == amount
        assert abs(claim.totals.rounding) <= CENT * 2 * len(claim.lines)
        self.issue(claim)

    @precondition(lambda self: self.agreed)
    @rule()
    def invoice_the_rest(self) -> None:
        earlier = self.remaining()
        claim = rest(self.agreed, self.total, earlier, "EUR")
        assert abs(claim.totals.rounding) <= CENT * 3 * (len(earlier) + 1) * 5
        self.issue(claim)
        assert self.left == 0

    @precondition(lambda self: self.remaining())
    @rule(which=st.integers(0, 20), percent=st.integers(1, 100))
    def credit_some(self, which: int, percent: int) -> None:
        left = self.remaining()[which % len(self.remaining())]
        nets = {rate: (net * percent / 100).quantize(CENT) for rate, net in left.taxable}
        if percent < 100 and not any(nets.values()):
            with pytest.raises(PlanError, match="every amount is 0"):
                credit(left, nets, "credited", "EUR")
            return
        claim = credit(left, nets, "credited", "EUR")
        totals = claim.totals
        assert min(ZERO, left.payable) <= totals.payable <= max(ZERO, left.payable)
        payable, before = self.documents[left.number]
        after = {rate: net - nets.get(rate, Decimal(0)) for rate, net in before.items()}
        self.documents[left.number] = (payable - totals.payable, after)
        if percent == 100:
            assert self.documents[left.number][0] == 0
        self.credited += totals.payable
        self.enter(Entry(Act.CREDIT, totals.payable, left.number))

    @precondition(lambda self: self.documents)
    @rule(which=st.integers(0, 20), amount=CENTS, names=st.booleans())
    def pay(self, which: int, amount: Decimal, names: bool) -> None:
        number = list(self.documents)[which % len(self.documents)] if names else ""
        before = self.account.open.get(number, Decimal(0))
        self.enter(Entry(Act.PAYMENT, amount, number))
        if number:
            assert self.account.open[number] == max(before - amount, 0), "the invoice named is paid first"
        self.paid += amount

    @precondition(lambda self: self.account.held > 0)
    @rule(percent=st.integers(1, 100))
    def pay_back(self, percent: int) -> None:
        amount = max((self.account.held * percent / 100).quantize(CENT), CENT)
        self.enter(Entry(Act.REFUND, amount))
        self.refunded += amount

    @rule(amount=CENTS)
    def pay_back_too_much(self, amount: Decimal) -> None:
        held = self.account.held
        with pytest.raises(PlanError, match="can be paid back"):
            self.account.enter(Entry(Act.REFUND, held + amount))
        assert self.account.held == held

    @invariant()
    def no_cent_is_made_or_lost(self) -> None:
        owed = self.claimed - self.credited - self.paid + self.refunded
        assert self.account.due - self.account.held == owed

    @invariant()
    def nothing_is_below_nothing(self) -> None:
        assert self.account.held >= 0
        assert all(left >= 0 for left in self.account.open.values())

    @invariant()
    def money_is_held_only_where_nothing_is_open(self) -> None:
        assert not (self.account.held and self.account.due)

    @invariant()
    def entries_alone_give_the_account(self) -> None:
        assert replay(self.entries) == self.account


TestMoney = Money.TestCase
TestMoney.settings = settings(max_examples=150, stateful_step_count=30, deadline=None)


@given(works(), st.integers(1, 99))
def test_deposit_and_rest_claim_the_agreed_price_and_its_nets(lines, percent):
    total = totals_of(lines, "EUR").total
    deposit = share(lines, total, max((total * percent / 100).quantize(CENT), CENT), "Deposit", "EUR")
    before = Remaining(
        "I-1", "deposit", tuple((tax.tax_percent, tax.taxable) for tax in deposit.totals.taxes), deposit.totals.payable
    )
    final = rest(lines, total, [before], "EUR")
    assert deposit.totals.payable + final.totals.payable == total
    both = nets_by_rate([*deposit.lines, *final.lines])
    assert {rate: net for rate, net in both.items() if net} == {r: n for r, n in nets_by_rate(lines).items() if n}


@given(works())
def test_a_document_of_just_the_lines_has_no_rounding_amount(lines):
    totals = whole(lines, "EUR").totals
    assert [totals.rounding, totals.prepaid, totals.due] == [0, 0, totals.net + totals.tax]


def test_a_credit_beyond_what_remains_is_refused():
    left = Remaining("I-1", "", ((Decimal(20), Decimal("30.00")),), Decimal("36.00"))
    for net in ("30.01", "-0.01"):
        with pytest.raises(PlanError, match="remain to be credited"):
            credit(left, {Decimal(20): Decimal(net)}, "x", "EUR")
    with pytest.raises(PlanError, match="remain to be credited"):
        credit(left, {Decimal(7): Decimal("1.00")}, "x", "EUR")
    with pytest.raises(PlanError, match="every amount is 0"):
        credit(left, {}, "x", "EUR")


def test_an_invoice_in_the_customers_favour_is_held_and_pays_the_open_ones():
    account = replay([Entry(Act.INVOICE, Decimal(100), "I-1"), Entry(Act.INVOICE, Decimal(-130), "I-2")])
    assert [*account.open.values(), account.held] == [0, 0, 30]
    account.enter(Entry(Act.CREDIT, Decimal(-130), "I-2"))
    assert [account.open["I-2"], account.held] == [100, 0]


def test_an_entry_for_an_unknown_invoice_is_refused():
    for act in (Act.PAYMENT, Act.CREDIT):
        with pytest.raises(PlanError, match="no invoice I-9"):
            replay([Entry(act, Decimal(1), "I-9")])
    with pytest.raises(PlanError, match="above 0"):
        replay([Entry(Act.PAYMENT, Decimal(0))])


def test_a_credit_lowers_the_invoice_that_it_names_and_no_other():
    account = replay([Entry(Act.INVOICE, Decimal(100), "I-1"), Entry(Act.INVOICE, Decimal(100), "I-2")])
    account.enter(Entry(Act.CREDIT, Decimal(30), "I-2"))
    assert account.open == {"I-1": Decimal(100), "I-2": Decimal(70)}
