"""Safety pages: the general rules of the publication by what one wants to know, each with its figure and its page."""

from __future__ import annotations

from collections.abc import Iterator
from typing import NamedTuple

from stillroom.answers import wording
from stillroom.answers.shelf import Shelf
from stillroom.day import handling
from stillroom.package.records import AltitudeBand
from stillroom.site import general
from stillroom.site.pages import Page

FOLDER = "safety"


class Section(NamedTuple):
    """A heading, its rules, and whether they are steps that come one after the other."""

    head: str
    rules: tuple[str, ...]
    steps: bool = False


class Subject(NamedTuple):
    """One page: its name, title, what it says in one sentence, and its sections."""

    name: str
    title: str
    lead: str
    sections: tuple[Section, ...]


class Told(NamedTuple):
    """A section as it is printed: its heading, whether its rules are steps, and for each its figure and its words."""

    head: str
    steps: bool
    rules: tuple[tuple[str, str], ...]


SUBJECTS = (
    Subject(
        "altitude",
        "Altitude",
        "Water boils cooler and steam is cooler the higher one is: the time or the pressure must make up for it.",
        (
            Section(
                "What the publication says", ("weighted-altitude", "sea-level-pressure-for-240F", "pressure-limit")
            ),
            Section("Three examples that are worked in print", tuple(f"worked-example-{one}" for one in "abc")),
            Section("What else takes longer higher up", ("sterilize-jars-boil", "suspect-food-boil")),
        ),
    ),
    Subject(
        "venting",
        "Venting and the time under pressure",
        "Air in a pressure canner keeps it cooler than its gauge tells: it is let out before the pressure comes up.",
        (
            Section("Before the pressure", ("canner-water", "jars-upright", "heat-to-vent", "vent-time")),
            Section("Fish in quarts, and smoked fish", ("heat-fish-quarts", "water-fish-quarts", "water-smoked-fish")),
            Section("Under pressure", ("vent-to-pressure", "timing-starts", *handling.DURING_PRESSURE)),
            Section("Afterward", (*handling.COOL_PRESSURE, "cool-down", "cool-heavy-pints", "cool-heavy-quarts")),
        ),
    ),
    Subject(
        "gauges",
        "Gauges and the pressure canner",
        "A gauge that reads high leaves food too cool.",
        (
            Section("Dial gauges", ("gauge-check", "gauge-adjust-limit", "gauge-high-danger")),
            Section("Weighted gauges", ("weighted-altitude",)),
            Section(
                "The canner",
                (
                    "canner-minimum",
                    "canner-capacity-quarts",
                    "canner-capacity-pints",
                    "canner-capacity-pints-two-layers",
                    "gasket-care",
                    "safety-fuse",
                    "pressure-limit",
                ),
            ),
        ),
    ),
    Subject(
        "boiling",
        "Boiling water and steam",
        "For acid and acidified food only.",
        (
            Section(
                "In boiling water",
                (
                    "preheat-hot",
                    "preheat-raw",
                    "canner-bottom",
                    "boiling-water-cover",
                    "boiling-water-cover-long",
                    "boiling-water-long",
                    "heat-to-boil",
                    *handling.DURING_BOILING,
                    *handling.COOL_BOILING,
                ),
            ),
            Section("In an atmospheric steam canner", ("steam-canner-derived", "steam-canner-2015")),
            Section("What is acid enough", ("low-acid-limit", "low-acid-temperature", "vinegar-strength")),
        ),
    ),
    Subject(
        "seals",
        "Jars, lids and seals",
        "A lid that holds keeps the air out; it does not tell that the food was heated enough.",
        (
            Section("Before filling", handling.BEFORE),
            Section("Testing the seals", handling.SEALS),
            Section("A jar that did not seal", handling.UNSEALED),
            Section("Keeping the jars", handling.STORE),
        ),
    ),
    Subject(
        "spoiled",
        "A jar in doubt: spoiled food and its clean-up",
        "Never taste food to find out whether it is good.",
        (
            Section("Before and while a jar is opened", handling.OPENING),
            Section("What must never be tasted", ("taste-can-kill", "do-not-taste", "jelly-mold")),
            Section("Before low-acid or tomato food is eaten", ("suspect-food-boil", "eat-unboiled")),
            Section("A suspect jar of low-acid or tomato food, step by step", handling.SUSPECT, steps=True),
        ),
    ),
)
"""Pages of rules, in their order."""


def place(name: str) -> str:
    """Give the place of a page of rules in the book."""
    return f"{FOLDER}/{name}.html"


def safety_pages(shelf: Shelf) -> Iterator[Page]:
    """Gather the pages, the list of them first.

    Parameters
    ----------
    shelf : Shelf
        For its rules.
    """
    listed = [(subject.title, f"{subject.name}.html", subject.lead) for subject in SUBJECTS]
    guide = next(source for source in shelf.package.sources if not source.short)
    cited = ", ".join(part for part in (guide.author, guide.title, guide.series, guide.edition) if part)
    yield Page(place("index"), "rules.html.jinja", "Rules", {"subjects": listed})
    for subject in SUBJECTS:
        sections = [_told(shelf, section) for section in subject.sections]
        bands = list(_bands(shelf, guide.id)) if subject.name == "altitude" else []
        context = {"subject": subject, "sections": sections, "bands": bands, "guide": cited}
        yield Page(place(subject.name), "safety.html.jinja", subject.title, context)


def _told(shelf: Shelf, section: Section) -> Told:
    return Told(section.head, section.steps, tuple(general.statement(name, shelf.rules) for name in section.rules))


def _bands(shelf: Shelf, source: str) -> Iterator[tuple[str, str]]:
    """Give each set of bands of the guide, in words, and the bands."""
    sets: dict[str, list[AltitudeBand]] = {}
    for row in shelf.package.altitude_bands:
        if row.source == source:
            sets.setdefault(row.band_set, []).append(row)
    for name, rows in sets.items():
        spans = [wording.span(row.altitude_from_ft, row.altitude_to_ft) for row in rows]
        canner = next((one.title for one in shelf.canners.values() if name.startswith(one.id)), name)
        yield f"{wording.capital(canner)}, {len(spans)} bands", "; ".join(spans)
