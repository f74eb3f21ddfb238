"""Handouts of invented counties: laid out as extension offices lay them out, with the published values in them.

``python -m tests.audit.corpus`` writes those that are text to ``tests/audit/handouts``, where a person can read them as
they are handed out; a test holds the files to what is built here. The counties, offices and footnotes are invented.
"""

# ruff: noqa: E501, RUF001, RUF002

from __future__ import annotations

from functools import cache

from tests.audit.handout import COVERED, Cell, Handout, Table, text_of
from tests.audit.published import (
    BOILING,
    DIAL,
    FOUR,
    THREE,
    WEIGHT,
    Band,
    Fact,
    acids,
    headspaces,
    strongest,
)
from tests.repository import HOME

FOLDER = HOME / "tests/audit/handouts"
Row = tuple[Cell, ...]
INVENTED = "Invented for tests of the audit; not for use."
LOCAL: Band = (1649, 1650)
"""One height, 1,650 ft."""
PEACH = (("Peaches", "peaches", "hot"), ("Peaches", "peaches", "raw"), ("Pears", "pears", "hot"),
         ("Apples, sliced", "apples-sliced", "hot"), ("Applesauce", "applesauce", "hot"))  # fmt: skip
STONE = (("Plums", "plums", "hot"), ("Plums", "plums", "raw"), ("Cherries", "cherries", "hot"),
         ("Cherries", "cherries", "raw"), ("Apricots", "apricots", "hot"), ("Nectarines", "nectarines", "raw"))  # fmt: skip
ROOTS = (("Carrots", "carrots", "hot"), ("Carrots", "carrots", "raw"), ("Beets", "beets", "hot"),
         ("Sweet potatoes", "sweet-potatoes", "hot"), ("Potatoes, white", "white-potatoes", "hot"))  # fmt: skip
GREEN = (("Asparagus", "asparagus", "hot"), ("Snap beans", "snap-beans", "raw"), ("Peas, green", "green-peas", "raw"),
         ("Corn, whole kernel", "whole-kernel-corn", "hot"), ("Okra", "okra", "hot"))  # fmt: skip
CRUSHED = ("Tomatoes, crushed", "tomatoes-crushed", "hot")
JARS = ("pint", "quart")
KPA = {psi: round(psi * 6.894757) for psi in range(1, 21)}
"""One pound per square inch is 6.894757 kPa (NIST SP 811, appendix B)."""
METERS = {feet: round(feet * 0.3048) for feet in (1000, 2000, 3000, 4000, 6000, 8000)}
"""One foot is 0.3048 m exactly (NIST SP 811, appendix B)."""


def head(*texts: str) -> Row:
    """Give a row of heads."""
    return tuple(Cell(text, "head") for text in texts)


def dash(band: Band) -> str:
    """Say a band as ``1,001–3,000 ft``."""
    above, to = band
    return f"Above {above:,} ft" if to is None else f"{above + 1 if above else 0:,}–{to:,} ft"


def up_to(band: Band) -> str:
    """Say a band as ``Up to 1,000 ft`` or ``1,001 to 3,000 feet``."""
    above, to = band
    if above is None:
        return f"Up to {to:,} ft"
    return f"Above {above:,} ft" if to is None else f"{above + 1:,} to {to:,} feet"


def foot_mark(band: Band) -> str:
    """Say a band as ``1001-3000'``."""
    above, to = band
    return f"Above {above}'" if to is None else f"{above + 1 if above else 0}-{to}'"


def meters(band: Band) -> str:
    """Say a band as ``306-914 m``."""
    above, to = band
    low = METERS[above] if above else 0
    return f"Above {low:,} m" if to is None else f"{low + 1 if above else 0:,}-{METERS[to]:,} m"


def fact(food: str, pack: str, jar: str, canner: str, band: Band, form: str = "", number: int = 0) -> Fact:
    """Give the published process that serves a band."""
    key = (food, form, pack, jar, canner)
    return Fact(key, band, strongest(key, band, number))


