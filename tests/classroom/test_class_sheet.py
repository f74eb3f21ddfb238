"""A class sheet holds every printed cell where the print has it, and boxes the column of the class's own altitude."""

from __future__ import annotations

import io
import re
from collections import Counter
from collections.abc import Iterator
from fractions import Fraction
from html.parser import HTMLParser

import pytest
from pypdf import PdfReader

import stillroom
from stillroom.answers import altitude
from stillroom.answers.names import Meaning
from stillroom.sheets import class_file, class_html, class_markdown, class_page, class_sheet
from stillroom.sheets.class_page import ClassPage, Columns, Heading, Listed, NewPage, Question, Said
from tests.conftest import table

PLACE = tuple[str, str, str, str]
"""Food, heading of a table, label of a row, band."""
CELL = re.compile(r"\d+ min\b(, \d+ psi)?|not recommended \(\d+ min\)")


def _page(altitude_ft: float | None = None, *, large: bool = False, foods: list[str] | None = None) -> ClassPage:
    ids = [food.id for food in stillroom.foods()] if foods is None else foods
    meanings = [Meaning(food, "") for food in ids]
    return class_sheet.class_sheet(stillroom.shelf(), meanings, altitude_ft, large=large)


def _printed() -> Iterator[tuple[dict[str, str], str]]:
    """Rows of the tables, read as text, each with the words that its cell has on a sheet."""
    for name in ("fruit", "tomatoes", "vegetables", "meats-seafood", "pickles", "spreads"):
        for row in table(f"schedules/{name}.csv"):
            yield row, f"{row['minutes']} min" + (f", {row['pressure_psi']} psi" if row["pressure_psi"] else "")
    for row in table("schedules/not-recommended.csv"):
        yield row, f"not recommended ({row['minutes']} min)"


def _expected() -> Counter[tuple[str, str, str, str, str, str, str]]:
    """Food, canner, form, pack, jar, band and words of every cell; a food that follows another has the other's."""
    titles = {row["id"]: row["title"] for row in table("schedules/foods.csv")}
    forms = {row["form"]: row["title"] for row in table("schedules/forms.csv")}
    canners = {row["id"]: row["title"] for row in table("shared/canners.csv")}
    jars = {row["id"]: row["plural"] for row in table("shared/jars.csv")}
    follows = {row["food"]: row for row in table("schedules/relations.csv")}
    found: Counter[tuple[str, str, str, str, str, str, str]] = Counter()
    for row, said in _printed():
        low, high = int(row["altitude_from_ft"]), row["altitude_to_ft"]
        band = f"{low:,}-{int(high):,} ft" if high else f"above {low - 1:,} ft" if low else "any altitude"
        heirs = [food for food, relation in follows.items()
                 if relation["follows"] == row["food"] and relation["pack"] in ("", row["pack"])]  # fmt: skip
        for food in (row["food"], *heirs):
            canner = canners[row["gauge"] or row["method"]]
            form = forms.get(row["form"], row["form"])
            found[titles[food], canner.capitalize(), form, row["pack"], jars[row["jar"]], band, said] += 1
    return found


class _Tables(HTMLParser):
    """Cells of a page with the food, the heading, the label and the band they stand under; and what is boxed."""

    def __init__(self) -> None:
        super().__init__()
        self.cells: list[tuple[PLACE, str]] = []
        self.boxed: list[tuple[str, str]] = []
        self.tags: Counter[str] = Counter()
        self._food = self._heading = self._label = ""
        self._bands: list[str] = []
        self._column, self._text, self._own, self._head = 0, "", False, True

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        self.tags[tag] += 1
        if tag in ("h1", "h2", "h3", "th", "td", "div"):
            self._text = ""
        if tag in ("th", "td"):
            self._own = dict(attrs).get("class") == "own"
        if tag == "table":
            self._bands = []
        if tag == "tr":
            self._column = 0
        if tag in ("thead", "tbody"):
            self._head = tag == "thead"

    def handle_data(self, data: str) -> None:
        self._text += data

    def handle_endtag(self, tag: str) -> None:
        text = self._text.strip()
        if tag == "h2":
            self._food = text
        elif tag == "h3":
            self._heading = text
        elif tag == "small":
            assert text == class_page.OWN and self._own
            self._text = ""
        elif tag == "th" and self._head:
            if self._column:
                self._bands.append(text)
                if self._own:
                    self.boxed.append((self._heading, text))
            self._column += 1
        elif tag == "th":
            self._label = text
        elif tag == "div" and text:
            self.cells.append(((self._food, self._heading, self._label, self._bands[self._column]), text))
            assert self._own == ((self._heading, self._bands[self._column]) in self.boxed[-1:])
        elif tag == "td":
            self._column += 1


