"""HTML: rows and columns as a browser forms them, marks and struck figures apart, text around the tables."""

from __future__ import annotations

import pytest

from stillroom.errors import BadInput
from stillroom.foreign.forms import read_text
from tests.foreign.grids import lines, own, texts, told


def test_spans_are_merged_cells_and_heads_are_counted() -> None:
    page = """<table><caption>An invented chart</caption>
<thead><tr><th rowspan=2>Food<th colspan=2>Minutes</tr>
<tr><th>Pints<th>Quarts</thead>
<tr><td rowspan="2">Peas<td>40<td>45
<tr><td colspan=2>none
</table>"""
    foreign = read_text(page, "a.html")
    assert foreign.form == "html" and foreign.grids[0].heads == 2
    assert own(foreign.grids[0]) == [
        ["Food", "Minutes", "<"], ["<", "Pints", "Quarts"], ["Peas", "40", "45"], ["<", "none", "<"],
    ]  # fmt: skip
    assert texts(foreign.grids[0])[1][0] == "Food" and lines(foreign.grids[0]) == [2, 3, 4, 5]
    assert told(foreign) == [(1, "An invented chart", 1)]


def test_the_row_span_of_zero_ends_with_its_group_and_no_span_is_without_end() -> None:
    """HTML Living Standard, 4.9.11 (spans, at most 1,000 and 65,534) and 4.9.12 (a row group ends every cell)."""
    page = (
        "<table><tbody><tr><td rowspan=0>a<td>1<tr><td>2</tbody><tbody><tr><td rowspan=99999>b<td>3</tbody>"
        "<tr><td colspan=4000000000>c</table>"
    )
    assert own(read_text(page, "a.html").grids[0]) == [["a", "1"], ["<", "2"], ["b", "3"], ["c", "<"]]


@pytest.mark.parametrize(
    ("cell", "text"),
    [
        ("35<sup>1</sup>", "35 [1]"),
        ("30<sup>a</sup>", "30 [a]"),
        ("30 <sup><a href='#1'>[2]</a></sup> min", "30 [2] min"),
        ("30<sup>a</sup>min", "30 [a] min"),
        ("35<sub>1</sub>", "35 [1]"),
        ("1<sup>1</sup>/<sub>2</sub>", "1 1/2"),
        ("1<sup>1</sup>&frasl;<sub>2</sub> in.", "1 1/2 in."),
        ("35<sup>1", "35 [1]"),
        ("<s>35</s> 40", "~~35~~ 40"),
        ("35<sup></sup>", "35"),
        ("35&sup1;", "35¹"),
    ],
)
def test_a_raised_or_struck_figure_never_becomes_a_digit_of_another(cell: str, text: str) -> None:
    assert texts(read_text(f"<table><tr><td>Peas<td>{cell}</table>", "a.html").grids[0])[0][1] == text


def test_breaks_entities_and_hidden_elements() -> None:
    page = """<!DOCTYPE html><title>No</title><script>if (a<b) "<table>"</script>
<p hidden>No</p><table><tr><th>Food<th>Min
<tr><td>Peas &amp;\n  carrots<br>raw<p>hot</p><td>&#52;0<span style="display: none">5</span>
<!-- <tr><td>No<td>1 -->
<tr style="display:none"><td>No<td>1
<tr><td>Corn<td hidden>1<td>55
</table>After<div>the table</div>"""
    foreign = read_text(page, "a.html")
    assert texts(foreign.grids[0]) == [["Food", "Min"], ["Peas & carrots\nraw\nhot", "40"], ["Corn", "55"]]
    assert lines(foreign.grids[0]) == [2, 3, 7]
    assert told(foreign) == [(8, "After", 1), (8, "the table", 1)]


def test_a_table_within_a_cell_is_one_of_its_own_and_a_frame_for_looks_is_none() -> None:
    page = "<table><tr><td><h1>Roots</h1><table><tr><td>Beets<td>30</table></table>"
    foreign = read_text(page, "a.html")
    assert [texts(grid) for grid in foreign.grids] == [[["Beets", "30"]]] and told(foreign) == [(1, "Roots", 0)]
    foreign = read_text("<table><tr><td>a<td>b<table><tr><td>Beets<td>30</table></table>", "a.html")
    assert [texts(grid) for grid in foreign.grids] == [[["a", "b"]], [["Beets", "30"]]]


def test_a_whole_cell_that_is_struck_out_is_told() -> None:
    foreign = read_text(
        "<table><tr><td>Peas<td><del>35</del><tr style='text-decoration:line-through'><td>a<td>b</table>", "a"
    )
    assert texts(foreign.grids[0]) == [["Peas", "35"], ["a", "b"]]
    assert [line for line, text, _ in told(foreign) if "struck out" in text] == [1, 1, 1]


def test_tables_of_both_kinds_in_one_text() -> None:
    foreign = read_text("# A\n\n|a|b|\n|-|-|\n|1|2|\n\n<table>\n<tr><td>5<td>6\n</table>\n\nB\n", "a.md")
    assert [lines(grid) for grid in foreign.grids] == [[3, 5], [8]] and foreign.form == "markdown"
    assert told(foreign) == [(1, "A", 0), (11, "B", 2)]


def test_a_page_with_too_many_cells_is_refused(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr("stillroom.foreign.gridding.MOST_CELLS", 20_000)
    with pytest.raises(BadInput, match="cut it into several files"):
        read_text("<table>" + "<tr><td rowspan=9999 colspan=1000>1<td>2" * 20 + "</table>", "a.html")


@pytest.mark.parametrize(
    ("page", "why"),
    [
        ("<table><tr><td>1<td>2\n<!-- never", ":2: a comment is opened here and never closed"),
        ("<script>" + "<table>", ":1: script is opened here"),
        ("<table>" * 101, "more than 100 tables"),
        ("<p>no table</p><table></table>", "holds no table"),
    ],
)
def test_a_page_that_cannot_be_read_is_refused(page: str, why: str) -> None:
    with pytest.raises(BadInput) as refused:
        read_text(page, "a.html")
    assert why in str(refused.value)
