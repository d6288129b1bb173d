"""Lines for work as it was done: hours booked, parts used, and what is typed by hand; nothing twice."""

from __future__ import annotations

from collections.abc import Iterator
from decimal import Decimal

from circuits.errors import PlanError
from circuits.planning.store import load_plan
from estimating.pricing.invoice import InvoiceLine, line_of, lot
from estimating.pricing.money import HOURS_STEP, to_step
from estimating.pricing.price import price_materials
from estimating.pricing.quote import LineClass, QuoteLine, Terms
from estimating.quotes.store import shop_rules, work_up_plan
from estimating.workup import work_up
from shop.billing.agreement import Agreement, agreed_rules
from shop.billing.ledger import Ledger
from shop.billing.orders import Order
from shop.billing.seams import booked_hours
from shop.jobs.models import Job
from shop.materials.used import used_parts

HOURS = "hours:"
PARTS = "parts:"


def work_lines(
    job: Job, agreement: Agreement | None, ledger: Ledger, terms: Terms, order: Order
) -> tuple[InvoiceLine, ...]:
    """What has been done and not been invoiced: the difference of all that was done and all that invoices name."""
    lines = [*_hours(job, ledger, terms)]
    if order.with_parts:
        lines += _parts(job, agreement, ledger, terms)
    lines += [
        line_of(
            typed.text,
            typed.quantity,
            typed.unit,
            typed.unit_price,
            terms.tax_on(typed.line_class),
            terms.currency,
            line_class=typed.line_class,
        )
        for typed in order.lines
    ]
    return tuple(lines)


def _hours(job: Job, ledger: Ledger, terms: Terms) -> Iterator[InvoiceLine]:
    """Hours to the tenth; less than were invoiced where a booking was put right since."""
    invoiced: dict[str, Decimal] = {}
    for line in ledger.worked_lines():
        if line.origin.startswith(HOURS):
            invoiced[line.origin] = invoiced.get(line.origin, Decimal(0)) + line.quantity
    booked = {HOURS + one.section: (one.section, to_step(one.hours, HOURS_STEP)) for one in booked_hours(job.pk)}
    for origin in dict.fromkeys([*booked, *invoiced]):
        section, hours = booked.get(origin, (origin.removeprefix(HOURS), Decimal(0)))
        left = hours - invoiced.get(origin, Decimal(0))
        if left:
            yield line_of(
                f"Labour: {section}",
                left,
                "h",
                terms.rate_per_h,
                terms.tax_on(LineClass.LABOUR),
                terms.currency,
                line_class=LineClass.LABOUR,
                origin=origin,
            )


def _materials(job: Job, agreement: Agreement | None) -> tuple[QuoteLine, ...]:
    """What the job has used by the stock's record; the parts of today's plan where stock was never given out to it."""
    used = used_parts(job.number)
    if used is None:
        worked = work_up(load_plan(job.plan_id), agreed_rules(agreement)) if agreement else work_up_plan(job.plan_id)
        return tuple(line for line in worked.quote.lines if line.line_class is not LineClass.LABOUR)
    rules = agreed_rules(agreement) if agreement else shop_rules()
    priced = price_materials(used, rules.book, rules.terms)
    if priced.unpriced:
        raise PlanError(f"Given out to the job and without a price: {', '.join(priced.unpriced)}")
    return priced.lines


def _parts(job: Job, agreement: Agreement | None, ledger: Ledger, terms: Terms) -> Iterator[InvoiceLine]:
    """Parts by kind, sundries and carriage, less what was invoiced of each."""
    wanted = {f"{PARTS}{line.line_class}:{line.text}": line for line in _materials(job, agreement)}
    invoiced: dict[str, InvoiceLine] = {}
    nets: dict[str, Decimal] = {}
    for line in ledger.worked_lines():
        if line.origin.startswith(PARTS):
            invoiced[line.origin] = line
            nets[line.origin] = nets.get(line.origin, Decimal(0)) + line.net
    for origin in dict.fromkeys([*wanted, *invoiced]):
        model = wanted.get(origin) or invoiced[origin]
        left = (wanted[origin].net if origin in wanted else Decimal(0)) - nets.get(origin, Decimal(0))
        if left:
            yield lot(model.text, left, model.tax_percent, terms.currency, line_class=model.line_class, origin=origin)