def said(style: str, *facts: Fact, kind: str = "minutes") -> Cell:
    """Write the process of the first fact: ``{m}`` minutes, ``{p}`` psi, ``{k}`` kPa, ``{h}`` hours and minutes."""
    minutes, psi = facts[0].option
    hours = (
        f"{minutes} min" if minutes < 60 else f"{minutes // 60} hr" + (f" {minutes % 60} min" if minutes % 60 else "")
    )
    return Cell(style.format(m=minutes, p=psi, k=KPA.get(psi or 0), h=hours), kind, facts)


def foot(food: str, text: str | None = None) -> Cell:
    """Write the name of a food."""
    return Cell(text or food, "food")


PLURAL = {"pint": "Pints", "quart": "Quarts", "half-pint": "Half-pints"}


def by_altitude(
    foods: tuple[tuple[str, str, str], ...],
    canner: str = BOILING,
    bands: tuple[Band, ...] = FOUR,
    style: str = "{m}",
    label: object = dash,
    kind: str = "minutes",
    jars: tuple[str, ...] = JARS,
) -> Table:
    """Lay out a row per food, pack and jar, and a column per band."""
    assert callable(label)
    rows: list[Row] = [head("Food", "Pack", "Jar", *(label(band) for band in bands))]
    for text, food, pack in foods:
        for jar in jars:
            cells = [said(style, fact(food, pack, jar, canner, band), kind=kind) for band in bands]
            rows.append((Cell(text, "food"), Cell(pack.title(), "pack"), Cell(PLURAL[jar], "jar"), *cells))
    return Table(tuple(rows))


def tidy(
    foods: tuple[tuple[str, str, str], ...],
    canners: tuple[tuple[str, str, tuple[Band, ...]], ...],
    minutes: str = "{m}",
    psi: str = "{p}",
    label: object = dash,
    heads: tuple[str, ...] = ("Food", "Pack", "Jar", "Canner", "Altitude", "Minutes", "Pressure (psi)"),
) -> Table:
    """Lay out a row per process."""
    assert callable(label)
    rows: list[Row] = [head(*heads)]
    for text, food, pack in foods:
        for jar in JARS:
            for canner, words, bands in canners:
                for band in bands:
                    one = fact(food, pack, jar, canner, band)
                    pressure = said(psi, one, kind="psi") if one.option.psi else Cell("", "none")
                    rows.append((
                        Cell(text, "food"), Cell(pack, "pack"), Cell(jar, "jar"), Cell(words, "canner"),
                        Cell(label(band), "band"), said(minutes, one), pressure,
                    ))  # fmt: skip
    return Table(tuple(rows))


def by_jar(foods: tuple[tuple[str, str, str], ...], canner: str = BOILING, band: Band = LOCAL, style: str = "{m}",
           heads: tuple[str, ...] = ("Food", "Pack", "Pt", "Qt"), kind: str = "minutes") -> Table:  # fmt: skip
    """Lay out a row per food and pack, and a column per jar."""
    rows: list[Row] = [head(*heads)]
    for text, food, pack in foods:
        cells = [said(style, fact(food, pack, jar, canner, band), kind=kind) for jar in JARS]
        rows.append((Cell(text, "food"), Cell(pack, "pack"), *cells))
    return Table(tuple(rows))


def pressures(foods: tuple[tuple[str, str, str], ...], canners: tuple[str, ...] = ("dial",), minutes: str = "{m}",
              psi: str = "{p}", label: object = dash) -> Table:  # fmt: skip
    """Lay out a row per food, pack and jar with one time, and the pressure of each band beside it."""
    assert callable(label)
    columns = [(canner, band) for canner in canners for band in (DIAL if canner == "dial" else WEIGHT)]
    named = {"dial": "Dial psi ", "weighted": "Weighted psi "} if len(canners) > 1 else {canners[0]: "psi "}
    rows: list[Row] = [head("Food", "Pack", "Jar", "Minutes", *(named[c] + label(band) for c, band in columns))]
    for text, food, pack in foods:
        for jar in JARS:
            facts = [fact(food, pack, jar, canner, band) for canner, band in columns]
            cells = [said(psi, one, kind="psi") for one in facts]
            rows.append((Cell(text, "food"), Cell(pack, "pack"), Cell(jar, "jar"), said(minutes, *facts), *cells))
    return Table(tuple(rows))


