"""A purchase plan as JSON and back, to the last figure."""

from __future__ import annotations

from dataclasses import asdict
from datetime import date
from decimal import Decimal
from typing import Any

from estimating.buying.purchase import Cut, CutPiece, OrderLine, PurchasePlan, Remedy, Share, SupplierOrder, Unmet


def write_plan(plan: PurchasePlan) -> dict[str, Any]:
    """The plan as plain JSON values.

    Examples
    --------
    >>> from estimating.buying.example import example_week
    >>> from estimating.buying.solve import plan_purchases
    >>> plan = plan_purchases(example_week())
    >>> read_plan(write_plan(plan)) == plan
    True
    """
    written: dict[str, Any] = _plain(asdict(plan))
    return written


def _plain(value: Any) -> Any:
    if isinstance(value, dict):
        return {key: _plain(each) for key, each in value.items()}
    if isinstance(value, (list, tuple)):
        return [_plain(each) for each in value]
    if isinstance(value, Decimal):
        return str(value)
    return value.isoformat() if isinstance(value, date) else value


def read_plan(record: dict[str, Any]) -> PurchasePlan:
    """The plan of what ``write_plan`` wrote."""
    money = {name: Decimal(record[name]) for name in ("goods", "carriage", "cost", "lower_bound")}
    return PurchasePlan(
        orders=tuple(_order(each) for each in record["orders"]),
        pieces=tuple(_piece(each) for each in record["pieces"]),
        shares=tuple(Share(**each) for each in record["shares"]),
        unmet=tuple(_unmet(each) for each in record["unmet"]),
        gap=record["gap"],
        is_proven=record["is_proven"],
        rounds=record["rounds"],
        **money,
    )


def _piece(record: dict[str, Any]) -> CutPiece:
    return CutPiece(**{**record, "cuts": tuple(Cut(**cut) for cut in record["cuts"])})


def _order(record: dict[str, Any]) -> SupplierOrder:
    money = {name: Decimal(record[name]) for name in ("goods", "carriage", "total")}
    return SupplierOrder(record["supplier"], tuple(_line(each) for each in record["lines"]), **money)


def _line(record: dict[str, Any]) -> OrderLine:
    money = {name: Decimal(record[name]) for name in ("price", "net")}
    return OrderLine(**{**record, **money, "arrives": date.fromisoformat(record["arrives"])})


def _unmet(record: dict[str, Any]) -> Unmet:
    remedies = tuple(_remedy(each) for each in record["remedies"])
    return Unmet(**{**record, "needed_by": date.fromisoformat(record["needed_by"]), "remedies": remedies})


def _remedy(record: dict[str, Any]) -> Remedy:
    new_date, cost = record["new_date"], record["extra_cost"]
    return Remedy(
        **{
            **record,
            "new_date": date.fromisoformat(new_date) if new_date else None,
            "extra_cost": Decimal(cost) if cost is not None else None,
        }
    )
