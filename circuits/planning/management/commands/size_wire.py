"""One wire in ten seconds: load and length in; size, fuse and the reasons out. Needs no database.

Exit status: 0 sized; 1 sized, but a finding of severity error must be cured; 2 input that cannot be read.
"""

from __future__ import annotations

import argparse
from collections.abc import Callable, Iterator
from typing import Any

from django.core.management.base import CommandParser

from circuits.electrical.basis import bases
from circuits.electrical.single import SingleLoad, SingleResult, size_single
from circuits.errors import QuantityError
from circuits.figures import format_current, format_percent, format_temperature, format_voltage
from circuits.findings import Severity
from circuits.plan import Duty, FuseFamily, Return
from circuits.planning.scripts import SERIES, ScriptCommand, caution_lines
from circuits.rules import INSULATION_CLASSES_C, BuildRules, SizingRules
from circuits.sheets.limits import MAX_LENGTH_M
from circuits.units import (
    parse_current_a,
    parse_length_m,
    parse_percent,
    parse_power_w,
    parse_temperature_c,
    parse_voltage_v,
)
from circuits.wire_sizes import parse_size

USUAL = SizingRules()


def _quantity(parse: Callable[[str], Any]) -> Callable[[str], Any]:
    """A parser of ours as argparse wants one: its message names value and expectation."""

    def read(text: str) -> Any:
        try:
            return parse(text)
        except QuantityError as error:
            raise argparse.ArgumentTypeError(str(error)) from None

    return read


def _length_m(text: str) -> float:
    length_m = parse_length_m(text)
    if not 0 < length_m <= MAX_LENGTH_M:
        raise QuantityError(f"found {text!r}, expected a length above 0 and at most {MAX_LENGTH_M:g} m")
    return length_m


def _load(text: str) -> dict[str, float]:
    """Current, or power where the unit says so.

    Examples
    --------
    >>> _load("8A"), _load("55 W")
    ({'load_a': 8.0}, {'load_w': 55.0})
    """
    try:
        return {"load_a": parse_current_a(text)}
    except QuantityError:
        try:
            return {"load_w": parse_power_w(text)}
        except QuantityError:
            raise QuantityError(f"found {text!r}, expected a current such as 8A or a power such as 55W") from None


class Command(ScriptCommand):
    """``manage.py size_wire --load 8A --length 4m``."""

    help = "Sizes one wire and its fuse."

    def add_arguments(self, parser: CommandParser) -> None:
        parser.usage = "manage.py size_wire --load LOAD --length LENGTH [options]"
        add = parser.add_argument
        add("--load", required=True, type=_quantity(_load), help="current or power: 8A, 55W")
        add("--length", required=True, type=_quantity(_length_m), help="one way: 4m, 13 ft")
        add("--ambient", default=40.0, type=_quantity(parse_temperature_c), help="hottest place: 85, 185 F (usual 40)")
        add("--bundle", default=1, type=int, help="loaded wires together, itself included (usual 1)")
        add("--drop", default=5.0, type=_quantity(parse_percent), help="most drop out and back, %% (usual 5)")
        add("--voltage", default=12.0, type=_quantity(parse_voltage_v), help="12 or 24 (usual 12)")
        add("--intermittent", action="store_true", help="never on for more than 10 minutes")
        add("--wired-return", action="store_true", help="comes back by wire, not by the chassis")
        add("--family", choices=[family.value for family in FuseFamily], help="fuse family")
        add("--fuse", type=_quantity(parse_current_a), help="forced rating: checked, not chosen")
        add("--size", type=_quantity(parse_size), help="forced size: 14AWG, 2.5mm2")
        add("--series", choices=SERIES, default="awg", help="wire sizes in stock")
        add("--insulation", choices=INSULATION_CLASSES_C, default=USUAL.insulation_class_c, type=int, help="class, °C")

    def work(self, options: dict[str, Any]) -> SingleResult:
        """The wire, sized."""
        sizing = SizingRules(series=SERIES[options["series"]], insulation_class_c=options["insulation"])
        return size_single(_single(options), BuildRules(sizing=sizing))

    def tell(self, found: SingleResult) -> Iterator[str]:
        """Size, fuse, reasons and basis."""
        return _lines(found)

    def must_be_cured(self, found: SingleResult) -> bool:
        """True where the wire will not do as it was asked for."""
        return _has_errors(found)


def _single(options: dict[str, Any]) -> SingleLoad:
    return SingleLoad(
        **options["load"],
        length_m=options["length"],
        ambient_c=options["ambient"],
        bundle=options["bundle"],
        max_drop_percent=options["drop"],
        system_v=options["voltage"],
        duty=Duty.INTERMITTENT if options["intermittent"] else Duty.CONTINUOUS,
        return_by=Return.WIRED if options["wired_return"] else Return.CHASSIS,
        fuse_family=FuseFamily(options["family"]) if options["family"] else None,
        fuse_a=options["fuse"],
        size=options["size"] or "",
    )


def _has_errors(result: SingleResult) -> bool:
    return any(finding.severity is Severity.ERROR for finding in result.findings)


def _lines(result: SingleResult) -> Iterator[str]:
    circuit, wire, fuse = result.circuit, result.wire, result.fuse
    yield f"Size  {wire.conductor.label}" + (", which will not do: see the errors" if _has_errors(result) else "")
    yield f"Fuse  {f'{fuse.rating_a:g} A {fuse.family}' if fuse else 'none'}"
    yield f"Why   {result.why}"
    yield (
        f"Load  {format_current(circuit.current_a)}; drop {format_voltage(circuit.drop_v)}, "
        f"{format_percent(circuit.drop_percent)} out and back; conductor at {format_temperature(wire.conductor_c)}"
    )
    for finding in result.findings:
        yield f"{finding.severity}: {finding.message}" + (f" Cure: {finding.cure}" if finding.cure else "")
    yield "Basis"
    for source in dict.fromkeys(trial.source for trial in wire.tried):
        yield f"  {source}"
    for basis in bases():
        yield f"  {basis.figure}: {basis.basis} ({basis.source})"
    yield from caution_lines()
