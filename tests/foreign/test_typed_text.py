"""Markdown, ruled text and text in columns: where the tables are, which cell is whose, and what stands beside them."""

from __future__ import annotations

import pytest
from markdown_it import MarkdownIt
from markdown_it.token import Token

from stillroom.errors import BadInput
from stillroom.foreign.forms import read_text
from stillroom.foreign.inline import plain
from tests.foreign.grids import lines, own, texts, told

SPEC = {  # GitHub Flavored Markdown Spec, version 0.29-gfm, 4.10 Tables (extension)
    198: "| foo | bar |\n| --- | --- |\n| baz | bim |\n",
    199: "| abc | defghi |\n:-: | -----------:\nbar | baz\n",
    200: "| f\\|oo  |\n| ------ |\n| b `\\|` az |\n| b **\\|** im |\n",
    201: "| abc | def |\n| --- | --- |\n| bar | baz |\n> bar\n",
    202: "| abc | def |\n| --- | --- |\n| bar | baz |\nbar\n\nbar\n",
    204: "| abc | def |\n| --- | --- |\n| bar |\n| bar | baz | boo |\n",
    205: "| abc | def |\n| --- | --- |\n",
}


def reference(text: str) -> list[list[str]]:
    """Cells of the first table as markdown-it-py reads them."""
    rows: list[list[str]] = []
    for token in MarkdownIt("commonmark").enable(["table", "strikethrough"]).parse(text):
        if token.type == "tr_open":
            rows.append([])
        elif token.type in ("th_open", "td_open"):
            rows[-1].append("")
        elif token.type == "inline" and rows and rows[-1] and token.level > 2:
            rows[-1][-1] = "".join(words(child) for child in token.children or ())
    return rows


def words(token: Token) -> str:
    return token.content if token.type in ("text", "code_inline", "text_special") else ""


@pytest.mark.parametrize("number", SPEC)
def test_the_examples_of_the_spec_are_read_as_the_reference_reads_them(number: int) -> None:
    foreign = read_text(SPEC[number], "a.md")
    expected = reference(SPEC[number])
    width = len(expected[0])
    assert foreign.form == "markdown" and foreign.grids[0].heads == 1
    assert [row[:width] for row in texts(foreign.grids[0])] == expected


def test_cells_beyond_the_head_are_kept_though_a_page_does_not_show_them() -> None:
    assert texts(read_text(SPEC[204], "a.md").grids[0])[2] == ["bar", "baz", "boo"]


def test_a_head_with_another_number_of_cells_makes_no_markdown_table() -> None:
    text = "| abc | def |\n| --- |\n| bar |\n"  # example 203
    assert reference(text) == [] and read_text(text, "a.md").form == "text"


@pytest.mark.parametrize(
    "cell",
    ["**Peas**, *hot*", "a_b_c", "30* or 35*", "`code *x*`", "[Peas](x.html \"t\")", "\\*35\\*", "1&frac12;", "***x***",
     "**a *b* c**", "_x_,", "a\\\\b", "__Corn__"],
)  # fmt: skip
def test_emphasis_links_and_code_are_written_as_the_reference_shows_them(cell: str) -> None:
    assert plain(cell) == reference(f"|a|\n|-|\n|{cell}|\n")[1][0]


@pytest.mark.parametrize(
    ("cell", "text"),
    [
        ("35<sup>1</sup>", "35 [1]"),
        ("30<sup>a</sup>", "30 [a]"),
        ("35[^1]", "35 [1]"),
        ("35*1*", "35*1*"),
        ("35¹", "35¹"),
        ("~~35~~ 40", "~~35~~ 40"),
        ("<del>35</del> 40", "~~35~~ 40"),
        ("hot<br/>raw", "hot\nraw"),
    ],
)
def test_a_footnote_mark_or_a_struck_figure_never_becomes_a_digit(cell: str, text: str) -> None:
    foreign = read_text(f"| a | b |\n|---|---|\n| Peas | {cell} |\n", "a.md")
    assert texts(foreign.grids[0])[1][1] == text


def test_text_around_markdown_tables_is_said_in_its_place() -> None:
    foreign = read_text("# Roots\n\n|a|b|\n|-|-|\n|~~1~~|2|\n\n**Note:** see\n\n|c|d|\n|-|-|\n|3|4|\n\n[^1]: end", "x")
    assert told(foreign) == [
        (1, "Roots", 0), (5, "struck out in column 1: 1", 0), (7, "Note: see", 1), (13, "[1]: end", 2),
    ]  # fmt: skip
    assert [grid.name for grid in foreign.grids] == ["table 1", "table 2"]
    assert lines(foreign.grids[1]) == [9, 11]