def _of_html(page: ClassPage) -> _Tables:
    tables = _Tables()
    tables.feed(class_html.written(page))
    return tables


def _of_markdown(page: ClassPage) -> list[tuple[PLACE, str]]:
    cells, food, heading, bands = [], "", "", []
    for line in class_markdown.written(page).splitlines():
        line = re.sub(r"\\([~#_*|\[\]`])", r"\1", line.replace("**", "").replace("&amp;", "&"))
        if line.startswith("## "):
            food = line[3:]
        elif line.startswith("### "):
            heading = line[4:]
        elif line.startswith("| |"):
            bands = [part.strip().removesuffix(f" ({class_page.OWN})") for part in line.split("|")[2:-1]]
        elif line.startswith("| "):
            label, *row = [part.strip() for part in line.split("|")[1:-1]]
            for band, said in zip(bands, row, strict=True):
                cells += [((food, heading, label, band), each) for each in said.split("<br>") if each]
    return cells


def _spread(cells: list[tuple[PLACE, str]]) -> Counter[tuple[str, str, str, str, str, str, str]]:
    """Read labels and headings: a row for hot or raw pack has the cell of both."""
    found: Counter[tuple[str, str, str, str, str, str, str]] = Counter()
    for (food, heading, label, band), said in cells:
        canner, _, form = heading.partition(", ")
        jar, _, packs = label.partition(", ")
        for pack in packs.split(" or "):
            found[food, canner, form, pack, jar, band, said] += 1
    return found


def test_every_printed_cell_of_every_food_stands_in_its_place_in_html_and_markdown_and_nothing_else() -> None:
    expected, page = _expected(), _page()
    assert sum(expected.values()) > 1_700
    assert _spread(_of_html(page).cells) == expected
    assert _spread(_of_markdown(page)) == expected


def test_a_near_miss_one_cell_that_says_another_time_is_seen() -> None:
    page = _page(foods=["peaches", "snap-beans"])
    wrong = tuple(
        block._replace(rows=((block.rows[0][0], (("26 min, 11 psi",), *block.rows[0][1][1:])), *block.rows[1:]))
        if isinstance(block, Columns)
        else block
        for block in page.blocks
    )
    assert _spread(_of_html(page._replace(blocks=wrong)).cells) - _expected()
    assert not _spread(_of_html(page).cells) - _expected()


@pytest.mark.parametrize("large", [False, True])
def test_a_pdf_has_the_same_cells_and_pages_of_print_as_the_page_in_html(large: bool) -> None:
    page = _page(
        1_650.0, large=large, foods=["tomatoes-crushed", "chicken-or-rabbit", "peaches", "snap-beans", "chile-salsa"]
    )
    content, ours = class_file.made("pdf", page)
    reader = PdfReader(io.BytesIO(content))
    lines = " ".join("\n".join(sheet.extract_text() for sheet in reader.pages).split())
    assert Counter(m[0] for m in CELL.finditer(lines)) == Counter(said for _, said in _of_html(page).cells)
    for block in page.blocks:
        if isinstance(block, Columns):
            assert " ".join(block.foot.split()) in lines
    tables = [block for block in page.blocks if isinstance(block, Columns)]
    assert lines.count(class_page.OWN.upper()) >= len(tables)
    assert ours(content) and not ours(content.replace(b"(stillroom)", b"(somebody)"))
    assert content == class_file.made("pdf", page)[0]