def banded(table: Table, column: int) -> Table:
    """Make the cells of one column to rows of their own above those that share it."""
    rows: list[Row] = [row[:column] + row[column + 1 :] for row in table.rows[: table.heads]]
    last = ""
    for row in table.rows[table.heads :]:
        if row[column].text != last:
            last = row[column].text
            words = f"{last.title()} pack" if row[column].kind == "pack" else last
            rows.append((Cell(words, "section"), *[Cell("", "none")] * (len(row) - 2)))
        rows.append(row[:column] + row[column + 1 :])
    return Table(tuple(rows), table.heads)


def joined(table: Table, column: int, style: str) -> Table:
    """Put a column into the cell of the food before it."""
    rows = []
    for r, row in enumerate(table.rows):
        first = row[0] if r < table.heads else Cell(style.format(row[0].text, row[column].text.lower()), "food")
        rows.append((first, *row[1:column], *row[column + 1 :]))
    return Table(tuple(rows), table.heads)


def marked(table: Table, **marks: str) -> Table:
    """Put marks of footnotes behind names of foods."""
    return Table(
        tuple(
            tuple(
                Cell(c.text + marks[c.text], c.kind, c.facts) if c.kind == "food" and c.text in marks else c
                for c in row
            )
            for row in table.rows
        ),
        table.heads,
    )


def renamed(table: Table, **names: str) -> Table:
    """Write other names of foods, by the first words of the id with an underline between."""
    changed = {key.replace("_", " "): text for key, text in names.items()}
    return Table(
        tuple(
            tuple(Cell(changed[c.text], c.kind, c.facts) if c.kind == "food" and c.text in changed else c for c in row)
            for row in table.rows
        ),
        table.heads,
    )


def widened(table: Table, heads: tuple[str, ...], cells: object) -> Table:
    """Add columns at the right; ``cells`` gives those of a row."""
    assert callable(cells)
    top = [(*row, *(head(*heads) if r == table.heads - 1 else head(*[""] * len(heads)))) for r, row in
           enumerate(table.rows[: table.heads])]  # fmt: skip
    return Table((*top, *((*row, *cells(row)) for row in table.rows[table.heads :])), table.heads)


def _key(row: Row) -> tuple[str, str, str, str, str]:
    return next(cell.facts[0].key for cell in row if cell.facts)


def acid(row: Row) -> Row:
    """Give the acid of the food and jar of a row."""
    key = _key(row)
    return (Cell(acids()[key[0], key[3]], "acid", (Fact(key, (None, None), strongest(key, (None, None))),)),)


FRACTIONS = {"1": "1 inch", "0.5": "1/2 inch", "0.25": "1/4 inch", "0.125": "1/8 inch", "1.25": "1-1/4 inches"}


def room(row: Row) -> Row:
    """Give the headspace of the food of a row."""
    return (Cell(FRACTIONS[headspaces()[_key(row)[0]]], "headspace"),)


BOTH = (("dial", "Dial gauge", DIAL), ("weighted", "Weighted gauge", WEIGHT))
BW = ((BOILING, "Boiling water", FOUR),)


def _two_heads() -> Table:
    rows: list[Row] = [
        (Cell("Food", "head", rows=2), *_spanning(("Hot pack", 2), ("Raw pack", 2))),
        (COVERED, *head("Pt", "Qt", "Pt", "Qt")),
    ]
    for text, food in (("Peaches", "peaches"), ("Plums", "plums"), ("Cherries", "cherries"), ("Berries", "berries")):
        cells = [said("{m}", fact(food, pack, jar, BOILING, LOCAL)) for pack in ("hot", "raw") for jar in JARS]
        rows.append((Cell(text, "food"), *cells))
    return Table(tuple(rows), 2)


def _spanning(*heads: tuple[str, int]) -> Row:
    cells: list[Cell] = []
    for text, columns in heads:
        cells += [Cell(text, "head", columns=columns), *[COVERED] * (columns - 1)]
    return tuple(cells)


