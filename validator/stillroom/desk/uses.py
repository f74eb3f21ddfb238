"""Uses: what stands on a rule, a statement, a source, a page, a food or what is withheld, and who read it.

It is found by the references that ``schema/`` declares, by the ids that the table of answers names, and, in recipes, by
the lines that cite a page or a source. Nothing is guessed from a text.
"""

from __future__ import annotations

import csv
import io
import os
import re
from collections import Counter, defaultdict
from collections.abc import Callable, Iterable, Iterator
from typing import NamedTuple

from stillroom.answers.answer_rows import TESTED
from stillroom.errors import BadInput, BadPackage
from stillroom.package.documents import read_json
from stillroom.package.tables import DERIVED, TABLES
from stillroom.package.versions import Version, folder_version
from stillroom.screen import printable

RECIPES = "schedules/recipes/"
READERS, PAGES = TABLES["readers"].file, TABLES["reading-pages-second"].file
OWN = {
    "rule": "rules", "jar rule": "jar-rules", "rule of thumb": "practice", "statement": "cautions", "source": "sources",
    "food": "foods", "withheld": "withheld",
}  # fmt: skip
"""Kinds of things that have an id, and the table they stand in."""
_BY_CODE = ("rule", "rule of thumb", "statement")
"""Kinds that the library takes by id."""
_TEXTS = ("statement", "text", "reason", "title")
"""Columns that say in words what a row is, the first that is there."""
Row = dict[str, str]


class Place(NamedTuple):
    """One line of a file, and its row in a few words."""

    file: str
    line: int
    row: str


class Told(NamedTuple):
    """Answers that stand on a thing: how many are tested, how many of them of low-acid food, and how many by food."""

    tested: int
    low_acid: int
    foods: tuple[tuple[str, int], ...]


class Read(NamedTuple):
    """Who read a table of readings, from which copy and when; ``page``: all, or the page that was read anew."""

    reading: str
    source: str
    page: str
    copy: str
    reader: str
    date: str


class Uses(NamedTuple):
    """What stands on one thing.

    Attributes
    ----------
    kind, id : str
        A key of ``OWN``, or page.
    stands : tuple of Place
        Its own row; none of a page.
    text, source, page : str
        What its row says, and cites; blank where it has none.
    answers : Told
    places : tuple of Place
        Rows and recipe lines that refer to it, by file and line; the tables of answers and names are not among them.
    read : tuple of Read
        Who read the pages that it stands on.
    """

    kind: str
    id: str
    stands: tuple[Place, ...]
    text: str
    source: str
    page: str
    answers: Told
    places: tuple[Place, ...]
    read: tuple[Read, ...]


def uses(root: str, said: str) -> tuple[Uses, ...]:
    """Find what stands on a thing, in each of its meanings.

    Parameters
    ----------
    root : str
        Folder of the package.
    said : str
        An id, or a printed page like ``4-9``, ``page 4-9`` or ``usda-2015 4-9``.

    Returns
    -------
    tuple of Uses
        At least one.

    Raises
    ------
    BadInput
        Nothing is called so; the nearest ids are named.
    BadPackage
        The package cannot be read.
    """
    with folder_version(root) as version:
        package = _Tables(version)
        words = " ".join(said.casefold().split())
        found = [_of_id(package, kind, words) for kind, name in OWN.items() if words in package.ids(name)]
        found += _of_page(package, words)
        if not found:
            raise BadInput(_unknown(package, said, words))
    return tuple(found)


def uses_of_sources(root: str) -> dict[str, Uses]:
    """Find what stands on each source, reading every table once.

    Parameters
    ----------
    root : str
        Folder of the package.

    Returns
    -------
    dict of Uses
        By source id, in the order of the table.

    Raises
    ------
    BadPackage
        The package cannot be read.
    """
    with folder_version(root) as version:
        package = _Tables(version)
        return {one: _of_id(package, "source", one) for one in package.ids(OWN["source"])}


def _unknown(package: _Tables, said: str, words: str) -> str:
    import difflib

    named = f'"{printable(said, 60)}"'
    ids = sorted({one for name in OWN.values() for one in package.ids(name)})
    near = difflib.get_close_matches(words[:60].replace(" ", "-"), ids, 3)
    more = f"; near to it: {', '.join(near)}" if near else ""
    return f"{named} is no rule, statement, source, food, withheld thing or cited page of this package{more}"


# tables


