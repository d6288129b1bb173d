"""A price book is read whole or not at all, and comes back as it was written."""

from decimal import Decimal

import pytest
from hypothesis import given
from hypothesis import strategies as st

from circuits.errors import PlanError, UnreadableError
from circuits.fittings import Half
from estimating.pricing.book import PriceBook
from estimating.pricing.price_book_csv import (
    COLUMNS,
    MAX_BYTES,
    MAX_FAULTS,
    MAX_ROWS,
    example_price_book,
    read_price_book,
    write_price_book,
)
from estimating.pricing.quote import PriceItem
from estimating.takeoff.parts import PartKind, Unit
from estimating.takeoff.rules import TakeoffRules
from estimating.takeoff.tables import rows_of

HEAD = b"kind,spec,unit,cost,markup_percent,price,pack,supplier\n"


def found(book, kind, spec):
    item = book.find(kind, spec)
    assert item is not None
    return item


def faults(content):
    with pytest.raises(UnreadableError) as caught:
        read_price_book(content)
    return [(fault.row, fault.column, fault.value) for fault in caught.value.faults]


TEXTS = st.text(
    st.characters(
        codec="utf-8", exclude_categories=["Cc", "Cs", "Zl", "Zp", "Cf", "Co", "Cn", "Zs"], include_characters=" "
    ),
    max_size=30,
).map(str.strip)
ITEMS = st.lists(
    st.builds(
        PriceItem,
        kind=st.sampled_from([kind.value for kind in PartKind]),
        spec=st.one_of(TEXTS, st.sampled_from(["=1+1", "+x", "-x", "@x", "'quoted", "14 AWG *", "*"])).filter(
            lambda text: text == "*" or text.strip("* ")
        ),
        unit=st.sampled_from([unit.value for unit in Unit]),
        cost=st.decimals(0, 10**7, places=4),
        markup_percent=st.none() | st.decimals(0, 1000, places=2),
        price=st.none() | st.decimals(0, 10**7, places=4),
        pack=st.decimals("0.001", 10**6, places=3),
        supplier=TEXTS,
    ),
    max_size=10,
    unique_by=lambda item: (item.kind, item.spec),
)


@given(ITEMS)
def test_a_book_comes_back_as_it_was_written(items):
    assert read_price_book(write_price_book(items)) == tuple(items)


def test_no_cell_is_written_that_a_spreadsheet_would_run():
    item = PriceItem("clip", "=HYPERLINK(1)", "piece", Decimal(1), supplier="@shop")
    text = write_price_book([item]).decode("utf-8-sig")
    assert ",'=HYPERLINK(1)," in text
    assert text.rstrip().endswith(",'@shop")


def test_every_fault_is_named_with_its_place():
    content = HEAD + (
        b"wire,14 AWG *,m,cheap,,,,\nwires,16 AWG *,m,1,,,,\nwire,18 AWG *,mile,1,-5,1.23456,0,\nwire,,m,,,,,\n"
    )
    assert faults(content) == [
        (2, "cost", "cheap"),
        (3, "kind", "wires"),
        (4, "unit", "mile"),
        (4, "markup_percent", "-5"),
        (4, "price", "1.23456"),
        (4, "pack", "0"),
        (5, "spec", ""),
        (5, "cost", ""),
    ]


@pytest.mark.parametrize("cost", ["NaN", "Infinity", "1e5", "0x10", "1_000", "٣", "1,25", "--1", "123456789"])
def test_what_is_no_plain_number_is_refused(cost):
    assert faults(HEAD + f'wire,a,m,"{cost}",,,,\n'.encode()) == [(2, "cost", cost)]


def test_a_row_given_twice_is_a_fault():
    assert faults(HEAD + b"clip,a,piece,1,,,,\nclip,a,piece,2,,,,\n") == [(3, "spec", "a")]


def test_unknown_and_missing_columns_are_named():
    assert faults(b"kind,spec,cost,colour\n") == [(1, "colour", "colour"), (1, "unit", "")]


def test_a_column_given_twice_is_named():
    assert faults(b"kind,spec,unit,cost,cost\n") == [(1, "cost", "cost")]


def test_columns_may_stand_in_any_order_and_optional_ones_be_left_out():
    (item,) = read_price_book(b"cost,unit,spec,kind\n1.50,m,14 AWG *,Wire\n")
    assert item == PriceItem("wire", "14 AWG *", "m", Decimal("1.50"))


def test_blank_lines_are_passed_over():
    assert len(read_price_book(HEAD + b"\n,,,,,,,\nclip,a,piece,1,,,,\n")) == 1


def test_a_semicolon_file_may_have_decimal_commas():
    (item,) = read_price_book(b"kind;spec;unit;cost\nwire;14 AWG *;m;1,25\n")
    assert item.cost == Decimal("1.25")


def test_a_file_of_a_spreadsheet_in_windows_letters_is_read():
    (item,) = read_price_book("kind,spec,unit,cost,supplier\nclip,a,piece,1,Größe\n".encode("cp1252"))
    assert item.supplier == "Größe"


@pytest.mark.parametrize(
    "content",
    [b"", b"\x00\x01\x02", b"x" * (MAX_BYTES + 1), HEAD + b"clip,a,piece,1,,,,\n" * (MAX_ROWS + 1), b'kind,"spec\n'],
)
def test_a_file_that_is_no_book_is_refused_with_one_fault(content):
    assert len(faults(content)) == 1


def test_faults_stop_somewhere():
    content = HEAD + b"".join(b"wire,spec %d,m,cheap,,,,\n" % number for number in range(MAX_FAULTS * 2))
    assert len(faults(content)) == MAX_FAULTS


