"""Conditions: every statement exists and can apply, and short boiling-water times say something about sterile jars.

What it does
------------
Each row of conditions.csv must use a statement of shared/cautions.csv and a pack, jar, form and canner that the food,
or a food it follows or that follows it, has a schedule for; each statement must be used. Every boiling-water
combination of less than 10 minutes at the lowest band must have a condition on sterile jars.

Why it matters
--------------
A condition on a pack that does not exist is shown to nobody. Under 10 minutes the process does not sterilize the jar.

Example
-------
``schedules/fruit.csv:2: conditions: minutes "5" is under 10, but no condition asks for sterile jars``

Source
------
USDA Complete Guide to Home Canning, 2015, page 1-14: jars processed less than 10 minutes must be sterile.
"""

from __future__ import annotations

from collections.abc import Iterator
from typing import TYPE_CHECKING

from stillroom.answers.conditions import STERILE
from stillroom.findings.finding import Finding

if TYPE_CHECKING:
    from stillroom.findings.opened import CheckedPackage

NAME = "conditions"
EVERYWHERE = ("always", "reach-15-psi", "steam-canner-manual")
"""Statements that answers carry without a row in conditions.csv."""


def check(package: CheckedPackage) -> Iterator[Finding]:
    """Yield conditions that cannot apply, and short times without sterile jars."""
    yield from _applying(package)
    yield from _statements(package)
    yield from _sterile(package)


def _applying(package: CheckedPackage) -> Iterator[Finding]:
    table = package.table("conditions")
    frame = package.schedules
    named = {row["food"] for row in table.rows}
    owners: dict[str, set[str]] = {}
    for row in package.table("relations").rows:
        owners.setdefault(row["food"], set()).add(row["follows"])
    wanted = named.union(*owners.values())
    carried: dict[str, set[str]] = {}
    for row in package.table("jar-rules").rows:
        carried.setdefault(row["takes"], set()).add(row["jar"])
    columns = ["food", "form", "pack", "jar", "method", "gauge"]
    kinds = frame.loc[frame["food"].isin(wanted), columns].drop_duplicates()
    have: dict[str, list[dict[str, set[str]]]] = {}
    for food, form, pack, jar, method, gauge in kinds.itertuples(index=False, name=None):
        entry = {"form": {form}, "pack": {pack}, "jar": {jar} | carried.get(jar, set()), "canner": {gauge or method}}
        have.setdefault(food, []).append(entry)
    for line, row in table.numbered():
        asked = {name: row[name] for name in ("form", "pack", "jar", "canner") if row[name]}
        kinds_of = [k for food in (row["food"], *owners.get(row["food"], ())) for k in have.get(food, ())]
        if any(all(value in kind[name] for name, value in asked.items()) for kind in kinds_of):
            continue
        column = next((n for n, v in asked.items() if not any(v in kind[n] for kind in kinds_of)), "food")
        said = f"fits no schedule of {row['food']}" if column != "food" else "has no schedule that this row fits"
        yield Finding(NAME, table.file, line, column, row[column], said, "", f"compare with page {row['page']}")


def _statements(package: CheckedPackage) -> Iterator[Finding]:
    table, statements = package.table("conditions"), package.table("cautions")
    known = {row["id"] for row in statements.rows}
    used = {row["statement"] for row in table.rows}
    for line, row in table.numbered():
        if row["statement"] not in known:
            said = f"is not in {statements.file}"
            yield Finding(NAME, table.file, line, "statement", row["statement"], said, "", "mend it")
    for line, row in statements.numbered():
        if row["id"] not in used and row["id"] not in EVERYWHERE:
            said = "is used by no condition"
            yield Finding(NAME, statements.file, line, "id", row["id"], said, "", "use it, or remove it")
    for name in EVERYWHERE[:1]:
        if name not in known:
            yield Finding(NAME, statements.file, None, "", "", f"statement {name} is missing", "", "add it again")


def _sterile(package: CheckedPackage) -> Iterator[Finding]:
    from stillroom.findings import series

    frame = package.schedules
    least, page = package.figure("sterilize-jars-below"), package.rule("sterilize-jars-below")["page"]
    lowest = frame["altitude_from_ft"] == 0
    short = frame[(frame["method"] == "boiling-water") & lowest & (frame["minutes"] < least)]
    said: dict[str, list[dict[str, str]]] = {}
    for row in package.table("conditions").rows:
        if row["statement"] in STERILE:
            said.setdefault(row["food"], []).append(row)
    for band in series.bands(short):
        if not any(
            row["form"] in ("", band.form)
            and row["pack"] in ("", band.pack)
            and row["jar"] in ("", band.jar)
            and row["canner"] in ("", "boiling-water")
            for row in said.get(band.food, ())
        ):
            yield band.finding(
                NAME, "minutes", f"is under {least:g}, but no condition of {band.food} asks for sterile jars",
                f"jars processed less than {least:g} minutes must be sterile (page {page})",
                f"add a row to schedules/conditions.csv, or compare with page {band.page}",
            )  # fmt: skip
