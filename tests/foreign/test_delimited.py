"""CSV and its like: the delimiter told by the rows, quotes by RFC 4180, encodings, lines as an editor counts them."""

from __future__ import annotations

import hashlib
import time
from pathlib import Path

import pytest

from stillroom.errors import BadInput
from stillroom.foreign.forms import LARGEST, read, read_text
from tests.foreign.grids import lines, own, texts, told


@pytest.mark.parametrize(
    ("text", "rows"),
    [  # RFC 4180, section 2, rules 1 to 7
        ("aaa,bbb,ccc\r\nzzz,yyy,xxx\r\n", [["aaa", "bbb", "ccc"], ["zzz", "yyy", "xxx"]]),
        ("aaa,bbb,ccc\r\nzzz,yyy,xxx", [["aaa", "bbb", "ccc"], ["zzz", "yyy", "xxx"]]),
        ('"aaa","bbb","ccc"\r\nzzz,yyy,xxx', [["aaa", "bbb", "ccc"], ["zzz", "yyy", "xxx"]]),
        ('"aaa","b\r\nbb","ccc"\r\nzzz,yyy,xxx', [["aaa", "b\nbb", "ccc"], ["zzz", "yyy", "xxx"]]),
        ('"aaa","b""bb","ccc"\r\nzzz,yyy,xxx', [["aaa", 'b"bb', "ccc"], ["zzz", "yyy", "xxx"]]),
        ('"aaa","b,bb","ccc"\r\nzzz,yyy,xxx', [["aaa", "b,bb", "ccc"], ["zzz", "yyy", "xxx"]]),
    ],
)
def test_the_examples_of_rfc_4180_are_read_as_it_says(text: str, rows: list[list[str]]) -> None:
    foreign = read_text(text, "a.csv")
    assert foreign.form == "csv" and texts(foreign.grids[0]) == rows


@pytest.mark.parametrize(
    ("text", "second"),
    [
        ("food;headspace;min\nPeas, green;0,5;40\nCorn;1,0;55", ["Peas, green", "0,5", "40"]),
        ("food;min\nPeas;0,5\nCorn;1,0", ["Peas", "0,5"]),
        ("food,min\nPeas,40\nCorn; whole,55", ["Peas", "40"]),
        ("food\tmin, pints\nPeas, green\t40", ["Peas, green", "40"]),
        ("food|min\nPeas, green|40", ["Peas, green", "40"]),
        (
            "A chart of peas, corn, beans, okra\nfood;min\nPeas, raw;40\nCorn;55\nOkra;25",
            ["food", "min", "", ""],
        ),
    ],
)
def test_the_delimiter_is_told_by_the_rows_and_decimal_commas_are_none(text: str, second: list[str]) -> None:
    row = texts(read_text(text, "a.csv").grids[0])[1]
    assert row == [cell for cell in second if cell or len(row) == len(second)]


def test_ragged_rows_are_padded_blank_ones_left_out_and_lines_counted_as_in_an_editor() -> None:
    foreign = read_text('Chart of roots\n\nfood,pints,quarts\n"Beets,\nwhole",30\n,,\nCarrots,25,30,see note,,\n', "a")
    assert texts(foreign.grids[0]) == [
        ["Chart of roots", "", "", ""],
        ["food", "pints", "quarts", ""],
        ["Beets,\nwhole", "30", "", ""],
        ["Carrots", "25", "30", "see note"],
    ]
    assert lines(foreign.grids[0]) == [1, 3, 4, 7]


@pytest.mark.parametrize("ends", ["\n", "\r\n", "\r"])
def test_lines_are_counted_whatever_ends_them(ends: str) -> None:
    assert lines(read_text(ends.join(["a,b", "", "1,2", '"x', 'y",3', "4,5"]), "a.csv").grids[0]) == [1, 3, 4, 6]


def test_a_quotation_mark_that_is_never_closed_is_refused_where_it_is_opened() -> None:
    with pytest.raises(BadInput, match=r"^a\.csv:2: a quotation mark"):
        read_text('food,min\n"Peas,40\nCorn,55\n', "a.csv")
    assert texts(read_text('food,jar\nPeas,"large" jar\nCorn,1/2" left\n', "a.csv").grids[0]) == [
        ["food", "jar"], ["Peas", "large jar"], ["Corn", '1/2" left'],
    ]  # fmt: skip


@pytest.mark.parametrize("encoding", ["utf-8", "utf-8-sig", "utf-16", "utf-16-le", "utf-16-be", "utf-32", "cp1252"])
def test_each_encoding_is_told_and_signs_stay_as_they_are(encoding: str, tmp_path: Path) -> None:
    path = tmp_path / "a.csv"
    data = "food,headspace,°F\nJalapeños,½ in.,30\u201335\n".encode(encoding)
    path.write_bytes(data)
    foreign = read(path)
    assert texts(foreign.grids[0]) == [["food", "headspace", "°F"], ["Jalapeños", "½ in.", "30\u201335"]]
    assert foreign.name == "a.csv" and foreign.sha256 == hashlib.sha256(data).hexdigest()
    assert bool(foreign.said) == (encoding == "cp1252"), "what is guessed is told"


