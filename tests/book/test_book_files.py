"""The book as files: what stands on its pages, how they hang together, and how they come into a folder."""

from __future__ import annotations

import csv
import random
import re
import threading
import urllib.request
from html.parser import HTMLParser
from pathlib import Path

import pytest

import stillroom
from stillroom.answers.shelf import Shelf
from stillroom.commands.main import main
from stillroom.errors import BadInput
from stillroom.package.package import Package
from stillroom.site import book, folder, food_page, pages, served
from tests.conftest import ROOT, table
from tests.trials import THOROUGH

LINK = re.compile(rb'(?:href|src)="([^"]*)"')
GROUPS = ("fruit", "tomatoes", "vegetables", "meats-seafood", "pickles", "spreads")


def of_kind(made: dict[str, bytes], end: str) -> dict[str, bytes]:
    return {place: content for place, content in made.items() if place.endswith(end)}


def test_every_page_has_its_policy_language_title_one_heading_and_the_caution(made: dict[str, bytes]) -> None:
    shelf = stillroom.shelf()
    for place, html in of_kind(made, ".html").items():
        text = html.decode()
        assert text.startswith('<!doctype html>\n<!-- book by stillroom -->\n<html lang="en">'), place
        assert f'content="{pages.POLICY}"' in text.replace("&#39;", "'"), place
        assert len(re.findall(r"<h1[ >]", text)) == 1, place
        assert re.search(r"<title>[^<]+ - Stillroom</title>", text), place
        assert shelf.standing.text.replace("'", "&#39;") in text, place


def test_no_page_has_a_script_or_a_style_of_its_own(made: dict[str, bytes]) -> None:
    for place, html in of_kind(made, ".html").items():
        text = html.decode()
        assert "<style" not in text and " style=" not in text and not re.search(r" on[a-z]+=", text), place
        assert all("src=" in tag for tag in re.findall(r"<script[^>]*>", text)), place


def test_every_link_leads_to_a_page_and_a_place_of_the_book(made: dict[str, bytes]) -> None:
    """Whatever leads outside is an address of a source, and is only a link."""
    ids = {place: set(re.findall(r'\bid="([^"]+)"', html.decode())) for place, html in of_kind(made, ".html").items()}
    addresses = {row["address"] for row in table("shared/sources.csv")}
    seen = 0
    for place, html in of_kind(made, ".html").items():
        for link in {found.decode().replace("&amp;", "&") for found in LINK.findall(html)}:
            if link.startswith("data:,") or link in addresses:
                continue
            path, _, at = link.partition("#")
            parts = [*place.split("/")[:-1]] if path else place.split("/")
            for part in path.split("/") if path else ():
                parts = parts[:-1] if part == ".." else [*parts, part]
            target = "/".join(parts)
            assert target in made, (place, link)
            assert not at or "=" in at or at in ids[target], (place, link)
            seen += 1
    assert seen > 1_500


class Tables(HTMLParser):
    """The tables of a page: for each its caption, and its rows as texts of cells."""

    def __init__(self, html: str) -> None:
        super().__init__()
        self.tables: list[tuple[str, list[list[str]]]] = []
        self._into: str | None = None
        self.feed(html)

    def handle_starttag(self, tag: str, attrs: object) -> None:
        if tag == "table":
            self.tables.append(("", []))
        elif tag == "tr":
            self.tables[-1][1].append([])
        elif tag in ("td", "th"):
            self.tables[-1][1][-1].append("")
        elif tag == "br" and self._into:
            self.handle_data("\n")
        if tag in ("td", "th", "caption"):
            self._into = tag

    def handle_endtag(self, tag: str) -> None:
        if tag in ("td", "th", "caption"):
            self._into = None

    def handle_data(self, data: str) -> None:
        if self._into == "caption":
            self.tables[-1] = (self.tables[-1][0] + data, self.tables[-1][1])
        elif self._into:
            self.tables[-1][1][-1][-1] += data


CANNERS = {"boiling-water": "Boiling-water canner", "dial": "Dial-gauge pressure canner"}
CANNERS["weighted"] = "Weighted-gauge pressure canner"


def band(low: int, high: str) -> str:
    return f"{low:,}-{int(high):,} ft" if high else f"above {low - 1:,} ft"


@pytest.mark.parametrize("group", GROUPS)
def test_every_printed_cell_stands_in_its_row_and_column(made: dict[str, bytes], group: str) -> None:
    """Against the rows of the schedule table, read as text, without the library."""
    plurals = {row["id"]: row["plural"] for row in table("shared/jars.csv")}
    forms = {(row["food"], row["form"]): row["title"] for row in table("schedules/forms.csv")}
    found: dict[str, list[tuple[str, list[list[str]]]]] = {}
    with (ROOT / f"schedules/{group}.csv").open(encoding="utf-8") as lines:
        rows = list(csv.DictReader(lines))
    for row in rows:
        food = row["food"]
        if food not in found:
            found[food] = Tables(made[food_page.place(food)].decode()).tables
        caption = CANNERS[row["gauge"] or row["method"]]
        caption += f", {forms[food, row['form']]}" if row["form"] else ""
        cells = next(cells for told, cells in found[food] if told == caption)
        low, high = int(row["altitude_from_ft"]), row["altitude_to_ft"]
        column = cells[0].index("any altitude" if not (low or high) else band(low, high))
        said = f"{row['minutes']} min" + (f", {row['pressure_psi']} psi" if row["pressure_psi"] else "")
        label = plurals[row["jar"]]
        fitting = [
            line
            for line in cells[1:]
            if line[0] == label or (line[0].startswith(f"{label}, ") and row["pack"] in line[0].split(", ", 1)[1])
        ]
        assert any(said in line[column].replace("or ", "").split("\n") for line in fitting), row