def _three_heads(style: str = "{p}") -> Table:
    rows: list[Row] = [
        (Cell("Food", "head", rows=3), Cell("Jar", "head", rows=3), Cell("Minutes", "head", rows=3),
         *_spanning(("Canner pressure (psi)", 6))),
        (COVERED, COVERED, COVERED, *_spanning(("Dial gauge", 4), ("Weighted gauge", 2))),
        (COVERED, COVERED, COVERED, *head(*map(dash, DIAL), *map(dash, WEIGHT))),
    ]  # fmt: skip
    columns = [("dial", band) for band in DIAL] + [("weighted", band) for band in WEIGHT]
    for text, food, pack in (("Beets", "beets", "hot"), ("Sweet potatoes", "sweet-potatoes", "hot"),
                             ("Mushrooms", "mushrooms", "hot"), ("Okra", "okra", "hot")):  # fmt: skip
        for jar in JARS if food != "mushrooms" else ("pint",):
            facts = [fact(food, pack, jar, canner, band) for canner, band in columns]
            cells = [said(style, one, kind="psi") for one in facts]
            rows.append((Cell(text, "food"), Cell(PLURAL[jar], "jar"), said("{m}", *facts), *cells))
    return Table(tuple(rows), 3)


def _jar_over_altitude() -> Table:
    rows: list[Row] = [
        (
            Cell("Food", "head", rows=2),
            Cell("Pack", "head", rows=2),
            *_spanning(("Pints (min)", 4), ("Quarts (min)", 4)),
        ),
        (COVERED, COVERED, *head(*map(dash, FOUR), *map(dash, FOUR))),
    ]
    for text, food, pack in STONE:
        cells = [said("{m}", fact(food, pack, jar, BOILING, band)) for jar in JARS for band in FOUR]
        rows.append((Cell(text, "food"), Cell(pack, "pack"), *cells))
    return Table(tuple(rows), 2)


def _options(style: str = "{m0} min at {p0} psi or {m1} min at {p1} psi") -> Table:
    rows: list[Row] = [head("Food", "Pack", "Jar", *map(dash, DIAL))]
    for text, food in (("Crushed tomatoes", "tomatoes-crushed"), ("Tomato juice", "tomato-juice")):
        for jar in JARS:
            cells = []
            for band in DIAL:
                one, other = (fact(food, "hot", jar, "dial", band, number=n) for n in (0, 1))
                (m0, p0), (m1, p1) = one.option, other.option
                cells.append(Cell(style.format(m0=m0, p0=p0, m1=m1, p1=p1), "options", (one, other)))
            rows.append((Cell(text, "food"), Cell("hot", "pack"), Cell(jar, "jar"), *cells))
    return widened(Table(tuple(rows)), ("Acid per jar",), acid)


def _weight_options() -> Table:
    rows: list[Row] = [head("Food", "Pack", "Jar", "Altitude", "Time (min)", "Weight (psi)")]
    for text, food in (("Crushed tomatoes", "tomatoes-crushed"), ("Tomato juice", "tomato-juice")):
        for jar in JARS:
            for band, numbers in ((WEIGHT[0], (0, 1, 2)), (WEIGHT[1], (0, 1))):
                for number in numbers:
                    one = fact(food, "hot", jar, "weighted", band, number=number)
                    rows.append((Cell(text, "food"), Cell("hot", "pack"), Cell(jar, "jar"), Cell(dash(band), "band"),
                                 said("{m}", one), said("{p}", one, kind="psi")))  # fmt: skip
    return widened(Table(tuple(rows)), ("Acid per jar",), acid)


