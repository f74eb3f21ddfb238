"""SQL: the statements that make one database of all tables, the same for SQLite and DuckDB but for the types.

Names have an underscore where datapackage.json has a hyphen, so that no question needs quotes. A key of a table may
hold columns that are blank, which no primary key of a database may: such a key is a unique index in which a blank
counts as a value.
"""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping
from typing import NamedTuple

from stillroom.export.typed import Content, Field, Typed, Value

ANSWER = "answer"
"""The view that one filter asks."""
ANSWER_SAYS = (
    "One filter answers: food, form, pack, jar and canner (form and pack are '' where there is none), and "
    "altitude_ft > above_ft AND altitude_ft <= to_ft; the ends of an open band are infinite. Only rows whose result is "
    "tested may be used; several are equal options. requires and cautions belong to the answer, and a pressure canner "
    "is vented vent_min minutes before its time begins."
)
_VIEW = """
CREATE VIEW answer AS SELECT
  a.food, f.title AS food_title, COALESCE(a.form, '') AS form, COALESCE(a.pack, '') AS pack, a.jar, a.canner,
  CAST(COALESCE(a.above_ft, {low}) AS {real}) AS above_ft, CAST(COALESCE(a.to_ft, {high}) AS {real}) AS to_ft,
  a.result, a.option, a.minutes, a.pressure_psi,
  CASE WHEN a.pressure_psi IS NOT NULL THEN CAST(v.value AS INTEGER) END AS vent_min, a.headspace_in, a.acid,
  a.requires, NULLIF(TRIM(COALESCE(a.acid, '') || ' ' || COALESCE(r.words, '')), '') AS requires_in_words,
  a.cautions, c.words AS cautions_in_words, a.by_rule, a.follows, a.source, a.page
FROM answers AS a
JOIN foods AS f ON f.id = a.food
LEFT JOIN rules AS v ON v.id = 'vent-time' AND v.source = a.source
LEFT JOIN said AS r ON r.ids = a.requires
LEFT JOIN said AS c ON c.ids = a.cautions
"""


SCHEDULES = "schedules"
"""The view of all printed schedules as one table."""
SCHEDULES_SAYS = "All printed schedules, one row for each published cell; printed_in names the table of the row."


class Dialect(NamedTuple):
    """What differs: types by name, altitudes that no place lies below and above, what ends a table, own references."""

    types: Mapping[str, str]
    low: str
    high: str
    strict: str
    self_references: bool


class Made(NamedTuple):
    """A table as SQL: its name, the statement that makes it, its indexes and its rows."""

    name: str
    create: str
    indexes: tuple[str, ...]
    rows: tuple[tuple[Value, ...], ...]


def name(table: str) -> str:
    """Name a table in a database."""
    return table.replace("-", "_")


def tables(content: Content, said: Iterable[tuple[str, str]], dialect: Dialect) -> Iterator[Made]:
    """Give every table to make, those that others refer to first, and after them what tells about them.

    Parameters
    ----------
    content : Content
    said : iterable of tuple of str
        Sets of ids and their sentences.
    dialect : Dialect
    """
    for table in ordered(content.tables):
        yield _made(table, dialect)
    yield _plain("said", ("ids", "words"), said, dialect)
    yield _plain("about", ABOUT, about(content.tables), dialect)
    yield _plain("about_tables", ABOUT_TABLES, about_tables(content.tables), dialect)


def views(content: Content, dialect: Dialect) -> Iterator[str]:
    """Give the statements that make the views."""
    yield _answer(dialect)
    parts = [
        f"""SELECT '{table.name}' AS printed_in, * FROM "{name(table.name)}\""""
        for table in content.tables
        if table.printed
    ]
    if parts:
        yield f"CREATE VIEW {SCHEDULES} AS {' UNION ALL '.join(parts)}"


def _answer(dialect: Dialect) -> str:
    return _VIEW.format(low=dialect.low, high=dialect.high, real=dialect.types["number"]).strip()


def insert(table: Made) -> str:
    """Give the statement that inserts one row."""
    marks = ", ".join("?" * len(table.rows[0])) if table.rows else ""
    return f'INSERT INTO "{table.name}" VALUES ({marks})'