COLUMNS = """\
Invented chart of vegetables
Times.  Use a gauge.

                      Process time
Food                  Pints   Quarts
------------------------------------
Peas or beans,           40       40
  green
Corn                     55       85
Okra                              40

Meat
Beef, in strips          75       90
Wash all jars first.
"""


def test_columns_are_found_from_all_rows_together_and_wrapped_names_joined() -> None:
    foreign = read_text(COLUMNS, "a.txt")
    assert own(foreign.grids[0]) == [
        ["", "Process time", "<"],
        ["Food", "Pints", "Quarts"],
        ["Peas or beans,\ngreen", "40", "40"],
        ["Corn", "55", "85"],
        ["Okra", "", "40"],
        ["Meat", "", ""],
        ["Beef, in strips", "75", "90"],
    ]
    assert lines(foreign.grids[0]) == [4, 5, 7, 9, 10, 12, 13]
    assert [text for _, text, _ in told(foreign)] == [
        "Invented chart of vegetables", "Times. Use a gauge.", "Wash all jars first.",
    ]  # fmt: skip


def test_a_figure_that_may_stand_in_either_of_two_columns_is_given_to_none() -> None:
    text = "Food      Pints     Quarts\nPeas      40        45\nCorn      55        85\nOkra            40\n"
    foreign = read_text(text, "a.txt")
    assert own(foreign.grids[0])[3] == ["Okra 40", "<", "<"]
    near = text.replace("Okra            40", "Okra                40")
    assert own(read_text(near, "a.txt").grids[0])[3] == ["Okra", "", "40"]


def test_rows_that_stand_in_no_columns_are_cut_by_their_number_of_cells() -> None:
    foreign = read_text("Food  Pints  Quarts\nPeas, green  40  45\nCorn, whole kernel  55  85\nOkra  25\n", "a.txt")
    assert own(foreign.grids[0]) == [
        ["Food", "Pints", "Quarts"], ["Peas, green", "40", "45"], ["Corn, whole kernel", "55", "85"],
        ["Okra 25", "<", "<"],
    ]  # fmt: skip


def test_two_tables_with_a_blank_line_between_are_two_and_rows_apart_are_one() -> None:
    rows = "Food      Pints\n\nPeas         40\n\nCorn         55\n"
    assert len(read_text(rows, "a.txt").grids) == 1
    foreign = read_text(rows + "\nFood      Quarts\nOkra          40\n", "a.txt")
    assert [grid.name for grid in foreign.grids] == ["table 1", "table 2"]


def test_names_in_small_letters_are_rows_of_their_own() -> None:
    foreign = read_text("food    pack\npeas    raw\ncorn    hot\nmeat\nbeef    raw\n", "a.txt")
    assert [row[0] for row in texts(foreign.grids[0])] == ["food", "peas", "corn", "meat", "beef"]


@pytest.mark.parametrize("drawn", [False, True])
def test_ruled_tables_are_cut_at_their_bars(drawn: bool) -> None:
    text = (
        "+-------+----+----+\n| Food  | Pt | Qt |\n+=======+====+====+\n| Peas  | 40 | 45 |\n| green |    |    |\n"
        "+-------+----+----+\n| both: 55   | 85 |\n+-------+----+----+\n"
    )
    if drawn:
        text = text.translate(str.maketrans("|-+", "│─┼"))
    foreign = read_text(text, "a.txt")
    assert own(foreign.grids[0]) == [["Food", "Pt", "Qt"], ["Peas\ngreen", "40", "45"], ["both: 55", "<", "85"]]
    assert foreign.grids[0].heads == 1


def test_lines_of_a_ruled_table_with_figures_are_never_joined() -> None:
    foreign = read_text(
        "+----+----+\n|Food|Min |\n+----+----+\n|Peas|40  |\n|    |45  |\n|Corn|55  |\n+----+----+\n", "x"
    )
    assert texts(foreign.grids[0])[1:] == [["Peas", "40"], ["", "45"], ["Corn", "55"]]


def test_tabs_keep_blank_cells() -> None:
    assert texts(read_text("Chart\n\nFood\tPt\tQt\nPeas\t40\t45\nCorn, whole\t\t85\n", "a.txt").grids[0])[-1] == [
        "Corn, whole", "", "85",
    ]  # fmt: skip


def test_prose_is_no_table() -> None:
    with pytest.raises(BadInput, match="holds no table"):
        read_text("Wash the jars.  Rinse them well.\nFill them.  Wipe the rims.\nVent, then close.\n", "a.txt")


def test_a_line_without_end_is_refused() -> None:
    with pytest.raises(BadInput, match=r"^a\.txt:2: a line of more than"):
        read_text("a  b\n" + "x" * 10_001, "a.txt")