@pytest.mark.parametrize(
    ("data", "why"),
    [
        (b"food,min\nPeas\x81,40\n", ":2: letters in an encoding"),
        (b"\xef\xbb\xbffood,min\nPeas\xff,40\n", "does not go on so"),
        (b"food,min\nPe\0as,40\n", "is no text"),
        (b"", "is empty"),
        (b"just a line of words\n", "holds no table"),
        (b"%PDF-1.7\n", "a PDF is not read: copy the table as text"),
        (b"\xd0\xcf\x11\xe0\xa1\xb1\x1a\xe1more", "save the table as .xlsx or .csv"),
        (b"\x89PNG\r\n\x1a\n", "a picture is not read"),
        (b"{\\rtf1 a}", "an RTF document is not read"),
        (b'<?xml version="1.0"?><Workbook xmlns="x"/>', "a document in XML is not read"),
    ],
)
def test_what_cannot_be_read_for_certain_is_refused_in_one_line(data: bytes, why: str, tmp_path: Path) -> None:
    path = tmp_path / "a.csv"
    path.write_bytes(data)
    with pytest.raises(BadInput) as refused:
        read(path)
    assert why in str(refused.value) and "\n" not in str(refused.value)


def test_garbled_letters_are_told_and_good_ones_are_not(tmp_path: Path) -> None:
    garbled = "½ in.".encode().decode("cp1252")
    path = tmp_path / "a.csv"
    path.write_text(f"food,headspace\nPeas,{garbled}\n", encoding="utf-8")
    assert [said.line for said in read(path).said] == [2]
    path.write_text("food,headspace\nPeas,½ in.\nPâté,Ã\n", encoding="utf-8")
    assert read(path).said == ()


def test_white_space_is_folded_and_what_the_eye_cannot_see_is_no_figure() -> None:
    foreign = read_text("food\u00a0 name,min\n\u2009Peas\u202f,4\u200b0\n\u202e54,\ud8003\n1\x07,2\n", "a.csv")
    assert texts(foreign.grids[0]) == [["food name", "min"], ["Peas", "40"], ["\ufffd54", "\ufffd3"], ["1\ufffd", "2"]]


def test_a_file_that_is_not_there_or_too_large_is_refused(tmp_path: Path) -> None:
    with pytest.raises(BadInput, match="no such file"):
        read(tmp_path / "a.csv")
    with (tmp_path / "b.csv").open("wb") as file:
        file.truncate(LARGEST + 1)
    with pytest.raises(BadInput, match="larger than the 50 MB"):
        read(tmp_path / "b.csv")
    (tmp_path / "c.csv").write_text("a,b\n1,2\n", encoding="utf-8")
    with pytest.raises(BadInput, match="has no sheets"):
        read(tmp_path / "c.csv", sheet="one")


def test_a_chart_of_three_hundred_rows_is_read_in_no_time() -> None:
    text = "food,pack,jar,min,psi\n" + "Peas, raw,pint,40,11\n" * 300
    best = min(_seconds(text) for _ in range(5))
    assert best < 0.1, "five times what it takes"


def _seconds(text: str) -> float:
    start = time.perf_counter()
    read_text(text, "a.csv")
    return time.perf_counter() - start


def test_too_many_cells_are_refused_before_they_are_laid_out(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr("stillroom.foreign.gridding.MOST_CELLS", 20_000)
    with pytest.raises(BadInput, match="cut it into several files"):
        read_text("a,b\n" * 200 + "," * 150 + "x\n", "a.csv")
    assert len(own(read_text("a,b\n" * 100 + "," * 150 + "x\n", "a.csv").grids[0])) == 101


def test_nothing_is_said_of_a_plain_file() -> None:
    assert told(read_text("a,b\n1,2\n", "a.csv")) == []


def test_a_figure_that_is_cut_at_its_own_comma_is_refused_and_none_is_shifted() -> None:
    with pytest.raises(BadInput, match=r"^a\.csv:1: a figure like 1,000 is cut in two"):
        read_text("food,0-1,000 ft,1,001-3,000 ft\nPeas,40,45\n", "a.csv")
    assert len(texts(read_text('food,"0-1,000 ft",100\nPeas,40,100\n', "a.csv").grids[0])[0]) == 3
    assert len(texts(read_text("food;0-1,000 ft;1,001-3,000 ft\nPeas;40;45\n", "a.csv").grids[0])[0]) == 3