ABOUT = ("table", "column", "type", "unit", "required", "key", "refers_to", "description")
"""Columns of what tells about each column."""
ABOUT_TABLES = ("table", "title", "description", "key", "rows")
"""Columns of what tells about each table."""


def about(found: Iterable[Typed], named: bool = True) -> Iterator[tuple[str | None, ...]]:
    """Tell about each column: type, unit, whether each row has it, its key, where it refers to, what it says.

    Parameters
    ----------
    found : iterable of Typed
    named : bool, optional
        Name tables as a database does.
    """
    for table in found:
        for field in table.fields:
            key = "primary" if field.name in table.key else "unique" if field.name in sum(table.unique, ()) else None
            yield (
                name(table.name) if named else table.name,
                field.name,
                field.type,
                field.unit or None,
                "yes" if field.required else "no",
                key,
                _refers(table, field, named),
                field.description,
            )


def about_tables(found: Iterable[Typed], named: bool = True) -> Iterator[tuple[str | None, ...]]:
    """Tell about each table: its title, what it holds, the columns of its key and how many rows it has."""
    for table in found:
        said = name(table.name) if named else table.name
        key = ", ".join(next(iter(table.keys), ())) or None
        yield said, table.title, table.description, key, str(len(table.rows))


def ordered(found: Iterable[Typed]) -> list[Typed]:
    """Order tables so that each stands after those it refers to; equal ones by their order in the package."""
    left, done = list(found), dict[str, Typed]()
    while left:
        table = next((t for t in left if all(r.table in (*done, t.name) for r in t.references)), left[0])
        left.remove(table)
        done[table.name] = table
    return list(done.values())


def _refers(table: Typed, field: Field, named: bool) -> str | None:
    return next(
        (
            f"{name(each.table) if named else each.table}.{each.columns[each.fields.index(field.name)]}"
            for each in table.references
            if field.name in each.fields
        ),
        None,
    )


def _made(table: Typed, dialect: Dialect) -> Made:
    required = {field.name for field in table.fields if field.required}
    parts = [
        f'"{field.name}" {dialect.types[field.type]}{" NOT NULL" if field.required else ""}' for field in table.fields
    ]
    whole = table.key if table.key and set(table.key) <= required else ()
    if whole:
        parts.append(f"PRIMARY KEY ({_listed(whole)})")
    parts += [
        f'FOREIGN KEY ({_listed(each.fields)}) REFERENCES "{name(each.table)}" ({_listed(each.columns)})'
        for each in table.references
        if dialect.self_references or each.table != table.name
    ]
    said = name(table.name)
    indexes = [
        f'CREATE UNIQUE INDEX "{said}_key_{place}" ON "{said}" ({_indexed(table, columns)})'
        for place, columns in enumerate(table.keys, 1)
        if columns != whole
    ]
    if said == "answers":
        indexes.append('CREATE INDEX "asked" ON "answers" ("food", "jar", "canner")')
    elif said == "names":
        indexes.append('CREATE INDEX "named" ON "names" ("name")')
    return Made(said, f'CREATE TABLE "{said}" ({", ".join(parts)}){dialect.strict}', tuple(indexes), table.rows)


def _plain(said: str, columns: tuple[str, ...], rows: Iterable[tuple[str | None, ...]], dialect: Dialect) -> Made:
    text = dialect.types["string"]
    parts = [f'"{column}" {text}' for column in columns]
    if said == "said":
        parts[0] += " PRIMARY KEY NOT NULL"
    return Made(said, f'CREATE TABLE "{said}" ({", ".join(parts)}){dialect.strict}', (), tuple(rows))


def _listed(columns: Iterable[str]) -> str:
    return ", ".join(f'"{column}"' for column in columns)


def _indexed(table: Typed, columns: tuple[str, ...]) -> str:
    fields = {field.name: field for field in table.fields}
    return ", ".join(
        f'"{column}"'
        if fields[column].required
        else f"""COALESCE("{column}", {"''" if fields[column].type == "string" else "-1"})"""
        for column in columns
    )
