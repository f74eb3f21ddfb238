"""Withdrawal: a food goes out of a package, and everyone who asks for it is told why.

What refers to the food leaves with it: its schedules and both readings of them, its names, forms, headspace, yields,
acid, conditions, relations, recipe, and the second readings of its pages. Its id, title and aliases become names of an
entry in withheld.csv. The package as it would then be is made in a folder of its own and checked there, before a file
of the package is touched.
"""

from __future__ import annotations

import csv
import io
import os
import re
from collections.abc import Callable, Iterable, Iterator, Mapping
from contextlib import contextmanager
from typing import TYPE_CHECKING, NamedTuple

from stillroom.desk.tidy import replace, tidied
from stillroom.errors import BadInput, BadPackage, StillroomError
from stillroom.findings.breach import references
from stillroom.findings.finding import Finding, shown
from stillroom.package import files
from stillroom.package.keys import row_key
from stillroom.package.tables import GROUPS
from stillroom.package.versions import folder_version

if TYPE_CHECKING:
    from stillroom.findings.opened import CheckedPackage
    from stillroom.findings.table import Table

Row = dict[str, str]
Tables = dict[str, list[Row]]

_READINGS = ("reading-schedules-first", "reading-schedules-second", "reading-foods-first", "reading-foods-second")
"""Tables whose rows are of a caption, which stands in their column food."""
_CAPTIONED = ("footnotes", "lost-cells")
"""Tables whose rows are of a caption, which stands in their column caption."""
_PAGES = "reading-pages-second"


class Reason(NamedTuple):
    """Why a food is withdrawn.

    Attributes
    ----------
    text : str
        In one sentence, as people who ask are told.
    instead : str
        What to do instead; blank: nothing.
    source, page : str
        Where it is published; page ``web`` where the source has none.
    second_page : str
        The page as somebody else found it who did not see the first; blank: not looked up yet, or a source without.
    """

    text: str
    instead: str
    source: str
    page: str
    second_page: str = ""


class Withdrawal(NamedTuple):
    """What a withdrawal does to the files of a package.

    Attributes
    ----------
    food : str
        Its id.
    files : dict of str to (bytes or None)
        New content by path; None: the file goes.
    rows : tuple of (str, int)
        File, and the rows it loses or, below zero, gains.
    names : tuple of str
        Names that are withheld from now on.
    closed : tuple of str
        Open names that go because they are left with one meaning.
    findings : tuple of Finding
        Of the package as it would then be, but for declared hashes.
    """

    food: str
    files: dict[str, bytes | None]
    rows: tuple[tuple[str, int], ...]
    names: tuple[str, ...]
    closed: tuple[str, ...]
    findings: tuple[Finding, ...]


def withdrawal(root: str, said: str, reason: Reason) -> Withdrawal:
    """Work out what the withdrawal of a food does, and check what is left; nothing of the package is written.

    Parameters
    ----------
    root : str
        Folder that holds datapackage.json.
    said : str
        Id or title of the food.
    reason : Reason

    Raises
    ------
    BadInput
        No such folder, no such source, a reason that says nothing, a name of only a part of a food, a food that
        others follow, or one that is withheld already under its id.
    NoTestedSchedule, SayWhich
        Nothing is called so, it is withheld, or the name stands for several foods.
    BadPackage
        A file cannot be read as what it is.
    """
    from stillroom.findings.opened import CheckedPackage

    tidied(root, write=False)  # raises where a table cannot be read
    package = CheckedPackage(root)
    food = _food(package, said)
    _hold_to(package, food, reason)
    before = {name: table.rows for name, table in package.tables.items()}
    names = _names(before, food)
    after, closed = _without(package, before, food)
    _add(after, before, food, reason, names)
    changed = [package.tables[name] for name in before if after[name] != before[name]]
    content: dict[str, bytes | None] = {table.file: _text(table, after[table.name]) for table in changed}
    content |= dict.fromkeys(_recipes(package, food))
    content |= _made(package.root, content)
    rows = tuple((table.file, len(before[table.name]) - len(after[table.name])) for table in changed)
    return Withdrawal(food, content, rows, names, closed, tuple(_findings(package.root, content)))


def write(root: str, found: Withdrawal) -> None:
    """Write the files of a withdrawal, each whole or not at all; those that it adds to come first.

    Raises
    ------
    BadInput
        ``root`` holds no datapackage.json.
    BadPackage
        A file cannot be written, or leads out of the package by a link.
    """
    if not os.path.isfile(os.path.join(root, "datapackage.json")):
        raise BadInput(f"{shown(root, 200)} holds no datapackage.json: nothing is written there")
    places = {path: _inside(root, path) for path in found.files}
    for path, content in sorted(found.files.items(), key=lambda item: "withheld" not in item[0]):
        if content is not None:
            replace(places[path], content.decode())
            continue
        try:
            os.unlink(places[path])
        except OSError as error:
            raise BadPackage(f"{shown(path, 200)} cannot be removed: {error.strerror}") from None