@pytest.mark.parametrize(
    "said",
    ["0 ft", "999.5 ft", "1000 ft", "1000.5 ft", "1001 ft", "2000 ft", "2000.5 ft", "3000 ft", "6000 ft", "6001 ft",
     "8000 ft", "8000.5 ft", "304.8 m", "304.81 m", "609.6 m", "1828.8 m", "-200 ft"],
)  # fmt: skip
def test_the_boxed_column_is_the_one_whose_upper_edge_is_not_below_the_class(said: str) -> None:
    """Bands of shared/altitude-bands.csv; a meter is 1/0.3048 ft (NIST Special Publication 811, 2008, appendix B.8)."""
    number, unit = said.split()
    feet = Fraction(number) / (Fraction("0.3048") if unit == "m" else 1)
    ends: dict[str, list[str]] = {}
    for row in table("shared/altitude-bands.csv"):
        ends.setdefault(row["band_set"], []).append(row["altitude_to_ft"])

    page = _page(altitude.in_feet(said), foods=["tomatoes-crushed"])
    for block in (block for block in page.blocks if isinstance(block, Columns)):
        which = {"B": "boiling-water-four", "D": "dial", "W": "weighted"}[block.heading[0]]
        own = next((at for at, end in enumerate(ends[which]) if not end or feet <= int(end)), None)
        assert block.own == own, block.heading
    assert [band for _, band in _of_html(page).boxed] == [
        block.bands[block.own] for block in page.blocks if isinstance(block, Columns) and block.own is not None
    ]


def test_above_the_end_of_a_table_no_column_is_boxed_and_it_is_said() -> None:
    page = _page(8_000.5, foods=["snap-beans"])
    told = [block.text for block in page.blocks if isinstance(block, Said)]
    assert any("ends at 8,000 ft" in text and "No column of it is ours" in text for text in told)
    assert not any("No column" in b.text for b in _page(8_000.0, foods=["snap-beans"]).blocks if isinstance(b, Said))


def test_acid_stands_in_a_box_above_the_tables_and_the_caution_below_them() -> None:
    blocks = _page(foods=["tomatoes-crushed"]).blocks
    places = {type(block).__name__: at for at, block in reversed(list(enumerate(blocks)))}
    box = blocks[places["Listed"]]
    assert isinstance(box, Listed) and box.boxed and places["Listed"] < places["Columns"]
    assert "page 3-5" in box.texts[0]  # the guide's page for acidifying tomatoes
    assert isinstance(blocks[-1], Said) and stillroom.shelf().standing.text in blocks[-1].text
    assert not any(isinstance(b, Listed) and b.boxed for b in _page(foods=["snap-beans"]).blocks)


def test_tables_are_read_from_the_last_row_where_they_are_large() -> None:
    sizes = {size: float(of["table"].removesuffix("pt")) for size, of in class_html.SIZES.items()}
    assert sizes["large"] >= 18 > sizes["normal"]
    assert "font-size: 19pt" in class_html.written(_page(foods=["snap-beans"], large=True))


HOSTILE = '<script>alert(1)</script> & | `x` <b onclick="y">*z* [l](javascript:a)'


def test_whatever_a_text_holds_stays_text() -> None:
    blocks = (Heading(HOSTILE), Said(HOSTILE), Listed(HOSTILE, (HOSTILE,), boxed=True), NewPage(),
              Columns(HOSTILE, (HOSTILE,), ((HOSTILE, ((HOSTILE,),)),), 0, HOSTILE),
              Question(1, HOSTILE, (("A", HOSTILE),)))  # fmt: skip
    page = ClassPage("quiz", HOSTILE, "normal", blocks)
    tables = _of_html(page)
    assert tables.tags["script"] == 0 and tables.tags["b"] == 2  # those of the box and the question
    assert tables.cells[0][1] == HOSTILE
    for line in class_markdown.written(page).splitlines():
        assert "<script" not in line and "<b" not in line.replace("<br>", "") and "](" not in line.replace("\\](", "")
        assert line.count("|") - line.count("\\|") in (0, 3)
    assert class_file.made("pdf", page)[0].startswith(b"%PDF-")


def test_a_letter_that_a_pdf_cannot_have_is_refused_in_one_line_and_one_that_it_can_is_set() -> None:
    page = ClassPage("poster", "Jalapeño", "poster", (Said("Jalapeño"),))
    assert class_file.made("pdf", page)
    with pytest.raises(stillroom.BadInput, match=r"U\+0142.*write \.html"):
        class_file.made("pdf", page._replace(title="Małosolne"))
