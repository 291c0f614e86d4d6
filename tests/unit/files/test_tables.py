"""Tables of any origin: read with limits, refused in a sentence, written without formulas."""

from __future__ import annotations

import csv
import io
import zipfile
from datetime import UTC, date, datetime, time, timedelta
from typing import TYPE_CHECKING, Any

import pytest
from hypothesis import given
from hypothesis import strategies as st
from openpyxl import Workbook, load_workbook

from comity.files.tables import (
    MOST_BYTES,
    MOST_CHARACTERS,
    MOST_COLUMNS,
    MOST_ROWS,
    media_type_of,
    read_table,
    with_guard,
    without_guard,
    write_table,
)
from comity.files.workbooks import TableError, TableProblem

if TYPE_CHECKING:
    from collections.abc import Callable, Sequence

    from comity.files.tables import Format

HEADINGS = ("reference", "name")
# OWASP, CSV Injection (https://owasp.org/www-community/attacks/CSV_Injection): cells that begin
# with one of these, the full-width forms among them, are taken for formulas.
RISKY = ("=", "+", "-", "@", "\t", "\r", "\n", "\uff1d", "\uff0b", "\uff0d", "\uff20")


def workbook(*rows: Sequence[Any], change: Callable[[Any], None] = lambda _sheet: None) -> bytes:
    book = Workbook()
    sheet: Any = book.active
    for row in rows:
        sheet.append(list(row))
    change(sheet)
    stream = io.BytesIO()
    book.save(stream)
    return stream.getvalue()


def refusal(data: bytes) -> TableProblem:
    with pytest.raises(TableError) as caught:
        read_table(data)
    return caught.value.problem


def archive(**parts: bytes) -> bytes:
    stream = io.BytesIO()
    with zipfile.ZipFile(stream, "w", zipfile.ZIP_DEFLATED) as file:
        for name, content in parts.items():
            file.writestr(name.replace("__", "/"), content)
    return stream.getvalue()


def with_part(data: bytes, name: str, content: bytes) -> bytes:
    """Return a workbook in which one part is another one, or is added."""
    stream = io.BytesIO()
    with (
        zipfile.ZipFile(io.BytesIO(data)) as old,
        zipfile.ZipFile(stream, "w", zipfile.ZIP_DEFLATED) as new,
    ):
        for each in old.namelist():
            if each != name:
                new.writestr(each, old.read(each))
        new.writestr(name, content)
    return stream.getvalue()


# ------------------------------------------------------------------------------------------- CSV


@pytest.mark.parametrize("sign", [",", ";", "\t"])
@pytest.mark.parametrize("mark", [b"", b"\xef\xbb\xbf"])
@pytest.mark.parametrize("end", ["\n", "\r\n"])
def test_csv_is_read_with_any_separator_mark_and_line_end(sign: str, mark: bytes, end: str) -> None:
    text = end.join((f"reference{sign}name", f"a-1{sign}Lü Adebayo", ""))
    table = read_table(mark + text.encode("utf-8"))
    assert table.headings == HEADINGS
    assert [(row.number, row.cells) for row in table.rows] == [(2, ("a-1", "Lü Adebayo"))]


def test_a_separator_inside_quotation_marks_does_not_count() -> None:
    table = read_table(b'"reference, of ours, here";name\na-1;"Lu; Li"\n')
    assert table.headings == ("reference, of ours, here", "name")
    assert table.rows[0].cells == ("a-1", "Lu; Li")


def test_rows_are_numbered_as_a_spreadsheet_shows_them() -> None:
    table = read_table(b'reference,name\n"a-1","two\nlines"\n\n,,\na-2,Li\n')
    assert [(row.number, row.cells[0]) for row in table.rows] == [(2, "a-1"), (5, "a-2")]


def test_short_rows_are_filled_up_and_blanks_taken_off() -> None:
    table = read_table(b"reference , name,\na-1\n a-2 , Li ,\n")
    assert table.headings == HEADINGS
    assert [row.cells for row in table.rows] == [("a-1", ""), ("a-2", "Li")]