class _Tables:
    """The tables of a version as text, each read once, with their lines."""

    def __init__(self, version: Version) -> None:
        self.version = version
        self._read: dict[str, list[tuple[int, Row]]] = {}
        self._ids: dict[str, dict[str, int]] = {}
        self._references: dict[str, list[tuple[str, str]]] = {}

    def rows(self, name: str) -> list[tuple[int, Row]]:
        """Rows of a table with their lines."""
        if name not in self._read:
            self._read[name] = list(_rows(self.version, TABLES[name].file))
        return self._read[name]

    def citing(self, name: str) -> list[tuple[int, Row]]:
        """Rows of a table that cite a page, with their lines; none of a table made from the others."""
        rows = [] if name in DERIVED else self.rows(name)
        return rows if rows and {"source", "page"} <= rows[0][1].keys() else []

    def ids(self, name: str) -> dict[str, int]:
        """Ids of a table, each with its place among the rows."""
        if name not in self._ids:
            called = _rule_of if name == "jar-rules" else _id_of
            self._ids[name] = {called(row): at for at, (_, row) in enumerate(self.rows(name))}
        return self._ids[name]

    def own(self, name: str, one: str) -> tuple[int, Row]:
        """Give the row of an id, and its line."""
        return self.rows(name)[self.ids(name)[one]]

    def references(self, to: str) -> list[tuple[str, str]]:
        """Give every column that refers to a table, with the table it stands in."""
        if to not in self._references:
            self._references[to] = list(self._referring(to))
        return self._references[to]

    def _referring(self, to: str) -> Iterator[tuple[str, str]]:
        for name, declared in TABLES.items():
            keys = read_json(self.version.read(declared.schema) or b"{}", declared.schema).get("foreignKeys", ())
            for key in keys:
                if key["reference"].get("resource", name) == to and name not in DERIVED:
                    yield name, key["fields"] if isinstance(key["fields"], str) else key["fields"][0]


def _rows(version: Version, file: str) -> Iterator[tuple[int, Row]]:
    content = version.read(file)
    if content is None:
        return
    lines = csv.reader(io.StringIO(content.decode("utf-8", "replace"), newline=""))
    header = next(lines, [])
    try:
        for cells in lines:
            yield lines.line_num, dict(zip(header, cells, strict=True))
    except (ValueError, csv.Error):
        raise BadPackage(f"{file}:{lines.line_num}: cannot be read; stillroom check says why") from None


def _id_of(row: Row) -> str:
    return row["id"]


def _rule_of(row: Row) -> str:
    """Id of a jar rule, as answers name it."""
    return "-".join(part for part in (row["food"], row["jar"], "takes", row["takes"]) if part)


def _place(file: str, line: int, row: Row) -> Place:
    return Place(file, line, ", ".join(cell for cell in list(row.values())[:6] if cell))


# things with an id


def _of_id(package: _Tables, kind: str, one: str) -> Uses:
    name = OWN[kind]
    line, row = package.own(name, one)
    places = [*_referring(package, name, one), *_second(package, name, one)]
    if kind == "food":
        places += [*_in_recipes(package.version, one, ("follows", "food")), *_captioned(package, one)]
    elif kind == "source":
        places += _in_recipes(package.version, one, ("source",))
    elif kind in _BY_CODE:
        places += _in_code(one)
    source, page = row.get("source", one if kind == "source" else ""), row.get("page", "")
    text = next((row[column] for column in _TEXTS if row.get(column)), "")
    pages = {(source, page)} if page else {(source, "")} if source else set()
    if kind == "food":
        pages |= {(other["source"], other["page"]) for other in _of_food(package, one)}
    stands = (_place(TABLES[name].file, line, row),)
    answers = _answers(package, _stands_on(kind, one))
    return Uses(kind, one, stands, text, source, page, answers, _sorted(places), _read(package, pages, places))


def _of_food(package: _Tables, food: str) -> Iterator[Row]:
    """Rows of a food that cite a page."""
    for name, column in package.references("foods"):
        if column == "food":
            yield from (row for _, row in package.citing(name) if row["food"] == food)


def _referring(package: _Tables, to: str, one: str) -> Iterator[Place]:
    for name, column in package.references(to):
        file = TABLES[name].file
        yield from (_place(file, line, row) for line, row in package.rows(name) if row[column] == one)


def _captioned(package: _Tables, food: str) -> Iterator[Place]:
    """Rows of the readings under the captions of a food."""
    captions = {(row["guide"], row["caption"]) for _, row in package.rows("captions") if row["food"] == food}
    for name in ("reading-schedules-first", "reading-schedules-second", "lost-cells"):
        for line, row in package.rows(name):
            if (row["guide"], row.get("food", row.get("caption", ""))) in captions:
                yield _place(TABLES[name].file, line, row)


def _in_code(one: str) -> Iterator[Place]:
    """Lines of the library that take a thing by its id."""
    home = os.path.dirname(os.path.dirname(os.path.abspath(__file__)))
    for folder, _, files in os.walk(home):
        for file in (name for name in files if name.endswith(".py")):
            path = os.path.join(folder, file)
            with open(path, encoding="utf-8") as lines:
                for at, line in enumerate(lines, 1):
                    if f'"{one}"' in line:
                        said = os.path.relpath(path, os.path.dirname(home)).replace(os.sep, "/")
                        yield Place(said, at, line.strip()[:80])


