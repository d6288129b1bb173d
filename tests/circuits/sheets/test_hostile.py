"""Files made to do harm, or merely broken: each is refused with a clear fault, never with another error."""

from __future__ import annotations

import io
import random
import struct
import zipfile
from pathlib import Path
from typing import Any

import pytest

from circuits.errors import UnreadableError
from circuits.sheets import limits, load_starter, read_sheet, write_csv_zip, write_json, write_xlsx
from circuits.sheets.archive import open_zip, unpack
from tests.circuits.sheets.sheets_of import CIRCUITS_CSV, csv_zip, faults_of, rezipped, workbook

PLAN = load_starter("closed_car")
REAL = {"plan.xlsx": write_xlsx(PLAN), "plan.zip": write_csv_zip(PLAN), "plan.json": write_json(PLAN)}


def refused(source: tuple[str, bytes]) -> str:
    faults = faults_of(source)
    assert faults, "was read"
    return str(faults[0])


def keep(name: str, content: bytes) -> bytes:
    return content


class TestSizes:
    def test_a_large_file_is_not_even_opened(self) -> None:
        assert refused(("plan.zip", b"PK" + bytes(limits.MAX_FILE_BYTES))) == (
            "plan.zip: found '5.0 MB', expected a file of at most 5 MB"
        )

    def test_a_large_file_on_disk_is_not_read(self, tmp_path: Path) -> None:
        path = tmp_path / "plan.json"
        with path.open("wb") as file:
            file.truncate(limits.MAX_FILE_BYTES + 1)
        with pytest.raises(UnreadableError, match="at most 5 MB"):
            read_sheet(path)

    @pytest.mark.parametrize("name", ["circuits.csv", "[Content_Types].xml"])
    def test_a_zip_that_declares_too_much_is_refused_before_unpacking(self, name: str) -> None:
        source = csv_zip({name: bytes(limits.MAX_UNPACKED_BYTES + 1)})
        assert "bytes from" in refused(source) or "once unpacked" in refused(source)

    def test_many_parts_that_are_too_much_together_are_refused(self) -> None:
        noise = random.Random(1).randbytes(4_000)
        source = csv_zip({f"{number}.csv": noise * 250 for number in range(21)})
        assert len(source[1]) < limits.MAX_FILE_BYTES
        assert refused(source) == (
            f"plan.zip: found '21000000 bytes once unpacked', expected at most {limits.MAX_UNPACKED_BYTES}"
        )

    def test_a_part_that_swells_too_much_is_refused(self) -> None:
        source = csv_zip({"circuits.csv": b"a" * (3 * limits.MIN_RATIO_BYTES)})
        assert "expected an honest zip" in refused(source)

    def test_a_zip_whose_declared_size_lies_is_counted_while_unpacking(self) -> None:
        """The central directory says 10 bytes; the part holds 30 MB."""
        name, data = csv_zip({"circuits.csv": bytes(30 * 1024 * 1024)})
        at = data.index(b"PK\x01\x02")
        lying = data[: at + 24] + struct.pack("<I", 10) + data[at + 28 :]
        assert open_zip(lying, name).infolist()[0].file_size == 10
        assert faults_of((name, lying))
        with pytest.raises(UnreadableError):
            unpack(open_zip(lying, name), name)

    def test_a_zip_of_many_files_is_refused(self) -> None:
        assert "expected at most 200" in refused(csv_zip({f"{number}.csv": "" for number in range(201)}))

    def test_more_circuits_than_allowed_are_refused(self) -> None:
        header, row = CIRCUITS_CSV.splitlines()
        rows = [row.replace("horn", f"horn {number}", 1) for number in range(limits.MAX_CIRCUITS + 1)]
        fine = csv_zip({"circuits.csv": "\n".join([header, *rows[:-1]])})
        assert len(read_sheet(fine).circuits) == limits.MAX_CIRCUITS
        assert refused(csv_zip({"circuits.csv": "\n".join([header, *rows])})) == (
            "circuits, row 2002: found 'more rows', expected at most 2000 rows"
        )

    def test_more_runs_than_allowed_are_refused(self) -> None:
        runs = "from,to,length\n" + "".join(f"a,p{number},1\n" for number in range(limits.MAX_RUNS + 1))
        assert "expected at most 5000 rows" in refused(csv_zip({"circuits.csv": CIRCUITS_CSV, "runs.csv": runs}))

    def test_more_columns_than_allowed_are_refused(self) -> None:
        header, row = CIRCUITS_CSV.splitlines()
        wide = csv_zip({"circuits.csv": f"{header}{',' * 200}x\n{row}\n"})
        assert refused(wide) == "circuits, row 1: found 'more columns', expected at most 100 columns"
        cells = [*header.split(","), *[None] * 200, "x"]
        assert refused(workbook({"circuits": [cells]})) == refused(wide)

    def test_a_workbook_with_too_many_tags_is_refused(self) -> None:
        tags = "".join(f"<c{number % 977}/>" for number in range(limits.MAX_XML_TAGS)).encode()
        swollen = rezipped(REAL["plan.xlsx"], lambda name, content: content + tags if "sheet4" in name else content)
        assert refused(("plan.xlsx", swollen)) == (
            "plan.xlsx: found 'a workbook with too much in it', expected at most 1000000 tags"
        )

    def test_a_long_cell_is_refused(self) -> None:
        assert refused(csv_zip({"circuits.csv": CIRCUITS_CSV.replace("front", "f" * 501)})) == (
            f"circuits, row 2, section: found '{'f' * 80}…', expected at most 500 characters, not 501"
        )

    def test_a_column_of_blank_lines_costs_no_memory_to_speak_of(self) -> None:
        source = csv_zip({"circuits.csv": CIRCUITS_CSV + "\n" * 200_000})
        assert len(read_sheet(source).circuits) == 1