def test_a_cell_without_a_heading_is_told() -> None:
    assert read_table(b"reference\na-1,stray\n").problems == (
        TableProblem(
            "a cell stands in a column without a heading",
            row=2,
            got="stray",
            hint="name the column, or empty the cell",
        ),
    )


def test_a_cell_that_holds_a_whole_letter_is_told() -> None:
    long = "x" * (MOST_CHARACTERS + 1)
    assert read_table(f"reference,name\na-1,{long}\n".encode()).problems == (
        TableProblem(
            "a cell holds more than belongs into one",
            row=2,
            column="name",
            got="2001 characters",
            expected="at most 2000",
        ),
    )


@pytest.mark.parametrize(
    ("data", "got"),
    [
        ("reference,name\na-1,Lü\n".encode("latin-1"), "the byte FC"),
        ("reference,name\na-1,Lu\n".encode("utf-16"), "what looks like UTF-16"),
    ],
    ids=["latin-1", "utf-16"],
)
def test_another_encoding_is_refused_with_the_way_out(data: bytes, got: str) -> None:
    found = refusal(data)
    assert found.message == "the file is not written in UTF-8"
    assert found.got == got
    assert found.hint == "in a spreadsheet program: save as “CSV UTF-8”, or as XLSX"


def test_bytes_that_are_no_text_are_refused() -> None:
    found = refusal(b"reference,name\na-1,\x00\x01\n")
    assert found.message == "a character stands here that cannot be seen and must not be in a file"
    assert (found.row, found.got) == (2, "U+0000")


def test_a_field_beyond_the_readers_bound_is_refused() -> None:
    found = refusal(b'reference,name\na-1,"' + b"x" * 200_000 + b'"\n')
    assert found.message == "the file cannot be read as CSV"


@pytest.mark.parametrize("data", [b"", b"\xef\xbb\xbf", b"\n\n", b",,,\n ,\n"])
def test_an_empty_file_is_refused(data: bytes) -> None:
    assert refusal(data) == TableProblem(
        "the table is empty",
        expected="a row of headings, and a row for each applicant",
        hint="check that the table stands on the first sheet",
    )


# ---------------------------------------------------------------------------------------- limits


def test_a_file_too_large_is_refused_unread() -> None:
    found = refusal(b"x" * (MOST_BYTES + 1))
    assert (found.message, found.got, found.expected) == (
        "the file is too large",
        "5.0 MB",
        "at most 5 MB",
    )


def test_a_million_columns_are_refused() -> None:
    found = refusal(b"," * 1_000_000 + b"x\n")
    assert (found.message, found.got) == ("the table has too many columns", "more than 400")
    assert refusal(b"reference\n" + b"," * 1_000_000 + b"x\n") == found


def test_rows_up_to_the_bound_are_read_and_one_more_is_refused() -> None:
    head = b"reference\n"
    rows = b"".join(b"a-%d\n" % number for number in range(MOST_ROWS))
    assert len(read_table(head + rows).rows) == MOST_ROWS
    assert refusal(head + rows + b"b-1\n").message == "the table has too many rows"


def test_too_many_cells_are_refused() -> None:
    line = b",".join([b"x"] * MOST_COLUMNS) + b"\n"
    assert refusal(line * 502).message == "the table has too many cells"


def test_a_workbooks_limits_are_the_same() -> None:
    rows = [("reference",), *((f"a-{number}",) for number in range(MOST_ROWS + 1))]
    assert refusal(workbook(*rows)).message == "the table has too many rows"
    wide = workbook(["reference", *("x" for _ in range(MOST_COLUMNS))])
    assert refusal(wide).message == "the table has too many columns"


def test_a_cell_in_the_last_corner_of_a_sheet_is_soon_left_alone() -> None:
    def far_off(sheet: Any) -> None:  # noqa: ANN401 - openpyxl has no types
        sheet.cell(1_048_576, 16_384).value = "far off"

    table = read_table(workbook(HEADINGS, ("a-1", "Lu"), change=far_off))
    assert [row.cells for row in table.rows] == [("a-1", "Lu")]