def _inside(root: str, path: str) -> str:
    try:
        full = files.inside(root, path)
    except files.Unread as error:
        raise BadPackage(f"{shown(path, 200)} {error.said}") from None
    if os.path.islink(full):
        raise BadPackage(f"{shown(path, 200)} is a symbolic link: put the file itself in its place")
    return full


# what is asked


def _food(package: CheckedPackage, said: str) -> str:
    from stillroom.answers.shelf import Shelf
    from stillroom.package.package import Package

    shelf = Shelf(Package(package.root))
    meaning = shelf.names.meaning(said, shelf.cite)
    if meaning.said or meaning.form:
        raise BadInput(f'"{shown(said)}" is one name of {meaning.food}: write {meaning.food} to withdraw all of it')
    return meaning.food


def _hold_to(package: CheckedPackage, food: str, reason: Reason) -> None:
    """Refuse what would leave the package in pieces."""
    if not reason.text.strip() or not reason.text.isprintable() or not reason.instead.isprintable():
        raise BadInput("a reason is one sentence in one line: write what people who ask are to be told")
    if reason.source not in {row["id"] for row in package.table("sources").rows}:
        raise BadInput(f'source "{shown(reason.source)}" is not in shared/sources.csv: add its row first')
    for page in (reason.page, reason.second_page or reason.page):
        if not re.fullmatch(_pattern(package.table("withheld")), page):
            raise BadInput(
                f'page "{shown(page)}" is no printed page: write it as it is printed, or web where the source has none'
            )
    if food in {row["id"] for row in package.table("withheld").rows}:
        raise BadInput(f"{food} is the id of an entry in schedules/withheld.csv: give that entry another id first")
    follow = {
        row["food"]: table.file
        for table in package.tables.values()
        if "follows" in table.columns
        for row in table.rows
        if row["follows"] == food and row["food"] != food
    }
    if follow:
        told = ", ".join(f"{other} ({file})" for other, file in sorted(follow.items()))
        raise BadInput(f"{food} is followed by {told}: withdraw these first, or give them schedules of their own")


def _pattern(table: Table) -> str:
    """Form of a page, as the schema has it."""
    field = next(field for field in table.schema["fields"] if field["name"] == "page")
    return str(field.get("constraints", {}).get("pattern", ".+"))


# what goes


def _names(tables: Mapping[str, list[Row]], food: str) -> tuple[str, ...]:
    """Title, aliases and id of a food, each in one spelling; a name of letters alone goes as it stands."""
    from stillroom.answers.stems import plain

    titles = [row["title"] for row in tables["foods"] if row["id"] == food]
    aliases = [row["alias"] for row in tables["aliases"] if row["food"] == food]
    taken = {plain(row["alias"]) for row in tables["withheld-names"]}
    spelled: dict[str, str] = {}
    for name in (*titles, *aliases, food.replace("-", " ")):
        spelled.setdefault(plain(name), name)
    return tuple(name for words, name in spelled.items() if words not in taken)


def _without(package: CheckedPackage, before: Tables, food: str) -> tuple[Tables, tuple[str, ...]]:
    """Give the tables without the food, and the open names that go because one meaning is left."""
    gone = {name: _refers(name, package.tables[name], before, food) for name in before}
    after = {name: [row for row in rows if not gone[name](row)] for name, rows in before.items()}
    after["cautions"] = _still_said(before, after)
    after["open-names"], closed = _still_open(before["open-names"], after["open-names"])
    cited = _cited(package, before) - _cited(package, after)
    after[_PAGES] = [
        row
        for row in after[_PAGES]
        if (row["table"], row["key"]) not in cited
        and not (row["table"] == "recipe" and row["key"].split("|")[0] == food)
    ]
    return after, closed


def _refers(name: str, table: Table, tables: Tables, food: str) -> Callable[[Row], bool]:
    """Give the test whether a row of a table is of the food."""
    if name == "foods":
        return lambda row: row["id"] == food
    if name in _READINGS or name in _CAPTIONED:
        column = "food" if name in _READINGS else "caption"
        captions: dict[tuple[str, str], list[Row]] = {}
        for entry in tables["captions"]:
            captions.setdefault((entry["guide"], entry["caption"]), []).append(entry)
        return lambda row: _captioned(captions.get((row["guide"], row[column]), []), _told(row)) == food
    if _is_of_foods(table):
        return lambda row: row["food"] == food
    return lambda row: False


def _is_of_foods(table: Table) -> bool:
    return any(ref.column == "food" and ref.resource == "foods" for ref in references(table))


def _told(row: Row) -> str:
    """Note by which a caption of several foods tells them apart."""
    return row.get("when_note_says", row.get("note", ""))


