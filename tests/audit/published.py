"""The published times as the handouts need them: read from the table of answers with nothing but ``csv``.

Not one line of the library is used here, so that a handout and what is expected of it do not rest on what they test.
"""

from __future__ import annotations

import csv
from collections.abc import Iterator
from functools import cache
from typing import NamedTuple

from tests.repository import HOME

Band = tuple[int | None, int | None]
"""Feet: above the first, to the second; None where there is no end. ``(1000, 3000)`` is printed 1,001-3,000 ft."""
Key = tuple[str, str, str, str, str]
"""Food, form, pack, jar, canner."""
BOILING = "boiling-water"
CANNERS = (BOILING, "dial", "weighted")
FOUR: tuple[Band, ...] = ((None, 1000), (1000, 3000), (3000, 6000), (6000, None))
THREE: tuple[Band, ...] = ((None, 1000), (1000, 6000), (6000, None))
DIAL: tuple[Band, ...] = ((None, 2000), (2000, 4000), (4000, 6000), (6000, 8000))
WEIGHT: tuple[Band, ...] = ((None, 1000), (1000, None))
WORSE = ("same", "stronger", "weaker", "untested", "withheld")
"""Grades of a stated process, each worse than the one before."""


class Option(NamedTuple):
    """Minutes, and pounds of pressure; None in a canner without any."""

    minutes: int
    psi: int | None


class Fact(NamedTuple):
    """What a cell says, alone or together with others of its row."""

    key: Key
    band: Band
    option: Option


def _rows(name: str) -> list[dict[str, str]]:
    with (HOME / "schedules" / name).open(encoding="utf-8", newline="") as file:
        return list(csv.DictReader(file))


def _whole(text: str) -> int | None:
    return int(text) if text else None


@cache
def titles() -> dict[str, tuple[str, str]]:
    """Title and acidity of each food."""
    return {row["id"]: (row["title"], row["acidity"]) for row in _rows("foods.csv")}


@cache
def form_titles() -> dict[tuple[str, str], str]:
    """Words of each form of a food."""
    return {(row["food"], row["form"]): row["title"] for row in _rows("forms.csv")}


@cache
def answers() -> dict[Key, dict[Band, list[Option]]]:
    """Every tested combination with its bands, lowest first, and the options in each."""
    found: dict[Key, dict[Band, list[Option]]] = {}
    for row in _rows("answers.csv"):
        if row["result"] == "tested":
            key = (row["food"], row["form"], row["pack"], row["jar"], row["canner"])
            option = Option(int(row["minutes"]), _whole(row["pressure_psi"]))
            found.setdefault(key, {}).setdefault((_whole(row["above_ft"]), _whole(row["to_ft"])), []).append(option)
    return {key: dict(sorted(bands.items(), key=lambda band: band[0][0] or 0)) for key, bands in found.items()}


@cache
def by_rule() -> frozenset[Key]:
    """Combinations that a rule carries to another jar or canner, and that no table prints."""
    rows = _rows("answers.csv")
    return frozenset((r["food"], r["form"], r["pack"], r["jar"], r["canner"]) for r in rows if r["by_rule"])


@cache
def acids() -> dict[tuple[str, str], str]:
    """Acid of each food and jar that is acidified jar by jar, in few words; with those that follow another food."""
    said: dict[tuple[str, str], list[str]] = {}
    for row in _rows("acid.csv"):
        if row["use"] == "jar" and not row["acid"].startswith("vinegar"):
            unit = {"tablespoon": "Tbsp", "teaspoon": "tsp"}[row["unit"]]
            amount = {"0.5": "1/2", "0.25": "1/4"}.get(row["quantity"], row["quantity"])
            said.setdefault((row["food"], row["jar"]), []).append(f"{amount} {unit} {row['acid']}")
    for row in _rows("relations.csv"):
        for jar in ("pint", "quart"):
            if (row["follows"], jar) in said:
                said.setdefault((row["food"], jar), said[row["follows"], jar])
    return {key: " or ".join(words) for key, words in said.items()}


@cache
def headspaces() -> dict[str, str]:
    """Headspace in inches of the foods that have one for all packs and jars."""
    found: dict[str, list[dict[str, str]]] = {}
    for row in _rows("headspace.csv"):
        found.setdefault(row["food"], []).append(row)
    return {food: rows[0]["headspace_in"] for food, rows in found.items() if len(rows) == 1}


def refused(key: Key) -> str:
    """Code of the refusal of a combination at every height; blank where it is tested somewhere, or not listed."""
    codes = {tuple(row[n] for n in ("food", "form", "pack", "jar", "canner")): row for row in _refusals()}
    return codes[key]["result"] if key in codes and key not in answers() else ""


@cache
def _refusals() -> list[dict[str, str]]:
    return [row for row in _rows("answers.csv") if row["result"] != "tested"]


@cache
def _not_recommended() -> set[tuple[str, str, str, int, int]]:
    rows = _rows("not-recommended.csv")
    return {(r["food"], r["pack"], r["jar"], int(r["altitude_from_ft"]) - 1, int(r["minutes"])) for r in rows}


def touched(key: Key, band: Band) -> Iterator[tuple[Band, list[Option]]]:
    """Give each published band that a stated one reaches into, with its options."""
    above, to = band
    for (low, high), options in answers().get(key, {}).items():
        if (high is None or above is None or above < high) and (to is None or low is None or low < to):
            yield (low, high), options


def strongest(key: Key, band: Band, number: int = 0) -> Option:
    """Give the option by its number that serves the whole of a stated band."""
    reached = [options[number] for _, options in touched(key, band)]
    assert reached, (key, band)
    pressures = [option.psi for option in reached if option.psi is not None]
    return Option(max(option.minutes for option in reached), max(pressures) if pressures else None)


def grade(fact: Fact) -> str:
    """Judge a stated process by the published ones: the weakest of the bands that it touches decides."""
    key, band, stated = fact
    reached = list(touched(key, band))
    if not reached:
        lost = refused(key) == "method-unsafe" or (_acidity(key) == "low-acid" and key[4] in (BOILING, "steam"))
        return "withheld" if lost else "untested"
    grades = [_grade(stated, options) for _, options in reached]
    top = max((high is None, high or 0) for (_, high), _ in reached)
    if not top[0] and (band[1] is None or band[1] > top[1]):
        grades.append("untested")
    if key[4] == "weighted" and stated.psi == 15 and _printed_so(key, band, stated):
        grades.append("withheld")
    return max(grades, key=WORSE.index)


def _acidity(key: Key) -> str:
    return titles().get(key[0], ("", ""))[1]


def _printed_so(key: Key, band: Band, stated: Option) -> bool:
    rows = (row for row in _not_recommended() if row[:3] == (key[0], key[2], key[3]) and row[4] == stated.minutes)
    return any(band[1] is None or band[1] > row[3] for row in rows)


def _grade(stated: Option, options: list[Option]) -> str:
    if stated in options:
        return "same"
    fits = (stated.minutes >= o.minutes and (stated.psi or 0) >= (o.psi or 0) for o in options)
    return "stronger" if any(fits) else "weaker"