def _forms() -> Table:
    rows: list[Row] = [head("Food", "Pack", "Jar", *map(dash, DIAL))]
    foods = (("Chicken, with bones", "chicken-or-rabbit", "raw", "with-bones"),
             ("Chicken, without bones", "chicken-or-rabbit", "raw", "without-bones"),
             ("Rabbit, without bones", "chicken-or-rabbit", "hot", "without-bones"),
             ("Ground or chopped meat", "ground-or-chopped-meat", "hot", ""),
             ("Strips, cubes or chunks of meat", "meat-strips-cubes-or-chunks", "raw", ""),
             ("Meat stock", "meat-stock", "hot", ""))  # fmt: skip
    for text, food, pack, form in foods:
        for jar in JARS:
            cells = [
                said("{m} min @ {p} psi", fact(food, pack, jar, "dial", band, form), kind="process") for band in DIAL
            ]
            rows.append((Cell(text, "food"), Cell(pack, "pack"), Cell(jar, "jar"), *cells))
    return Table(tuple(rows))


def _small_jars() -> Table:
    rows: list[Row] = [head("Food", "Jar", "Minutes", *("Dial psi " + dash(band) for band in DIAL))]
    for text, food, jars in (("Tuna", "tuna", ("half-pint", "pint")), ("Smoked fish", "smoked-fish", ("pint",)),
                             ("Oysters", "oysters", ("half-pint", "pint"))):  # fmt: skip
        for jar in jars:
            facts = [fact(food, "", jar, "dial", band) for band in DIAL]
            cells = [said("{p}", one, kind="psi") for one in facts]
            rows.append((Cell(text, "food"), Cell(PLURAL[jar], "jar"), said("{m}", *facts), *cells))
    return Table(tuple(rows))


def _no_quarts() -> Table:
    rows: list[Row] = [head("Food", "Pack", "Pints", "Quarts")]
    for text, food, jars in (("Corn, cream style", "cream-style-corn", ("pint",)), ("Mushrooms", "mushrooms", ("pint",)),
                             ("Beets", "beets", JARS), ("Asparagus", "asparagus", JARS)):  # fmt: skip
        cells = [said("{m} / {p}", fact(food, "hot", jar, "dial", LOCAL), kind="process") for jar in jars]
        rows.append((Cell(text, "food"), Cell("hot", "pack"), *cells, *[Cell("–", "none")] * (2 - len(jars))))
    return Table(tuple(rows))


def _merged_region() -> Table:
    rows: list[Row] = [head("Food", "Pack", "Jar", "Valley, up to 3,000 ft", "Hills, 3,001–6,000 ft")]
    bands: tuple[Band, ...] = ((None, 3000), (3000, 6000))
    for text, food, pack in PEACH[:3]:
        for jar in JARS:
            cells = [said("{m} min", fact(food, pack, jar, BOILING, band)) for band in bands]
            rows.append((Cell(text, "food"), Cell(pack, "pack"), Cell(jar, "jar"), *cells))
    return Table(tuple(rows))


def _feet_columns() -> Table:
    rows: list[Row] = [head("food", "pack", "jar", "canner", "altitude_from_ft", "altitude_to_ft", "minutes", "psi")]
    for text, food, pack in ROOTS[:2]:
        for jar in JARS:
            for canner, words, bands in BOTH:
                for band in bands:
                    one = fact(food, pack, jar, canner, band)
                    rows.append((
                        Cell(text, "food"), Cell(pack, "pack"), Cell(jar, "jar"), Cell(words.lower(), "canner"),
                        Cell(str(band[0] + 1 if band[0] else 0), "from"), Cell(str(band[1] or ""), "to"),
                        said("{m}", one), said("{p}", one, kind="psi"),
                    ))  # fmt: skip
    return Table(tuple(rows))


def _three_canners() -> Table:
    rows: list[Row] = [head("Food", "Pack", "Jar", "Boiling-water canner", "Dial gauge", "Weighted gauge")]
    for text, food, pack in PEACH[:4]:
        for jar in JARS:
            cells = [said("{m} min" if canner == BOILING else "{m} min at {p} lb",
                          fact(food, pack, jar, canner, LOCAL), kind="process")
                     for canner in (BOILING, "dial", "weighted")]  # fmt: skip
            rows.append((Cell(text, "food"), Cell(pack, "pack"), Cell(jar, "jar"), *cells))
    return Table(tuple(rows))


