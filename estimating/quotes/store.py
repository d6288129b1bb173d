"""The only door between the costing rows and their values, and the worked-up plan that they give."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass, fields, replace
from decimal import Decimal
from typing import Any

from circuits.cautions import cautions
from circuits.planning import store as planning_store
from circuits.planning.models import PlanRow, new_stamp
from circuits.planning.rules import stored_rules
from circuits.rules import BuildRules
from estimating.labour.condition import DEFAULT_CV
from estimating.labour.hours import ThreePoint
from estimating.labour.minutes import DEFAULT_MINUTES, MinutesTable
from estimating.pricing.book import PriceBook
from estimating.pricing.price_book_csv import example_price_book
from estimating.pricing.quote import LabourBasis, LineClass, PriceItem, Terms
from estimating.quotes.exclusions import first_exclusions
from estimating.quotes.kept import Kept
from estimating.quotes.models import CostingStamp, MinutesRow, PriceRow, TermsRow
from estimating.rules import ShopRules
from estimating.takeoff.rules import TakeoffRules
from estimating.workup import WorkUp, work_up_sized

ONLY_ROW = 1
NO_ROW_STAMP = "defaults"

_RULES: Kept[tuple[str, str], ShopRules] = Kept(room=4)
_WORK_UPS: Kept[tuple[str, str, str, str], WorkUp] = Kept(room=64)


@dataclass(frozen=True, slots=True)
class CostingRules:
    """What the costing rows say."""

    takeoff: TakeoffRules
    minutes: MinutesTable
    condition_cv: float
    book: PriceBook
    terms: Terms


def shop_rules() -> ShopRules:
    """The shop's rules: stored ones, packaged defaults where nothing is stored.

    Two queries where this process has read the present rules before, five where not.
    """
    return _stamped_rules()[0]


def _stamped_rules() -> tuple[ShopRules, tuple[str, str]]:
    while True:
        build, build_stamp = stored_rules()
        stamps = (build_stamp, costing_stamp())
        rules = _RULES.get(stamps)
        if rules is not None:
            return rules, stamps
        rules = _read_rules(build)
        if costing_stamp() == stamps[1]:  # else somebody wrote meanwhile: rows of two moments
            _RULES.put(stamps, rules)
            return rules, stamps


def _read_rules(build: BuildRules) -> ShopRules:
    row = TermsRow.objects.filter(pk=ONLY_ROW).first()
    return ShopRules(
        build=build,
        takeoff=takeoff_of(row.takeoff) if row else TakeoffRules(),
        minutes=minutes_of(MinutesRow.objects.all()),
        condition_cv=row.condition_cv if row else DEFAULT_CV,
        book=book_of(PriceRow.objects.all()),
        terms=terms_of(row) if row else default_terms(),
    )


def costing_stamp() -> str:
    """Names the present state of prices, minutes and terms: equal stamps, equal rows."""
    return CostingStamp.objects.filter(pk=ONLY_ROW).values_list("stamp", flat=True).first() or NO_ROW_STAMP


def renew_costing_stamp() -> None:
    """Call it in the transaction of every write to prices, minutes or terms. Holds other writers until it ends."""
    CostingStamp.objects.update_or_create(pk=ONLY_ROW, defaults={"stamp": new_stamp()})


@dataclass(frozen=True, slots=True)
class WorkedUp:
    """A plan worked up, with the very rules that it was worked up by; ``usual_basis`` is what the terms say."""

    workup: WorkUp
    rules: ShopRules
    usual_basis: LabourBasis


def work_up_plan(plan_id: int) -> WorkUp:
    """The plan worked up by the shop's rules, kept in this process under the stamps of plan and rules.

    Raises
    ------
    PlanRow.DoesNotExist
    """
    return worked_up(plan_id).workup


def work_up_plans(plan_ids: Iterable[int]) -> dict[int, WorkUp]:
    """Several plans worked up, by plan; those that are gone are left out.

    As many queries as for one, and more only for plans that this process has not worked up before.
    """
    rules, stamps = _stamped_rules()
    tail = (*stamps, str(rules.terms.labour_basis))
    found = {}
    for plan_id, plan_stamp in PlanRow.objects.filter(pk__in=list(plan_ids)).values_list("pk", "stamp"):
        kept = _WORK_UPS.get((plan_stamp, *tail))
        found[plan_id] = kept if kept is not None else worked_up(plan_id).workup
    return found


def worked_up(plan_id: int, basis: LabourBasis | None = None) -> WorkedUp:
    """The plan worked up, and the rules that it was worked up by: both of one moment.

    Parameters
    ----------
    plan_id : int
    basis : LabourBasis or None
        Which figure of the hours is sold; None = as the terms say.

    Raises
    ------
    PlanRow.DoesNotExist
    """
    plan_stamp = PlanRow.objects.values_list("stamp", flat=True).get(pk=plan_id)
    rules, stamps = _stamped_rules()
    usual_basis = rules.terms.labour_basis
    if basis is not None:
        rules = replace(rules, terms=replace(rules.terms, labour_basis=basis))
    tail = (*stamps, str(rules.terms.labour_basis))
    kept = _WORK_UPS.get((plan_stamp, *tail))
    if kept is None:
        loaded = planning_store.load(plan_id)
        kept = work_up_sized(planning_store.size_loaded(loaded), rules)
        _WORK_UPS.put((loaded.row.stamp, *tail), kept)
    return WorkedUp(kept, replace(rules, build=kept.sized.rules), usual_basis)


def book_of(rows: Iterable[PriceRow]) -> PriceBook:
    """The price book of the rows; the packaged example book where there are none."""
    items = [price_item_of(row) for row in rows]
    return PriceBook(items) if items else example_price_book()


def price_item_of(row: PriceRow) -> PriceItem:
    """One row of the price book as a value."""
    return PriceItem(**{field.name: getattr(row, field.name) for field in fields(PriceItem)})


def price_fields(item: PriceItem) -> dict[str, Any]:
    """Columns of the row that holds a price item."""
    return {field.name: getattr(item, field.name) for field in fields(PriceItem)}


def minutes_of(rows: Iterable[MinutesRow]) -> MinutesTable:
    """The packaged minutes with those of the rows in their place. Elements no longer known are passed over."""
    known = {str(row.element) for row in DEFAULT_MINUTES.rows}
    return DEFAULT_MINUTES.with_minutes(
        {
            row.element: ThreePoint(row.optimistic_min, row.likely_min, row.pessimistic_min)
            for row in rows
            if row.element in known
        }
    )


def takeoff_of(stored: dict[str, Any]) -> TakeoffRules:
    """Take-off rules from what is stored; names no longer known are passed over, those missing take their default."""
    return TakeoffRules(**{f.name: stored[f.name] for f in fields(TakeoffRules) if f.name in stored})


def default_terms() -> Terms:
    """Terms of a shop that has set none."""
    return replace(Terms(), exclusions=first_exclusions(), cautions=cautions())


def terms_of(row: TermsRow) -> Terms:
    """Terms of the row. The cautions of the trade stand before the shop's own."""
    taxes = {line_class: getattr(row, tax_field(line_class)) for line_class in LineClass}
    return Terms(
        currency=row.currency,
        locale=row.locale,
        rate_per_h=row.rate_per_h,
        labour_basis=LabourBasis(row.labour_basis),
        markup_percent=row.markup_percent,
        sundries_percent=row.sundries_percent,
        carriage=row.carriage,
        tax_percent=tuple((line_class, percent) for line_class, percent in taxes.items() if percent is not None),
        deposit_percent=row.deposit_percent,
        validity_days=row.validity_days,
        exclusions=lines_of(row.exclusions),
        cautions=cautions() + lines_of(row.cautions),
    )