def test_a_row_longer_than_the_header_is_a_fault():
    assert faults(b"kind,spec,unit,cost\nclip,a,piece,1,5\n") == [(2, "", "5 cells")]


def test_an_exact_spec_wins_over_a_prefix_and_a_longer_prefix_over_a_shorter():
    def item(spec):
        return PriceItem("wire", spec, "m", Decimal(1))

    book = PriceBook([item("*"), item("14 AWG *"), item("14 AWG RD")])
    assert [found(book, "wire", spec).spec for spec in ("14 AWG RD", "14 AWG RD/BK", "16 AWG RD")] == [
        "14 AWG RD",
        "14 AWG *",
        "*",
    ]
    assert book.find("clip", "14 AWG RD") is None


def test_a_repair_length_sells_as_wire_where_the_book_has_no_row_of_its_own():
    book = PriceBook([PriceItem("wire", "14 AWG *", "m", Decimal(1))])
    assert found(book, PartKind.REPAIR_LENGTH, "14 AWG RD").spec == "14 AWG *"


def test_a_book_with_a_part_twice_is_refused():
    item = PriceItem("wire", "14 AWG *", "m", Decimal(1))
    with pytest.raises(PlanError, match="two rows"):
        PriceBook([item, item])


@pytest.mark.parametrize(
    "given",
    [
        {"cost": Decimal(-1)},
        {"pack": Decimal(0)},
        {"price": Decimal("NaN")},
        {"spec": " "},
        {"markup_percent": Decimal(-1)},
    ],
)
def test_an_item_that_makes_no_sense_is_refused(given):
    with pytest.raises(PlanError):
        PriceItem(**({"kind": "clip", "spec": "a", "unit": "piece", "cost": Decimal(1)} | given))


def test_the_columns_are_those_of_an_item():
    assert set(COLUMNS) == set(PriceItem.__dataclass_fields__)


def every_part_there_can_be():
    """Kind and spec of each part the tables of the take-off can lead to."""
    takeoff = "estimating.takeoff"
    ranges = [row["label"] for row in rows_of(takeoff, "wire_ranges.csv")]
    for row in rows_of("circuits.electrical", "conductors.csv"):
        for kind in (PartKind.WIRE, PartKind.REPAIR_LENGTH):
            yield kind, f"{row['label']} RD/BK", Unit.METRE
    for row in rows_of("circuits.electrical", "fuses.csv"):
        yield PartKind.FUSE, f"{row['family']} {float(row['rating_a']):g} A", Unit.PIECE
    for row in rows_of(takeoff, "fuse_mounts.csv"):
        for spec in [row["spec"]] if row["mount"] == "fuse holder" else [row["spec"], f"{row['spec']}, battery"]:
            yield PartKind(row["mount"]), spec, Unit.PIECE
    for row in rows_of(takeoff, "relays.csv"):
        for volts in ("12 V", "24 V"):
            yield PartKind.RELAY, f"{row['relay']} {volts} {float(row['rating_a']):g} A", Unit.PIECE
        yield PartKind.RELAY_SOCKET, row["socket"], Unit.PIECE
    for row in rows_of(takeoff, "terminals.csv"):
        for label in ranges:
            yield PartKind.TERMINAL, f"{row['terminal']}, {label}", Unit.PIECE
    for label in ranges:
        yield PartKind.SPLICE, label, Unit.PIECE
    for row in rows_of(takeoff, "heat_shrink.csv"):
        yield PartKind.HEAT_SHRINK, f"{row['supplied_mm']} mm", Unit.METRE
    for row in rows_of(takeoff, "clips.csv"):
        yield PartKind.CLIP, row["clip"], Unit.PIECE
    yield PartKind.CAVITY_PLUG, "sealed 2.8", Unit.PIECE
    for half in Half:
        yield PartKind.CONNECTOR, f"sealed 2.8, {half}, 6-way", Unit.PIECE
    for label in ranges:
        for half in (Half.PIN, Half.SOCKET):
            yield PartKind.TERMINAL, f"{half} contact of unknown series, {label}", Unit.PIECE
    yield PartKind.GROMMET, "32 mm opening", Unit.PIECE
    for covering in ("split loom", "braid", "sleeve"):
        yield PartKind.COVERING, f"{covering} 13 mm", Unit.METRE
    yield PartKind.TAPE, f"{TakeoffRules().tape_width_m * 1000:g} mm", Unit.METRE
    yield PartKind.LABEL, "wire label", Unit.PIECE
    yield PartKind.END_CAP, "sealed cap", Unit.PIECE


def test_the_example_book_has_a_price_for_every_part_there_can_be():
    book = example_price_book()
    parts = set(every_part_there_can_be())
    assert {kind for kind, _, _ in parts} == set(PartKind)
    missing = [
        (kind, spec) for kind, spec, unit in parts if (item := book.find(kind, spec)) is None or item.unit != unit
    ]
    assert not missing


def test_the_example_book_says_that_it_is_one():
    assert {item.supplier for item in example_price_book().items} == {"example: replace with your supplier's"}


def test_a_thicker_wire_of_a_series_never_costs_less_in_the_example_book():
    book = example_price_book()
    for series in ("AWG", "mm²"):
        rows = [row for row in rows_of("circuits.electrical", "conductors.csv") if row["series"] == series]
        rows.sort(key=lambda row: float(row["area_mm2"]))
        costs = [found(book, "wire", f"{row['label']} RD").cost for row in rows]
        assert costs == sorted(costs)