def _one_column(foods: tuple[tuple[str, str, str], ...], jars: tuple[str, ...] = JARS) -> Table:
    rows: list[Row] = [head("Food", "Jar", "Process time")]
    for text, food, pack in foods:
        for jar in jars:
            rows.append(
                (Cell(text, "food"), Cell(jar, "jar"), said("{m} minutes", fact(food, pack, jar, BOILING, LOCAL)))
            )
    return Table(tuple(rows))


def _two_foods() -> Table:
    rows: list[Row] = [head("Food", "Pack", "Jar", *map(dash, FOUR))]
    pairs = (("Apricots or nectarines", ("apricots", "nectarines"), "hot"),
             ("Peaches and nectarines", ("peaches", "nectarines"), "raw"),
             ("Blackberries or dewberries", ("berries",), "raw"))  # fmt: skip
    for text, foods, pack in pairs:
        for jar in JARS:
            cells = [said("{m}", *(fact(food, pack, jar, BOILING, band) for food in foods)) for band in FOUR]
            rows.append((Cell(text, "food"), Cell(pack, "pack"), Cell(PLURAL[jar], "jar"), *cells))
    return Table(tuple(rows))


def _pickles() -> Table:
    rows: list[Row] = [head("Product", "Pack", "Jar", *(dash(band) + " (min)" for band in THREE))]
    for text, food, pack, jars in (("Dill pickles", "dill-pickles", "raw", JARS),
                                   ("Pickled beets", "pickled-beets", "hot", JARS),
                                   ("Bread-and-butter pickles", "bread-and-butter-pickles", "hot", JARS)):  # fmt: skip
        for jar in jars:
            cells = [said("{m}", fact(food, pack, jar, BOILING, band)) for band in THREE]
            rows.append((Cell(text, "food"), Cell(pack, "pack"), Cell(jar, "jar"), *cells))
    return Table(tuple(rows))


def _acid_fruit() -> Table:
    return widened(by_altitude((("Figs", "figs", "hot"), ("Asian pears", "asian-pears", "hot"), CRUSHED)), ("Acid per jar",),
                   acid)  # fmt: skip


def _empty_column(table: Table) -> Table:
    return Table(
        tuple(
            (*row[:3], Cell("", "head" if r < table.heads else "none"), *row[3:]) for r, row in enumerate(table.rows)
        ),
        table.heads,
    )


def _rowspan() -> Table:
    """A food over its two jars, merged downwards."""
    table = by_altitude(STONE[:4])
    rows: list[Row] = [table.rows[0]]
    for number in range(1, len(table.rows), 2):
        one, other = table.rows[number], table.rows[number + 1]
        merged = (Cell(one[0].text + "^1", "food", rows=2), Cell(one[1].text, "pack", rows=2))
        rows += [(*merged, *one[2:]), (COVERED, COVERED, *other[2:])]
    return Table(tuple(rows))


def _notes(row: Row) -> Row:
    return (Cell({"peaches": "Dip and peel", "pears": "Peel and core"}.get(_key(row)[0], "Wash well"), "note"),)


def _source(row: Row) -> Row:
    return (Cell("2-19" if _key(row)[0] == "peaches" else "", "text"), Cell("USDA", "text"))


BOIL = "Boiling-water canning"
PRESS = "Dial-gauge pressure canner"
WEIGH = "Weighted-gauge pressure canner"
AT = "Boiling-water canner times, Corwen County, 1,650 ft"