def _captioned(of_caption: list[Row], note: str) -> str:
    """Food of a printed caption: the only one it has, or the first that the note fits."""
    if len({row["food"] for row in of_caption}) == 1:
        return of_caption[0]["food"]
    return next((row["food"] for row in of_caption if row["when_note_says"] in note), "")


def _still_said(before: Tables, after: Tables) -> list[Row]:
    """Keep statements but those that conditions of the food alone used."""
    used, left = ({row["statement"] for row in tables["conditions"]} for tables in (before, after))
    return [row for row in before["cautions"] if row["id"] not in used - left]


def _still_open(before: list[Row], after: list[Row]) -> tuple[list[Row], tuple[str, ...]]:
    """Keep open names that still have two meanings; one with a single meaning is no question, and none is guessed."""
    from stillroom.answers.stems import ordered, plain

    touched = {row["name"] for row in before} - {row["name"] for row in after}
    touched |= {row["name"] for row in before if row not in after}
    meanings: dict[tuple[str, ...], int] = {}
    for row in after:
        stems = ordered(plain(row["name"]))
        meanings[stems] = meanings.get(stems, 0) + 1
    closed = sorted(name for name in touched if meanings.get(ordered(plain(name)), 0) < 2)
    return [row for row in after if row["name"] not in closed], tuple(closed)


def _cited(package: CheckedPackage, tables: Tables) -> set[tuple[str, str]]:
    """Rows that cite a page, by their table and key as pages-second.csv writes them."""
    return {one for name, rows in tables.items() for one in _keys(name, package.tables[name], rows)}


def _keys(name: str, table: Table, rows: Iterable[Row]) -> Iterator[tuple[str, str]]:
    if name in (*GROUPS, "not-recommended"):
        for row in rows:
            yield name, "|".join((row["food"], row["form"], row["caption"], row["gauge"] or row["method"]))
    elif {"source", "page"} <= set(table.columns):
        columns = row_key(table.schema)
        for row in rows:
            yield name, "|".join(row[column] for column in columns)


def _recipes(package: CheckedPackage, food: str) -> Iterator[str]:
    for path, (recipe, _) in package.recipes.items():
        if isinstance(recipe, dict) and recipe.get("food") == food:
            yield path


# what comes


def _add(after: Tables, before: Tables, food: str, reason: Reason, names: Iterable[str]) -> None:
    """Add the withheld entry, its names, and the second reading of its page where somebody made one."""
    title = next(row["title"] for row in before["foods"] if row["id"] == food)
    entry = {"id": food, "title": title, "code": "withheld", "kind": "food", "reason": " ".join(reason.text.split())}
    entry |= {"instead": " ".join(reason.instead.split()), "source": reason.source, "page": reason.page}
    after["withheld"] = _sorted([*after["withheld"], entry], "id")
    added = [{"alias": name, "withheld": food} for name in names]
    after["withheld-names"] = _sorted([*after["withheld-names"], *added], "alias")
    if reason.second_page:
        read = {"table": "withheld", "key": food, "page": reason.second_page}
        after[_PAGES] = _sorted([*after[_PAGES], read], "table", "key", "page")


def _sorted(rows: list[Row], *columns: str) -> list[Row]:
    return sorted(rows, key=lambda row: [row[column] for column in columns])


def _text(table: Table, rows: Iterable[Row]) -> bytes:
    file = io.StringIO()
    writer = csv.writer(file, lineterminator="\n")
    writer.writerows([table.columns, *([row[column] for column in table.columns] for row in rows)])
    return file.getvalue().encode()


# what is left


def _made(root: str, content: Mapping[str, bytes | None]) -> dict[str, bytes | None]:
    """Make the tables of answers and names of the package as it would be; none where it cannot be asked."""
    from stillroom.answers.answer_rows import tables
    from stillroom.answers.shelf import Shelf
    from stillroom.package.package import Package

    with _as_it_would_be(root, content) as folder:
        try:
            return {file: text.encode() for file, text in tables(Shelf(Package(folder))).items()}
        except (StillroomError, LookupError, ValueError):  # the check tells why
            return {}


@contextmanager
def _as_it_would_be(root: str, content: Mapping[str, bytes | None]) -> Iterator[str]:
    with folder_version(root) as version:
        kept = {path: version.read(path) for path in version.paths() - content.keys()}
    with files.aside({path: data for path, data in (kept | dict(content)).items() if data is not None}) as folder:
        yield folder


def _findings(root: str, content: Mapping[str, bytes | None]) -> Iterator[Finding]:
    """Check the package as it would be, in a folder of its own; a declared hash is renewed by whoever reviews."""
    from stillroom.findings import checks
    from stillroom.findings.opened import CheckedPackage

    with _as_it_would_be(root, content) as folder:
        report = checks.report(CheckedPackage(folder))
    yield from (finding for finding in report.findings if finding.check != "hash")
    for line in (*report.left_out, *report.broken):
        yield Finding("withdraw", "datapackage.json", None, "", "", line)