def terms_row() -> TermsRow:
    """The stored terms, or a row (not stored) that says what the defaults say."""
    row = TermsRow.objects.filter(pk=ONLY_ROW).first()
    if row is not None:
        return row
    terms = default_terms()
    taxes: dict[str, Decimal] = {tax_field(line_class): percent for line_class, percent in terms.tax_percent}
    return TermsRow(
        pk=ONLY_ROW,
        currency=terms.currency,
        locale=terms.locale,
        rate_per_h=terms.rate_per_h,
        labour_basis=terms.labour_basis,
        condition_cv=DEFAULT_CV,
        markup_percent=terms.markup_percent,
        sundries_percent=terms.sundries_percent,
        carriage=terms.carriage,
        deposit_percent=terms.deposit_percent,
        validity_days=terms.validity_days,
        exclusions="\n".join(terms.exclusions),
        **taxes,
    )


def tax_field(line_class: LineClass) -> str:
    """Column of the terms that holds the tax of a line class.

    Examples
    --------
    >>> tax_field(LineClass.PARTS)
    'tax_parts_percent'
    """
    return f"tax_{line_class}_percent"


def lines_of(text: str) -> tuple[str, ...]:
    r"""The lines of a text, blank ones left out.

    Examples
    --------
    >>> lines_of("one\n\n two ")
    ('one', 'two')
    """
    return tuple(line.strip() for line in text.splitlines() if line.strip())