@cache
def handouts() -> tuple[Handout, ...]:
    """Every handout; each says nothing but what is published."""
    made: list[tuple[str, str, tuple[str | Table, ...]]] = [
        ("ardmoor-wide.csv", "csv", (f"{BOIL}: fruit, minutes", INVENTED, "", by_altitude(PEACH))),
        ("belford-at-one-height.csv", "csv", (AT, "Minutes", by_jar(STONE))),
        ("corwen-hot-and-raw-rows.csv", "csv", (f"{BOIL} (minutes)", banded(by_altitude(PEACH[:2] + STONE[:2]), 1))),
        ("dunleigh-tidy.csv", "csv", (_feet_columns(),)),
        ("eastmere-tidy.tsv", "tsv", (tidy(PEACH[:3], BW, "{m} min", heads=("Food", "Pack", "Jar", "Canner", "Altitude", "Time", "Pressure")),)),
        ("fallow-kpa.csv", "semicolon", (tidy(ROOTS[:3], BOTH, "{m}", "{k}", meters, ("Food", "Pack", "Jar", "Canner", "Altitude", "Minutes", "Pressure (kPa)")),)),
        ("garrick-wide.md", "md", (f"# {BOIL}, minutes", "", by_altitude(STONE, style="{m} min"), INVENTED)),
        ("harrow-hot-and-raw-heads.html", "html", (f"{BOIL} at 1,650 ft, minutes", _two_heads(), INVENTED)),
        ("inver-columns.txt", "txt", (f"{BOIL}, process time in minutes", "", by_altitude(PEACH), "", INVENTED)),
        ("jessop-pressures.md", "md", (f"# {PRESS}", "", pressures(ROOTS, psi="{p} lb"), INVENTED)),
        ("kelder-three-heads.html", "html", ("Pressure canning of hot-packed vegetables", _three_heads(), INVENTED)),
        ("lowther-weight.txt", "txt", (WEIGH, "", pressures(GREEN, ("weighted",)), "", INVENTED)),
        ("marden-merged.xlsx", "openpyxl", (f"{BOIL}, minutes", INVENTED, _jar_over_altitude())),
        ("norley-three-heads.xlsx", "xlsxwriter", ("Pressure canning of hot-packed vegetables", _three_heads(), INVENTED)),
        ("ottery-slash.csv", "csv", (f"{PRESS}: minutes / psi", by_altitude(ROOTS, "dial", DIAL, "{m} / {p}", kind="process"))),
        ("penryn-at-sign.md", "md", (f"# {PRESS}", "", by_altitude(GREEN, "dial", DIAL, "{m} min @ {p} psi", kind="process"))),
        ("quenby-tomato-options.csv", "csv", (PRESS, _options())),
        ("redmire-tomatoes.html", "html", (f"{BOIL}, minutes", widened(by_altitude((CRUSHED,)), ("Acid per jar",), acid), INVENTED)),
        ("selby-everything.csv", "csv", (f"{BOIL}, minutes", _empty_column(widened(widened(widened(by_altitude(PEACH), ("Headspace",), room), ("Notes",), _notes), ("Page", "Source"), _source)))),
        ("tarrant-up-to.txt", "txt", (f"{BOIL}, minutes", "", by_altitude(STONE, label=up_to), "")),
        ("ulver-foot-marks.csv", "csv", (f"{BOIL}, minutes", by_altitude(PEACH, label=foot_mark))),
        ("vale-pickles.csv", "csv", (f"{BOIL}: pickles", _pickles(), INVENTED)),
        ("wexcombe-meats.html", "html", (PRESS, _forms(), INVENTED)),
        ("yarrow-psig.csv", "csv", (tidy(ROOTS[2:], BOTH[:1], "{m} min", "{p} PSIG"),)),
        ("zeal-pounds.csv", "csv", (tidy(GREEN[:2], BOTH, "{m}", "{p}#"),)),
        ("ashwell-pack-behind.txt", "txt", (f"{BOIL}, minutes", "", joined(by_altitude(STONE[:4]), 1, "{0}, {1} pack"))),
        ("barlow-pack-in-brackets.csv", "csv", (f"{BOIL}, minutes", joined(by_altitude(PEACH), 1, "{0} ({1})"))),
        ("cottis-footnotes.csv", "csv", (f"{PRESS}", marked(renamed(pressures(GREEN), Snap_beans="Beans, snap (green)"), Asparagus="*", Okra="†"), "* Wash well to take off soil.", "† Small pods keep their shape.")),
        ("denholm-two-foods.html", "html", (f"{BOIL}, minutes", _two_foods(), INVENTED)),
        ("elmet-meters.md", "md", (f"# {BOIL}, minutes", "", by_altitude(PEACH, label=meters))),
        ("farleigh-hours.csv", "csv", (f"{PRESS}", pressures(ROOTS, minutes="{h}"))),
        ("gorham-no-quarts.csv", "csv", (f"{PRESS}, 1,650 ft: minutes / psi", _no_quarts(), "– no process for quarts")),
        ("hexley-sheet.xlsx", "openpyxl", (f"{BOIL}, minutes", widened(widened(by_altitude(STONE), ("Page", "Source"), lambda row: (Cell("", "text"), Cell("USDA", "text"))), ("Notes",), _notes))),
        ("ingram-gauge-rows.txt", "txt", ("Pressure canning, minutes and psi", "", banded(tidy(ROOTS[:2], BOTH), 3))),
        ("jarrow-steam.csv", "csv", ("Atmospheric steam canner, minutes", by_altitude(PEACH[:2], "steam", FOUR[:1]))),
        ("kirkby-never-so.csv", "csv", (f"{BOIL}, minutes", by_altitude(PEACH), "Never process jars in an oven.")),
        ("lorton-caption.html", "html", (f"{BOIL}, minutes", _rowspan(), "^1 Ripe fruit only.", INVENTED)),
        ("melling-region.csv", "csv", (f"{BOIL}", _merged_region(), INVENTED)),
        ("nether-low.md", "md", (f"# {BOIL}, minutes", "", by_altitude(PEACH + STONE, bands=FOUR[:1]))),
        ("orton-three-canners.csv", "csv", ("Process at 1,650 ft", _three_canners())),
        ("padbury-seafood.csv", "csv", ("Pressure canning with a dial gauge", _small_jars())),
        ("rushton-acid.csv", "csv", (f"{BOIL}, minutes", _acid_fruit())),
        ("shelford-weights.csv", "csv", (WEIGH, _weight_options())),
        ("thirsk-1252.csv", "csv-1252", (f"{BOIL}, minutes", by_altitude(PEACH))),
        ("upton-bom.csv", "csv-bom", (f"{BOIL}, minutes", by_altitude(STONE))),
        ("walden-kpa-beside.md", "md", (f"# {PRESS}", "", pressures(GREEN, psi="{p} psi ({k} kPa)"))),
        ("yelden-two-gauges.csv", "csv", ("Pressure canning", pressures(ROOTS, ("dial", "weighted")))),
        ("brora-half-pints.csv", "csv", (f"{BOIL}, minutes", by_altitude(PEACH[:3], jars=("half-pint", "pint", "quart")))),
        ("crail-fruit-row.csv", "csv", (f"{BOIL}, minutes", _sectioned(by_altitude(PEACH + STONE)))),
        ("dornoch-headspace.txt", "txt", (f"{BOIL}, minutes", "", widened(by_altitude(PEACH), ("Headspace",), room))),
        ("elgin-one-column.csv", "csv", ("Boiling-water canning, our county 1,650 ft", _one_column((PEACH[2], PEACH[3], PEACH[4])))),
        ("forres-pressure-words.csv", "csv", (PRESS, pressures(ROOTS, minutes="{m} minutes", psi="{p} lbs pressure"))),
    ]  # fmt: skip
    return tuple(
        Handout(
            name,
            form,
            parts if INVENTED in parts else (*parts, INVENTED),
            stronger=name.startswith(("melling", "vale")),
        )
        for name, form, parts in made
    )


def _sectioned(table: Table) -> Table:
    blank = [Cell("", "none")] * (len(table.rows[0]) - 1)
    rows = [*table.rows[:1], (Cell("FRUITS", "section"), *blank), *table.rows[1:11], (Cell("STONE FRUITS", "section"), *blank),
            *table.rows[11:]]  # fmt: skip
    return Table(tuple(rows))


def main() -> None:
    """Write the handouts that are text."""
    FOLDER.mkdir(exist_ok=True)
    for handout in handouts():
        if handout.form not in ("openpyxl", "xlsxwriter"):
            (FOLDER / handout.name).write_bytes(text_of(handout)[0])


if __name__ == "__main__":
    main()