# ------------------------------------------------------------------------------------- workbooks


def test_cells_of_a_workbook_read_as_people_would_type_them() -> None:
    values = (
        7,
        37.5,
        4.0,
        0.1,
        date(2019, 5, 3),
        datetime(2019, 5, 3, tzinfo=UTC).replace(tzinfo=None),
        True,
        None,
        "May 2019",
    )
    table = read_table(workbook([f"h{n}" for n in range(len(values))], values))
    assert table.rows[0].cells == (
        "7", "37.5", "4", "0.1", "2019-05-03", "2019-05-03", "yes", "", "May 2019",
    )  # fmt: skip


@pytest.mark.parametrize(
    ("shown_as", "read"),
    [
        ("dd/mm/yyyy", "2019-05-01"),
        ("mmm\\ yyyy", "2019-05"),
        ('"since "mm/yy', "2019-05"),
        ("[$-409]yyyy", "2019"),
    ],
)
def test_a_day_shown_as_a_month_or_a_year_stays_one(shown_as: str, read: str) -> None:
    def show(sheet: Any) -> None:  # noqa: ANN401 - openpyxl has no types
        sheet["A2"].number_format = shown_as

    assert read_table(workbook(("born",), (date(2019, 5, 1),), change=show)).rows[0].cells == (
        read,
    )


def test_hours_kept_as_a_time_read_as_hours() -> None:
    book = workbook(("one", "two"), (time(7, 30), timedelta(hours=37, minutes=30)))
    assert read_table(book).rows[0].cells == ("7:30", "37:30")


def test_a_formula_counts_as_the_value_saved_with_it() -> None:
    never_worked_out = workbook(("reference", "name"), ("a-1", '=HYPERLINK("http://x.example")'))
    assert read_table(never_worked_out).rows[0].cells == ("a-1", "")


def test_a_cell_that_shows_an_error_is_told() -> None:
    def break_it(sheet: Any) -> None:  # noqa: ANN401 - openpyxl has no types
        sheet["B2"].value = "#REF!"
        sheet["B2"].data_type = "e"

    book = workbook(HEADINGS, ("a-1", "x"), change=break_it)
    assert read_table(book).problems == (
        TableProblem(
            "the cell shows an error instead of a value",
            row=2,
            column="name",
            got="#REF!",
            hint="type the value itself",
        ),
    )


def test_macros_and_links_to_other_files_are_left_alone() -> None:
    book = with_part(workbook(HEADINGS, ("a-1", "Lu")), "xl/vbaProject.bin", b"\x00macro")
    book = with_part(book, "xl/externalLinks/externalLink1.xml", b"<not even xml")
    assert read_table(book).rows[0].cells == ("a-1", "Lu")


def test_what_is_not_on_the_first_sheet_is_not_read() -> None:
    book = Workbook()
    book["Sheet"].append(HEADINGS)
    book.create_sheet("other").append(["secret"])
    stream = io.BytesIO()
    book.save(stream)
    table = read_table(stream.getvalue())
    assert (table.headings, table.rows) == (HEADINGS, ())


# -------------------------------------------------------------------------------- hostile files


@pytest.mark.parametrize(
    ("data", "got"),
    [
        (b"%PDF-1.7\n...", "a PDF"),
        (
            b"\xd0\xcf\x11\xe0\xa1\xb1\x1a\xe1" + b"\0" * 512,
            "an old workbook, or one with a password",
        ),
        (archive(), "an empty archive"),
        (archive(word__document=b"x"), "an archive of other files"),
    ],
    ids=["pdf", "xls", "empty-zip", "docx"],
)
def test_a_file_that_is_no_table_is_named(data: bytes, got: str) -> None:
    found = refusal(data)
    assert (found.message, found.got) == ("the file is no table", got)
    assert found.hint


