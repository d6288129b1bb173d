"""The shop's build rules as stored: one row; what it does not say is as ``circuits.rules`` has it."""

from __future__ import annotations

from dataclasses import asdict, fields
from typing import Any

from django.db import transaction

from circuits.plan import FuseFamily
from circuits.planning.models import BuildRulesRow, new_stamp
from circuits.rules import (
    AmpacityBy,
    BuildRules,
    ColourBy,
    ColourRules,
    LengthRules,
    PanelRules,
    RouteBy,
    RouteRules,
    Series,
    SizingRules,
    SupplyRules,
)

ONLY_ROW = 1
NO_ROW_STAMP = "defaults"


def build_rules() -> BuildRules:
    """The shop's build rules; the product's own until the shop stores some."""
    return stored_rules()[0]


def rules_stamp() -> str:
    """Names the present state of the build rules: equal stamps, equal rules."""
    stamp = BuildRulesRow.objects.filter(pk=ONLY_ROW).values_list("stamp", flat=True).first()
    return stamp or NO_ROW_STAMP


def rules_row() -> BuildRulesRow | None:
    """The stored row; None until the shop stores its rules."""
    return BuildRulesRow.objects.filter(pk=ONLY_ROW).first()


def stored_rules() -> tuple[BuildRules, str]:
    """The build rules and their stamp, of one moment."""
    row = rules_row()
    return (rules_from_fields(row.fields), row.stamp) if row else (BuildRules(), NO_ROW_STAMP)


@transaction.atomic
def save_build_rules(*, rules: BuildRules, by: str) -> BuildRulesRow:
    """Store the build rules: used from now on; papers already sent keep theirs."""
    row, made = BuildRulesRow.objects.select_for_update().get_or_create(pk=ONLY_ROW)
    row.fields = rules_fields(rules)
    row.updated_by = by
    if not made:
        row.version += 1
        row.stamp = new_stamp()
    row.save()
    return row


def rules_fields(rules: BuildRules) -> dict[str, Any]:
    """The rules as plain JSON values.

    Examples
    --------
    >>> rules_from_fields(rules_fields(BuildRules())) == BuildRules()
    True
    """
    groups = (rules.sizing, rules.lengths, rules.panel, rules.routes, rules.supply, rules.colours)
    return {name: value for group in groups for name, value in asdict(group).items()}


def rules_from_fields(stored: dict[str, Any]) -> BuildRules:
    """Rules from stored values; names no longer known are passed over, those missing take their default."""
    sizing = {f.name: stored[f.name] for f in fields(SizingRules) if f.name in stored}
    lengths = {f.name: stored[f.name] for f in fields(LengthRules) if f.name in stored}
    panel = {f.name: stored[f.name] for f in fields(PanelRules) if f.name in stored}
    routes = {f.name: stored[f.name] for f in fields(RouteRules) if f.name in stored}
    supply = {f.name: stored[f.name] for f in fields(SupplyRules) if f.name in stored}
    colours = {"colour_by": ColourBy(stored["colour_by"])} if "colour_by" in stored else {}
    if "route_by" in routes:
        routes["route_by"] = RouteBy(routes["route_by"])
    for name, read in (("series", Series), ("fuse_family", FuseFamily), ("ampacity_by", AmpacityBy), ("sizes", tuple)):
        if name in sizing:
            sizing[name] = read(sizing[name])
    return BuildRules(
        SizingRules(**sizing),
        LengthRules(**lengths),
        PanelRules(**panel),
        RouteRules(**routes),
        SupplyRules(**supply),
        ColourRules(**colours),
    )
