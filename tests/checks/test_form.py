from __future__ import annotations

import pytest

FRUIT, CAUTIONS, NOTES = "schedules/fruit.csv", "shared/cautions.csv", "schedules/readings/schedules-first.csv"


def test_the_published_files_pass(published):
    assert published.found("form") == ()


def test_a_byte_order_mark_is_found(package):
    package.put(FRUIT, b"\xef\xbb\xbf" + package.bytes(FRUIT))
    (finding,) = package.found("form")
    assert (finding.file, finding.line, finding.wrong) == (FRUIT, 1, "begins with a byte order mark")


def test_line_ends_of_another_system_are_found_once(package):
    package.put(FRUIT, package.bytes(FRUIT).replace(b"\n", b"\r\n"))
    assert [(f.file, f.line) for f in package.found("form")] == [(FRUIT, 1)]


def test_a_nul_byte_is_found_at_its_line(package):
    lines = package.bytes(FRUIT).split(b"\n")
    lines[4] += b"\0"
    package.put(FRUIT, b"\n".join(lines))
    assert (FRUIT, 5, "") in package.places("form")


@pytest.mark.parametrize("bad", [b"\xe9", b"\xff\xfe", b"\xc3"])
def test_another_encoding_is_found_at_its_line(package, bad):
    lines = package.bytes(FRUIT).split(b"\n")
    lines[6] += bad
    package.put(FRUIT, b"\n".join(lines))
    assert (FRUIT, 7, "") in [(f.file, f.line, f.column) for f in package.found("form") if "UTF-8" in f.wrong]


def test_a_missing_last_line_end_is_found(package):
    package.put(FRUIT, package.bytes(FRUIT).rstrip(b"\n"))
    assert [f.wrong for f in package.found("form")] == ["does not end with a line end"]


def test_rows_out_of_order_are_found_and_numbers_are_ordered_as_numbers(package):
    rows = package.read(FRUIT)
    rows[1], rows[2] = rows[2], rows[1]
    package.write(FRUIT, rows)
    assert package.places("form") == [(FRUIT, 3, "")]


@pytest.mark.parametrize(
    ("text", "says"),
    [
        ("=1+1", "formula"),
        ("+41", "formula"),
        ("@SUM(A1)", "formula"),
        ("-x", "formula"),
        (" Apple", "stray"),
        ("Apple ", "stray"),
        ("Apple  Butter", "stray"),
        ("Apple\u00a0Butter", "control"),
        ("Apple\tButter", "control"),
        ("Apple\nButter", "line break"),
        ("Apple\u200bButter", "control"),
    ],
)
def test_text_that_is_not_plain_is_found_at_its_cell(package, text, says):
    package.edit(FRUIT, 2, caption=text)
    (finding,) = package.found("form")
    assert (finding.file, finding.line, finding.column, finding.value) == (FRUIT, 2, "caption", text)
    assert says in finding.wrong


@pytest.mark.parametrize("number", ["05", "5.0", "+5", "5.", " 5"])
def test_a_number_not_in_its_own_writing_is_found(package, number):
    package.edit(FRUIT, 2, minutes=number)
    assert (FRUIT, 2, "minutes") in package.places("form")


@pytest.mark.parametrize("text", ["Apple-Butter", "5% vinegar", "half & half", "Jalapeño", "a = b"])
def test_near_misses_are_no_findings(package, text):
    package.edit(FRUIT, 2, caption=text)
    assert package.found("form") == ()


def test_a_near_miss_doubled_spaces_in_notes_of_a_reading_are_kept(package):
    package.edit(NOTES, 2, note="two  spaces as read")
    assert package.found("form") == ()


def test_quotes_that_no_cell_needs_are_found(package):
    package.put(FRUIT, package.bytes(FRUIT).replace(b",usda-2015,", b',"usda-2015",', 1))
    assert [(f.file, f.wrong) for f in package.found("form")] == [(FRUIT, "has quotes around cells that need none")]