def test_a_workbook_that_unpacks_to_gigabytes_is_refused_packed() -> None:
    bomb = with_part(workbook(HEADINGS), "xl/worksheets/sheet1.xml", b" " * 80_000_000)
    assert len(bomb) < 200_000
    found = refusal(bomb)
    assert found.message == "the workbook unpacks to more than a table of applicants would"
    assert found.got.startswith("80 MB")


def test_a_small_workbook_that_packs_a_thousandfold_is_refused() -> None:
    bomb = with_part(workbook(HEADINGS), "xl/sharedStrings.xml", b" " * 20_000_000)
    assert refusal(bomb).got.startswith("20 MB")


def test_thousands_of_parts_are_refused() -> None:
    parts = {f"xl__part{number}": b"" for number in range(2_100)}
    many = archive(**{"xl__workbook.xml": b"<workbook/>", **parts})
    assert "2101 parts" in refusal(many).got


def test_entities_that_multiply_are_refused() -> None:
    laughs = b'<!DOCTYPE x [<!ENTITY a "ha"><!ENTITY b "&a;&a;">]><worksheet>&b;</worksheet>'
    found = refusal(with_part(workbook(HEADINGS), "xl/worksheets/sheet1.xml", laughs))
    assert found.message == "the workbook cannot be read"


def test_a_damaged_workbook_is_refused() -> None:
    whole = workbook(HEADINGS, ("a-1", "Lu"))
    assert refusal(whole[: len(whole) // 2]).message == "the workbook is damaged"
    broken = with_part(whole, "xl/worksheets/sheet1.xml", b"<worksheet><sheetData><row")
    assert refusal(broken).message == "the workbook cannot be read"
    assert refusal(archive(**{"xl__workbook.xml": b"x"})).message == "the workbook cannot be read"


def test_a_workbook_without_a_sheet_is_refused() -> None:
    book = Workbook()
    book.remove(book["Sheet"])
    book.create_chartsheet("only a chart")
    stream = io.BytesIO()
    book.save(stream)
    assert refusal(stream.getvalue()).message == "the workbook cannot be read"


@given(st.binary(max_size=300))
def test_whatever_the_bytes_a_table_or_a_sentence_comes_back(data: bytes) -> None:
    for each in (data, b"PK\x03\x04" + data):
        try:
            said = read_table(each).headings
        except TableError as error:
            said = (error.problem.message,)
        assert any(said)


# ------------------------------------------------------------------------------------------- out


@pytest.mark.parametrize("sign", RISKY)
def test_no_cell_goes_out_that_begins_like_a_formula(sign: str) -> None:
    cell = f"{sign}cmd|' /C calc'!A1"
    text = write_table(HEADINGS, [("a-1", cell)], "csv").decode("utf-8-sig")
    assert next(csv.DictReader(io.StringIO(text, newline="")))["name"] == f"'{cell}"
    book = load_workbook(io.BytesIO(write_table(HEADINGS, [("a-1", cell)], "xlsx")))
    written = book["Applicants"]["B2"]
    assert written.data_type == "s"
    assert str(written.value).startswith("'")


@given(st.text(st.characters(codec="utf-8", exclude_categories=["Cc", "Cs"]), max_size=8))
def test_a_guarded_cell_reads_as_it_was(text: str) -> None:
    assert without_guard(with_guard(text)) == text
    assert without_guard(with_guard(f"'={text}")) == f"'={text}"


@pytest.mark.parametrize("form", ["csv", "xlsx"])
def test_what_was_written_reads_as_it_was(form: Format) -> None:
    rows = [("a-1", "Lü, “the” 'first'"), ("a-2", "=1+1"), ("a-3", "'=1+1"), ("a-4", "مريم")]
    table = read_table(write_table(HEADINGS, rows, form))
    assert table.headings == HEADINGS
    assert [row.cells for row in table.rows] == rows
    assert media_type_of(form)


def test_csv_bears_the_mark_by_which_spreadsheets_know_utf_8() -> None:
    assert write_table(HEADINGS, (), "csv") == b"\xef\xbb\xbfreference,name\r\n"
