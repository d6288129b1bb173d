"""Blocks pasted out of a spreadsheet program."""

from __future__ import annotations

from circuits.sheets import parse_block

ORDER = ["circuit", "section", "feed"]


def test_cells_go_to_the_columns_from_the_one_pasted_into() -> None:
    assert parse_block("tail\trear\nhorn\tfront\n", ORDER).rows == (
        {"circuit": "tail", "section": "rear"},
        {"circuit": "horn", "section": "front"},
    )


def test_a_header_row_goes_before_the_order_on_screen() -> None:
    block = parse_block("Section\tCircuit\r\nrear\ttail\r\n", ORDER)
    assert block.rows == ({"section": "rear", "circuit": "tail"},)


def test_one_name_alone_may_be_a_value() -> None:
    assert parse_block("load\n", ["circuit"]).rows == ({"circuit": "load"},)


def test_an_unknown_name_in_a_header_row_is_named_with_each_cell() -> None:
    block = parse_block("circuit\tsection\tcolur\ntail\trear\tRD\nhorn\tfront\t\n", ORDER)
    assert [str(fault) for fault in block.faults] == [
        "circuits, row 2, colur: found 'RD', expected a known column; did you mean colour?"
    ]
    assert block.rows[0] == {"circuit": "tail", "section": "rear"}


def test_a_quoted_cell_keeps_its_lines_and_tabs() -> None:
    text = 'horn\t"one ""two""\nthree\tfour"\tbattery\n'
    assert parse_block(text, ["circuit", "notes", "feed"]).rows == (
        {"circuit": "horn", "notes": 'one "two"\nthree\tfour', "feed": "battery"},
    )


def test_quotes_that_do_not_pair_stand_for_themselves() -> None:
    assert parse_block('"tall\trear\nhorn\tfront', ORDER).rows == (
        {"circuit": '"tall', "section": "rear"},
        {"circuit": "horn", "section": "front"},
    )


def test_blank_cells_and_rows_between_keep_their_place() -> None:
    assert parse_block("a\t\tbattery\n\nb\n", ORDER).rows == (
        {"circuit": "a", "section": "", "feed": "battery"},
        {},
        {"circuit": "b"},
    )


def test_a_cell_that_cannot_be_read_is_named_and_kept() -> None:
    block = parse_block("a\t5 ft\nb\t5\n", ["circuit", "load_a"])
    assert [str(fault) for fault in block.faults] == [
        "circuits, row 1, load_a: found '5 ft', expected a current such as 5 or 380 mA"
    ]
    assert block.rows[0]["load_a"] == "5 ft"


def test_cells_past_the_last_column_are_named() -> None:
    block = parse_block("a\tb\tc\td", ORDER)
    assert [str(fault) for fault in block.faults] == ["circuits, row 1: found 'd', expected nothing: no column is left"]


def test_what_we_guarded_on_export_is_taken_back() -> None:
    assert parse_block("'=1+1\t'-x", ORDER).rows == ({"circuit": "=1+1", "section": "-x"},)


def test_runs_and_zones_are_pasted_alike() -> None:
    assert parse_block("from\tto\tlength\na\tb\t6 ft", [], "runs").rows == ({"from": "a", "to": "b", "length": "6 ft"},)


def test_more_rows_than_a_plan_may_have_are_named() -> None:
    block = parse_block("x\n" * 2001, ORDER)
    assert len(block.rows) == 2000
    assert [str(fault) for fault in block.faults] == [
        "circuits, row 2001: found '2001 rows', expected at most 2000 rows"
    ]


def test_nothing_pasted_is_nothing() -> None:
    assert parse_block("", ORDER).rows == ()