class TestNames:
    @pytest.mark.parametrize(
        "name", ["car/circuits.csv", "../circuits.csv", "/circuits.csv", "C:circuits.csv", "..\\circuits.csv"]
    )
    def test_a_part_outside_the_top_of_the_zip_is_refused(self, name: str) -> None:
        assert "expected the CSV files at the top of the zip, in no folder" in refused(csv_zip({name: CIRCUITS_CSV}))

    def test_nothing_of_a_zip_is_written_to_disk(self, tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
        monkeypatch.chdir(tmp_path)
        faults_of(csv_zip({"../circuits.csv": CIRCUITS_CSV}))
        assert list(tmp_path.iterdir()) == []

    def test_two_files_of_one_name_are_refused(self) -> None:
        file = io.BytesIO()
        with zipfile.ZipFile(file, "w") as archive:
            archive.writestr("circuits.csv", CIRCUITS_CSV)
            with pytest.warns(UserWarning, match="Duplicate name"):
                archive.writestr("circuits.csv", CIRCUITS_CSV)
        assert "expected each file once" in refused(("plan.zip", file.getvalue()))

    def test_what_file_managers_add_is_passed_over(self) -> None:
        litter: dict[str, str | bytes] = {"__MACOSX/._circuits.csv": b"\0\1", ".DS_Store": b"\0", "Thumbs.db": b"\0"}
        assert len(read_sheet(csv_zip(litter | {"circuits.csv": CIRCUITS_CSV})).circuits) == 1

    def test_a_strange_file_in_a_zip_is_named(self) -> None:
        assert "readme.txt" in refused(csv_zip({"circuits.csv": CIRCUITS_CSV, "readme.txt": "x"}))

    def test_a_locked_zip_is_refused(self) -> None:
        name, data = csv_zip({"circuits.csv": CIRCUITS_CSV})
        at = data.index(b"PK\x01\x02") + 8
        locked = data[:at] + struct.pack("<H", 1) + data[at + 2 :]
        assert "expected a file without password" in refused((name, locked))


ENTITIES = (
    b'<?xml version="1.0"?><!DOCTYPE lolz [<!ENTITY lol "lol">'
    + b"".join(
        b'<!ENTITY lol%d "%s">' % (n, b"&lol%d;" % (n - 1) * 10 if n > 1 else b"&lol;" * 10) for n in range(1, 9)
    )
    + b"]><worksheet>&lol8;</worksheet>"
)
OUTSIDE = b'<?xml version="1.0"?><!DOCTYPE x [<!ENTITY f SYSTEM "file:///etc/passwd">]><worksheet>&f;</worksheet>'


class TestWorkbooks:
    @pytest.mark.parametrize("bomb", [ENTITIES, OUTSIDE, ENTITIES.decode().encode("utf-16")])
    @pytest.mark.parametrize(
        "part", ["xl/worksheets/sheet1.xml", "xl/workbook.xml", "xl/styles.xml", "[Content_Types].xml"]
    )
    def test_entities_are_refused(self, part: str, bomb: bytes) -> None:
        data = rezipped(REAL["plan.xlsx"], lambda name, content: bomb if name == part else content)
        assert refused(("plan.xlsx", data)).startswith("plan.xlsx: found ")

    def test_entities_in_a_part_of_another_name_are_refused_by_the_reader(self) -> None:
        """A relation may call any part a sheet; the XML reader refuses entities itself."""

        def moved(name: str, content: bytes) -> bytes:
            return content.replace(b"worksheets/sheet4.xml", b"worksheets/sheet4.dat")

        data = rezipped(REAL["plan.xlsx"], moved, {"xl/worksheets/sheet4.dat": ENTITIES})
        assert "that cannot be read" in refused(("plan.xlsx", data))

    def test_macros_and_links_are_passed_over(self) -> None:
        more = {"xl/vbaProject.bin": b"\xd0\xcf\x11\xe0", "xl/externalLinks/externalLink1.xml": b"<externalLink/>"}
        assert read_sheet(("plan.xlsm", rezipped(REAL["plan.xlsx"], keep, more))) == PLAN

    def test_the_size_a_sheet_claims_is_not_believed(self) -> None:
        def claims(name: str, content: bytes) -> bytes:
            return content.replace(b"<sheetData>", b'<dimension ref="A1:XFD1048576"/><sheetData>')

        assert read_sheet(("plan.xlsx", rezipped(REAL["plan.xlsx"], claims))) == PLAN

    def test_one_part_shown_as_many_sheets_is_refused(self) -> None:
        def shared(name: str, content: bytes) -> bytes:
            return content.replace(b"worksheets/sheet3.xml", b"worksheets/sheet4.xml")

        assert "that cannot be read" in refused(("plan.xlsx", rezipped(REAL["plan.xlsx"], shared)))

    def test_a_formula_counts_by_its_stored_result(self) -> None:
        def stored(name: str, content: bytes) -> bytes:
            figure = f"{PLAN.circuits[0].load_a:g}"
            old, new = f'<c r="K2" t="n"><v>{figure}</v></c>', f'<c r="K2"><f>{figure}+0</f><v>{figure}</v></c>'
            return content.replace(old.encode(), new.encode())

        data = rezipped(REAL["plan.xlsx"], stored)
        assert data != rezipped(REAL["plan.xlsx"], keep)
        assert read_sheet(("plan.xlsx", data)) == PLAN

    def test_a_formula_without_a_result_is_named(self) -> None:
        rows: list[list[Any]] = [
            ["circuit", "section", "feed", "fed_at", "load", "load_at", "load_a", "kind", "fuse_a"]
        ]
        rows.append(["horn", "front", "battery", "panel", "horn", "wing", "5", "motor", "=5*2"])
        assert refused(workbook({"circuits": rows})) == (
            "circuits, row 2, I: found 'a formula without result', "
            "expected a value, or a workbook saved by a program that works its formulas out"
        )

    def test_a_failed_formula_is_named(self) -> None:
        rows: list[list[Any]] = [["zone", "ambient_c"], ["#REF!", 40]]
        assert refused(workbook({"zones": rows, "circuits": []})) == (
            "zones, row 2, A: found '#REF!', expected a value, not a failed formula"
        )

    @pytest.mark.parametrize("data", [b"\xd0\xcf\x11\xe0\xa1\xb1\x1a\xe1" + bytes(600)])
    def test_an_old_or_locked_workbook_is_named(self, data: bytes) -> None:
        assert refused(("plan.xls", data)) == (
            "plan.xls: found 'an old or locked workbook', expected a workbook saved as .xlsx without a password"
        )


class TestJson:
    @pytest.mark.parametrize(
        ("data", "found"),
        [
            (b"[" * 100_000, "lists nested too deep"),
            (b'{"circuits":' * 50_000, "lists nested too deep"),
            (b"{", "JSON that cannot be read"),
            (b"[]", "JSON of another shape"),
            (b'{"circuits": [{"load_a": NaN}]}', "NaN is no number"),
            (b'{"circuits": [{"load_a": -Infinity}]}', "-Infinity is no number"),
            (b'{"circuits": {"horn": 1}}', "an object"),
            (b'{"circuits": [1]}', "'1'"),
            (b'{"circuits": [[]]}', "a list"),
            (b'{"circuits": 1e9999}', "'1e9999'"),
            (b"{" + b",".join(b'"k%d":1' % n for n in range(9999)) + b"}", "an object with 9999 keys"),
            (b'{"\\ud800": []}', "?"),
        ],
    )
    def test_json_of_another_shape_is_refused(self, data: bytes, found: str) -> None:
        assert found in refused(("plan.json", data))

    def test_a_long_number_is_refused_like_any_figure(self) -> None:
        data = b'{"circuits": [{"circuit": "a", "load_a": ' + b"9" * 5000 + b"}]}"
        assert any(fault.column == "load_a" for fault in faults_of(("plan.json", data)))


class TestText:
    @pytest.mark.parametrize("encoding", ["utf-8", "utf-8-sig", "utf-16", "cp1252"])
    @pytest.mark.parametrize("delimiter", [",", ";", "\t"])
    @pytest.mark.parametrize("ending", ["\n", "\r\n", "\r"])
    def test_every_usual_encoding_delimiter_and_line_end_is_read(
        self, encoding: str, delimiter: str, ending: str
    ) -> None:
        text = CIRCUITS_CSV.replace("left wing", "Kühler ½ Ø 5°").replace(",", delimiter).replace("\n", ending)
        plan = read_sheet(csv_zip({"circuits.csv": text.encode(encoding)}))
        assert plan.circuits[0].load_at == ("Kühler ½ Ø 5°",)

    def test_a_decimal_comma_between_semicolons_is_read(self) -> None:
        text = CIRCUITS_CSV.replace(",", ";").replace(";5;", ";2,5;")
        assert read_sheet(csv_zip({"circuits.csv": text})).circuits[0].load_a == 2.5

    @pytest.mark.parametrize("data", [b"\x81\x8d\x8f", b"circuit\0section", b"\xff\xfe\x00"])
    def test_bytes_that_are_no_text_are_refused(self, data: bytes) -> None:
        assert "expected a CSV file in UTF-8, UTF-16 or Windows-1252" in refused(csv_zip({"circuits.csv": data}))

    @pytest.mark.parametrize("text", ['circuit\n"open', 'circuit\n"a"b\n'])
    def test_broken_quoting_is_refused_with_its_row(self, text: str) -> None:
        assert "broken quoting after row 1" in refused(csv_zip({"circuits.csv": text}))

    def test_every_broken_file_of_a_zip_is_named(self) -> None:
        faults = faults_of(
            csv_zip({"circuits.csv": 'circuit\n"open', "runs.csv": b"\x81\x8d", "zones.csv": "zone,x\n"})
        )
        assert {fault.sheet for fault in faults} == {"circuits.csv", "runs.csv", "zones"}


class TestKinds:
    @pytest.mark.parametrize(
        ("name", "data", "expected"),
        [
            ("plan.xlsx", b"", "found 'an empty file'"),
            ("plan.json", b" \n", "found 'an empty file'"),
            ("plan.csv", CIRCUITS_CSV.encode(), "the four CSV files vehicle, zones, runs and circuits in one zip"),
            ("plan.pdf", b"%PDF-1.7", "found 'a file of another kind'"),
            ("plan.xlsx", b"PK\x03\x04", "a zip that cannot be opened"),
        ],
    )
    def test_other_files_are_refused(self, name: str, data: bytes, expected: str) -> None:
        assert expected in refused((name, data))

    @pytest.mark.parametrize("name", REAL)
    def test_the_content_tells_the_format_whatever_the_name(self, name: str) -> None:
        assert read_sheet(("upload", REAL[name])) == PLAN

    def test_a_missing_file_is_refused(self, tmp_path: Path) -> None:
        with pytest.raises(UnreadableError, match="No such file"):
            read_sheet(tmp_path / "none.xlsx")

    def test_an_empty_folder_is_refused(self, tmp_path: Path) -> None:
        with pytest.raises(UnreadableError, match="a sheet named circuits"):
            read_sheet(tmp_path)
