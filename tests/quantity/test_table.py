"""The CSV door: header, encoding and rows are checked before anything is used."""

from __future__ import annotations

import pytest

from tankside.errors import BadInput
from tankside.quantity.table import read_table


@pytest.mark.parametrize(
    ("data", "code"),
    [
        (b"", "E-CSV-01"),
        (b"kind,kind\ncount,1\n", "E-CSV-01"),
        (b"kind [C],kind\ncount,1\n", "E-CSV-01"),
        (b"kind,\ncount,1\n", "E-CSV-01"),
        (b"on,spots\n2026-03-04,1\n", "E-CSV-01"),
        (b"# decimal=comma\nkind;spots\n", "E-CSV-01"),
        (b"# decimal=dot\nkind,spots\n", "E-CSV-01"),
        (b"kind,spots\ncount,1,2\n", "E-CSV-02"),
        (b"kind,spots\ncount\n", "E-CSV-02"),
        (b'kind,spots\ncount,"1\n', "E-CSV-02"),
        ("kind,spots\n".encode("utf-16"), "E-CSV-03"),
        ("kind,spots\n".encode("utf-16-le"), "E-CSV-03"),
        (b"kind,spots\ncount,1\0\n", "E-CSV-03"),
        ("kind,fish\ncount,Łódź\n".encode() + "count,Łódź\n".encode("iso8859-2"), "E-CSV-03"),
        (b"kind,spots\n" + b"x" * 10_000_000, "E-CSV-03"),
    ],
)
def test_a_bad_file_is_refused_with_its_code(data: bytes, code: str) -> None:
    with pytest.raises(BadInput) as refused:
        read_table(data, needed=("kind",))
    assert refused.value.code == code


def test_an_unknown_column_is_refused_where_the_columns_are_fixed() -> None:
    with pytest.raises(BadInput, match="E-CSV-01"):
        read_table(b"kind,spotz\n", needed=("kind",), allowed=("spots",))


def test_a_row_of_another_length_is_named_by_its_line() -> None:
    with pytest.raises(BadInput, match="Line 4"):
        read_table(b"# decimal=point\nkind,spots\ncount,1\ncount\n")


@pytest.mark.parametrize("ending", ["\n", "\r\n"])
@pytest.mark.parametrize("mark", [b"", b"\xef\xbb\xbf"])
def test_byte_order_mark_and_either_line_ending_are_read(ending: str, mark: bytes) -> None:
    text = ending.join(["kind,fish,spots", 'count,"worst, loach",61', "count,李,", ""])
    table = read_table(mark + text.encode())
    assert table.columns == ("kind", "fish", "spots")
    assert table.rows[0].cells == (("kind", "count"), ("fish", "worst, loach"), ("spots", "61"))
    assert table.rows[1].cells == (("kind", "count"), ("fish", "李"))
    assert [row.line for row in table.rows] == [2, 3]


def test_semicolon_and_comma_are_used_only_when_declared() -> None:
    table = read_table(b"# decimal=comma separator=semicolon\nkind;x\ncount;1,5\n")
    assert table.comma_declared
    assert table.rows[0].cells == (("kind", "count"), ("x", "1,5"))
    assert not read_table(b"kind,x\n").comma_declared


def test_empty_lines_are_passed_over_and_too_many_rows_are_not() -> None:
    assert [row.line for row in read_table(b"kind\na\n\n,\nb\n".replace(b",", b" ")).rows] == [2, 5]
    with pytest.raises(BadInput, match="E-CSV-03"):
        read_table(b"k\n" + b"a\n" * 100_001)