def test_what_superseded_leaflets_printed_is_struck_out_below_a_warning_and_never_printed(
    made: dict[str, bytes],
) -> None:
    html = made["food/snap-beans.html"].decode()
    old = html[html.index("<h2>Superseded leaflets</h2>") :]
    assert old.index("never can by them") < old.index('<table class="old">')
    assert re.findall(r"<td><s>(\d+ min[^<]*)</s></td>", old)
    assert '<section class="screen">\n<h2>Superseded leaflets' in html
    assert "Superseded leaflets" not in made["food/strawberry-rhubarb-jelly.html"].decode()


def test_a_near_miss_another_minute_stands_in_no_cell(made: dict[str, bytes]) -> None:
    tables = Tables(made["food/snap-beans.html"].decode()).tables
    cells = [cell for _, rows in tables for row in rows for cell in row]
    assert any("25 min, 11 psi" in cell for cell in cells)
    assert not any("24 min" in cell or "25 min, 10 psi\n" in cell for cell in cells)


def test_our_own_audit_finds_nothing_wrong_on_a_page_of_the_book(made: dict[str, bytes], tmp_path: Path) -> None:
    """What superseded leaflets printed is left out: an audit must find that. So are foods of several forms, whose
    form it takes from no caption, and what is withheld, which it finds in words on wild mushrooms too.
    """
    formed = {row["food"] for row in table("schedules/forms.csv")}
    foods = [food for food in stillroom.shelf().foods if food not in formed]
    for food in foods if THOROUGH else random.sample(foods, 2):
        page = tmp_path / "page.html"
        page.write_bytes(re.sub(rb"(?s)<details>.*?</details>", b"", made[food_page.place(food)]))
        found = stillroom.audit(str(page))
        wrong = {kind: found.counts[kind] for kind in ("weaker", "untested")}
        assert not any(wrong.values()), (food, [str(one) for one in found.findings][:5])


def test_acid_stands_before_every_time(made: dict[str, bytes]) -> None:
    for food in {row["food"] for row in table("schedules/acid.csv") if row["use"] == "jar"}:
        html = made[food_page.place(food)].decode()
        assert 0 < html.index("Acid in each") < html.index('<table class="process">'), food


def test_every_withheld_thing_check_source_and_general_rule_has_its_place(made: dict[str, bytes]) -> None:
    withheld, sources, checks = (made[f"{name}.html"].decode() for name in ("withheld", "sources", "checks"))
    for row in table("schedules/withheld.csv"):
        assert f'id="{row["id"]}"' in withheld
    for row in table("shared/sources.csv"):
        assert f'<section id="{row["id"]}">' in sources
    for module in (ROOT / "validator/stillroom/findings/checks").glob("[!_]*.py"):
        assert f'<h2 id="{module.stem}">' in checks
    rules = "".join(html.decode() for place, html in made.items() if place.startswith("safety/"))
    for name in ("vent-time", "gauge-check", "seal-tests", "detoxify-boil", "bleach-solution", "restart-rule"):
        said = next(row["statement"] for row in table("shared/rules.csv") if row["id"] == name)
        assert said.split("this long")[0].split(": ")[0].replace("'", "&#39;") in rules, name


def test_a_jar_in_doubt_is_told_step_by_step_with_its_minutes(made: dict[str, bytes]) -> None:
    """USDA Complete Guide to Home Canning, 2015, page 1-27: boil 30 minutes, bleach for 30 minutes, twice."""
    html = made["safety/spoiled.html"].decode()
    steps = re.findall(r"<li>(.*?)</li>", html[html.index('<ol class="rules">') :])
    assert len(steps) == 11
    assert sum("<b>30 min</b>" in step for step in steps) == 3
    assert "this long" not in html


def test_the_same_package_makes_the_same_bytes(made: dict[str, bytes]) -> None:
    shelf = Shelf(Package())
    if THOROUGH:
        assert book.contents(shelf) == made
    foods = random.sample(list(shelf.foods.values()), 12)
    again = pages.rendered([food_page.food_page(shelf, food) for food in foods], shelf)
    assert again == {place: made[place] for place in again}


# words that are no markup

HOSTILE = "<script>alert(1)</script> \"a\" 'b' & \u202esnaeb\u202c </title>"


