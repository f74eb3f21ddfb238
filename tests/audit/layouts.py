"""Every food of the guide in every form, laid out three ways from the table of answers: a law over all of the data."""

from __future__ import annotations

from collections.abc import Iterator

from tests.audit.corpus import PLURAL, acid, dash, fact, head, said, widened
from tests.audit.handout import Cell, Handout, Table
from tests.audit.published import BOILING, Band, Fact, Key, Option, acids, answers, by_rule, form_titles, titles

Row = tuple[Cell, ...]
LAYOUTS = ("tidy", "wide", "beside")


def name(food: str, form: str) -> str:
    """Title of a food, with its form."""
    return titles()[food][0] + (f" ({form_titles()[food, form]})" if form else "")


def _keys(food: str, form: str) -> list[Key]:
    keys = (key for key in answers() if key[:2] == (food, form) and key not in by_rule() and key[4] != "steam")
    return sorted(keys)


def foods() -> list[tuple[str, str]]:
    """Every food with each of its forms."""
    return sorted({key[:2] for key in answers()})


def fitting(food: str, form: str) -> tuple[str, ...]:
    """Layouts that have a place for a food: the last is for what is tested in a pressure canner."""
    return LAYOUTS if any(key[4] == "dial" for key in _keys(food, form)) else LAYOUTS[:2]


def laid_out(food: str, form: str, layout: str) -> Handout | None:
    """Lay out everything printed for a food in one of :data:`LAYOUTS`; None where a layout has no place for it."""
    keys = _keys(food, form)
    if not keys:
        return None
    made = {"tidy": _tidy, "wide": _wide, "beside": _beside}[layout](keys)
    if not made:
        return None
    writer = {"tidy": "csv", "wide": "html", "beside": "md"}[layout]
    tables = [_with_acid(table, food) for table in made]
    parts: list[str | Table] = []
    for table in tables:
        parts += ["Invented for tests of the audit; not for use.", table]
    return Handout(f"{food}{form}-{layout}.{writer}", writer, tuple(parts))


def _with_acid(table: Table, food: str) -> Table:
    return widened(table, ("Acid per jar",), acid) if any(key[0] == food for key in acids()) else table


WORDS = {BOILING: "boiling-water canner", "dial": "dial gauge", "weighted": "weighted gauge"}


def _first(key: Key) -> Row:
    jar = {"half-gallon": "half-gallon", "12-ounce": "12 oz"}.get(key[3], key[3])
    return (
        Cell(name(key[0], key[1]), "food"),
        Cell(key[2] or "", "pack"),
        Cell(jar, "jar"),
        Cell(WORDS[key[4]], "canner"),
    )


def _processes(keys: list[Key]) -> Iterator[tuple[Key, Band, Option]]:
    for key in keys:
        for band, options in answers()[key].items():
            for option in options:
                yield key, band, option


def _tidy(keys: list[Key]) -> list[Table]:
    rows: list[Row] = [head("Food", "Pack", "Jar", "Canner", "Altitude", "Minutes", "Pressure (psi)")]
    for key, band, option in _processes(keys):
        one = Fact(key, band, option)
        pressure = said("{p}", one, kind="psi") if option.psi else Cell("", "none")
        rows.append((*_first(key), Cell(dash(band), "band"), said("{m}", one), pressure))
    return [Table(tuple(rows))]


def _wide(keys: list[Key]) -> list[Table]:
    """One table per canner with its bands as columns."""
    tables = []
    for canner in WORDS:
        chosen = [key for key in keys if key[4] == canner]
        for bands in sorted({tuple(answers()[key]) for key in chosen}, key=str):
            rows: list[Row] = [head("Food", "Pack", "Jar", "Canner", *map(dash, bands))]
            for key in chosen:
                if tuple(answers()[key]) == bands:
                    rows.append((*_first(key), *[_all_options(key, band) for band in bands]))
            tables.append(Table(tuple(rows)))
    return tables


def _all_options(key: Key, band: Band) -> Cell:
    facts = tuple(Fact(key, band, option) for option in answers()[key][band])
    words = [f"{f.option.minutes} min" + (f" at {f.option.psi} psi" if f.option.psi else "") for f in facts]
    return Cell(" or ".join(words), "process" if len(facts) == 1 else "options", facts)


def _beside(keys: list[Key]) -> list[Table]:
    """One time, and the pressures of a dial gauge beside it; foods without pressure have no place here."""
    rows: list[Row] = []
    bands: list[Band] = []
    for key in keys:
        if key[4] != "dial":
            continue
        bands = list(answers()[key])
        for number in range(len(answers()[key][bands[0]])):
            facts = [fact(*(key[0], key[2], key[3], "dial", band), form=key[1], number=number) for band in bands]
            first = (*_first(key)[:2], Cell(PLURAL.get(key[3], key[3]), "jar"), said("{m} min", *facts))
            rows.append((*first, *[said("{p} psi", one, kind="psi") for one in facts]))
    if not rows:
        return []
    return [Table((head("Food", "Pack", "Jar", "Time", *("Dial gauge, " + dash(band) for band in bands)), *rows))]