def _second(package: _Tables, name: str, one: str) -> Iterator[Place]:
    """Second readings of the page of a row."""
    key = "|".join(package.own(name, one)[1][column] for column in TABLES[name].key)
    for line, row in package.rows("reading-pages-second"):
        if row["table"] == name and row["key"] in (key, key.rpartition("|")[0]):
            yield _place(PAGES, line, row)


def _stands_on(kind: str, one: str) -> Callable[[Row], bool]:
    """Whether an answer names a thing."""
    if kind == "food":
        return lambda row: one in (row["food"], row["follows"])
    if kind == "source":
        return lambda row: row["source"] == one
    if kind == "withheld":
        return lambda row: False
    columns = ("by_rule",) if kind == "jar rule" else ("by_rule", "requires", "cautions")
    return lambda row: any(one in row[column].split() for column in columns)


# pages


def _of_page(package: _Tables, words: str) -> Iterator[Uses]:
    """What cites a page of one publication, or of each that has such a page."""
    first, _, rest = words.partition(" ")
    source, said = (first, rest) if first in package.ids("sources") else ("", words)
    said = said.removeprefix("page ")
    cited: dict[tuple[str, str], list[tuple[str, int, Row]]] = defaultdict(list)
    for name in TABLES:
        for line, row in package.citing(name):
            if row["page"].casefold() == said and source in ("", row["source"]):
                cited[row["source"], row["page"]].append((name, line, row))
    for at, rows in sorted(cited.items()):
        yield _page(package, *at, rows)


def _page(package: _Tables, source: str, page: str, rows: list[tuple[str, int, Row]]) -> Uses:
    places = [_place(TABLES[name].file, line, row) for name, line, row in rows]
    places += _in_recipes(package.version, page, ("page",), source)
    places += [_place(PAGES, line, row) for line, row in package.rows("reading-pages-second") if row["page"] == page]
    ids = {row["id"] for name, _, row in rows if name == "rules"}
    ids |= {_rule_of(row) for name, _, row in rows if name == "jar-rules"}
    conditions = {(row["food"], row["statement"]) for name, _, row in rows if name == "conditions"}
    answers = _answers(package, _on_page(source, page, ids, conditions))
    return Uses("page", page, (), "", source, page, answers, _sorted(places), _read(package, {(source, page)}, places))


def _on_page(source: str, page: str, ids: set[str], conditions: set[tuple[str, str]]) -> Callable[[Row], bool]:
    def stands(row: Row) -> bool:
        if (row["source"], row["page"]) == (source, page):
            return True
        named = {*row["by_rule"].split(), *row["requires"].split(), *row["cautions"].split()}
        return not named.isdisjoint(ids) or any((row["food"], statement) in conditions for statement in named)

    return stands


def _in_recipes(version: Version, one: str, keys: tuple[str, ...], source: str = "") -> Iterator[Place]:
    """Lines of recipes that cite; ``source``: only of recipes of this source."""
    cites, own = _citing(one, keys), _citing(source, ("source",))
    for path in sorted(path for path in version.paths() if path.startswith(RECIPES)):
        lines = (version.read(path) or b"").decode("utf-8", "replace").splitlines()
        if not source or any(map(own.search, lines)):
            yield from (Place(path, at, line.strip()[:80]) for at, line in enumerate(lines, 1) if cites.search(line))


def _citing(one: str, keys: tuple[str, ...]) -> re.Pattern[str]:
    """A key of a recipe with one value."""
    return re.compile(rf"\b(?:{'|'.join(keys)})[\"']?:\s*[\"']?{re.escape(one)}[\"']?\s*(?:[,}}\]#]|$)")


# answers and readings


def _answers(package: _Tables, stands: Callable[[Row], bool]) -> Told:
    acidity = {row["id"]: row["acidity"] for _, row in package.rows("foods")}
    found = Counter(row["food"] for _, row in package.rows("answers") if row["result"] == TESTED and stands(row))
    low = sum(number for food, number in found.items() if acidity.get(food) == "low-acid")
    order = sorted(found.items(), key=lambda one: (acidity.get(one[0]) != "low-acid", -one[1], one[0]))
    return Told(found.total(), low, tuple(order))


def _read(package: _Tables, pages: set[tuple[str, str]], places: list[Place]) -> tuple[Read, ...]:
    """Who read pages, in the readings that have a line there: the entry of the very page goes before that of all."""
    files = {place.file for place in places}
    rows = [Read(*row.values()) for _, row in package.rows("readers") if TABLES[row["reading"]].file in files]
    found: set[Read] = set()
    for source, page in pages:
        of_source = [row for row in rows if row.source == source]
        for reading in {row.reading for row in of_source}:
            exact = [row for row in of_source if row.reading == reading and row.page == page]
            found |= set(exact or [row for row in of_source if row.reading == reading and row.page == "all"])
    return tuple(sorted(found))


def _sorted(places: Iterable[Place]) -> tuple[Place, ...]:
    return tuple(sorted(set(places)))