def test_hostile_words_of_the_data_stand_as_text(copy: Path) -> None:
    recipes = sorted(path.stem for path in (copy / "schedules/recipes").glob("*.yaml"))
    for name, column in (("schedules/foods.csv", "title"), ("schedules/withheld.csv", "reason")):
        with (copy / name).open(encoding="utf-8", newline="") as lines:
            reader = csv.DictReader(lines)
            columns, rows = list(reader.fieldnames or ()), list(reader)
        for row in rows:
            row[column] = f"{HOSTILE} {row[column]}"
        with (copy / name).open("w", encoding="utf-8", newline="") as out:
            writer = csv.DictWriter(out, columns, lineterminator="\n")
            writer.writeheader()
            writer.writerows(rows)
    shelf = Shelf(Package(str(copy)))
    from stillroom.site import data, food_list_page, withheld_page

    made = [food_page.food_page(shelf, shelf.foods[food]) for food in recipes]
    made += [food_list_page.food_list_page(shelf), withheld_page.withheld_page(shelf)]
    for place, html in pages.rendered(made, shelf).items():
        text = html.decode()
        assert "&lt;script&gt;alert(1)&lt;/script&gt;" in text, place
        assert "<script>alert" not in text and text.count("</title>") == 1, place
        assert "\u202e" not in text and "\\u202esnaeb" in text, place
    script = data.script(shelf)
    assert "alert(1)" in script and "<" not in script and "&" not in script


# the folder

SMALL = {"index.html": b"<!doctype html>\n", "food/peas.html": b"peas\n"}


def test_a_book_is_written_and_written_again_and_pages_that_went_are_taken_away(tmp_path: Path) -> None:
    out = tmp_path / "book"
    assert folder.write(str(out), SMALL) == 3
    folder.write(str(out), SMALL)
    folder.write(str(out), {"index.html": b"other\n"})
    assert sorted(path.name for path in out.rglob("*") if path.is_file()) == ["book.json", "index.html"]
    assert (out / "index.html").read_bytes() == b"other\n"


@pytest.mark.parametrize("place", ["index.html", "food/peas.html", "book.json"])
def test_what_is_not_ours_stays_and_then_nothing_is_written(tmp_path: Path, place: str) -> None:
    mine = tmp_path / place
    mine.parent.mkdir(exist_ok=True)
    mine.write_text("mine", encoding="utf-8")
    with pytest.raises(BadInput, match="was not written by stillroom"):
        folder.write(str(tmp_path), SMALL)
    assert [path.name for path in tmp_path.rglob("*") if path.is_file()] == [mine.name]


def test_a_page_that_somebody_changed_is_neither_replaced_nor_taken_away(tmp_path: Path) -> None:
    folder.write(str(tmp_path), SMALL)
    (tmp_path / "food/peas.html").write_text("mine", encoding="utf-8")
    for made in (SMALL, {"index.html": b"other\n"}):
        with pytest.raises(BadInput, match=r"peas\.html"):
            folder.write(str(tmp_path), made)
    assert (tmp_path / "index.html").read_bytes() == SMALL["index.html"]


def test_a_list_that_names_a_place_outside_takes_nothing_away(tmp_path: Path) -> None:
    outside, out = tmp_path / "mine.txt", tmp_path / "book"
    outside.write_bytes(b"peas\n")
    folder.write(str(out), SMALL)
    listed = (out / "book.json").read_text(encoding="utf-8").replace("food/peas.html", "../mine.txt")
    (out / "book.json").write_text(listed, encoding="utf-8")
    with pytest.raises(BadInput):
        folder.write(str(out), {"index.html": SMALL["index.html"]})
    assert outside.exists()


def test_what_else_lies_in_the_folder_stays(tmp_path: Path) -> None:
    (tmp_path / "robots.txt").write_text("mine", encoding="utf-8")
    folder.write(str(tmp_path), SMALL)
    assert (tmp_path / "robots.txt").read_text(encoding="utf-8") == "mine"


def test_a_file_is_no_folder_for_a_book(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    (tmp_path / "book").write_text("mine", encoding="utf-8")
    with pytest.raises(BadInput, match="is no folder"):
        folder.write(str(tmp_path / "book"), SMALL)


def test_the_command_says_where_the_book_is(
    tmp_path: Path, capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch
) -> None:
    monkeypatch.setattr(book, "contents", lambda shelf: SMALL)
    assert main(["book", str(tmp_path / "b")]) == 0
    assert capsys.readouterr().out == f"3 files; open {tmp_path / 'b' / 'index.html'} in a browser\n"
    assert main(["book", str(tmp_path / "b" / "index.html")]) == 2
    assert "is no folder" in capsys.readouterr().err


def test_it_is_served_to_this_machine_alone(tmp_path: Path) -> None:
    folder.write(str(tmp_path), SMALL)
    with served.server(str(tmp_path)) as server:
        assert server.server_address[0] == "127.0.0.1"
        threading.Thread(target=server.serve_forever, daemon=True).start()
        with urllib.request.urlopen(f"{served.address(server)}food/peas.html") as answer:
            assert answer.read() == SMALL["food/peas.html"]
        server.shutdown()
