"""No edit makes an answer weaker behind the comparison's back.

The comparison judges cells; this asks the lookup itself, before and after an edit drawn by chance, and holds the
answers side by side: less time or pressure, an answer where there was a refusal, a lost requirement, less headspace.
"""

from __future__ import annotations

import itertools
import random
from collections.abc import Iterator
from functools import cache
from pathlib import Path

import pytest

from stillroom.answers.answer import Answer
from stillroom.answers.lookup import Lookup
from stillroom.answers.question import Question
from stillroom.answers.shelf import Shelf
from stillroom.desk.comparison import compare_versions
from stillroom.errors import StillroomError
from stillroom.package.package import Package
from stillroom.package.versions import Held, Version
from tests.benchmarks.edit_campaign import cell_edits, row_edits, sheets
from tests.repository import HOME, contents, copied
from tests.trials import THOROUGH

REACHING = (
    *(f"schedules/{name}.csv" for name in ("fruit", "tomatoes", "vegetables", "meats-seafood", "pickles", "spreads")),
    *(
        f"schedules/{name}.csv"
        for name in ("foods", "aliases", "forms", "relations", "headspace", "acid", "conditions")
    ),
    *(f"schedules/{name}.csv" for name in ("withheld", "withheld-names")),
    *(f"shared/{name}.csv" for name in ("jars", "jar-rules", "canners", "cautions")),
)
JARS = ("half-pint", "12-ounce", "pint", "pint-and-half", "quart", "half-gallon")
ALTITUDES_FT = (0, 1000, 1000.5, 2500, 3000, 5000, 6001, 8000, 9000)
SEEDS = (5, 1) if THOROUGH else (5,)
"""Seeds of the edits; the second takes twice as long."""
QUESTIONS = list(itertools.product(("hot", "raw", None), JARS, ("boiling-water", "dial", "weighted"), ALTITUDES_FT))


def answers(lookup: Lookup, name: str, form: str | None) -> Iterator[tuple[object, Answer | None]]:
    for pack, jar, canner, feet in QUESTIONS:
        asked = (name, form, pack, jar, canner, feet)
        try:
            found = lookup.find(Question(name, jar, f"{feet} ft", canner, pack, form))
            yield asked, None if found.understood else found  # the only pack: as good as naming it, which is asked too
        except StillroomError:
            yield asked, None


def weaker(before: Answer | None, after: Answer | None) -> str:
    """Say how an answer became weaker; blank where it did not."""
    if after is None:
        return ""
    if before is None:
        return "an answer where there was a refusal"
    for new in after.options:
        held = [
            o for o in before.options if o.minutes <= new.minutes and (o.pressure_psi or 0) <= (new.pressure_psi or 0)
        ]
        if not held:
            return "less time or pressure"
    required, requires = ({s.text for s in a.options[0].requires} for a in (before, after))
    if required - requires and before.food == after.food:
        return "a requirement is lost"
    space, spaces = (min((h.inches for h in a.options[0].headspace), default=0) for a in (before, after))
    return "less headspace" if spaces < space else ""


def touched(lookup: Lookup, lines: set[str]) -> set[tuple[str, str | None]]:
    """Names and forms to ask for: whatever the changed lines name, and what follows it."""
    words = {cell for line in lines for cell in line.split(",")}
    foods = {food for food in lookup.shelf.foods if food in words}
    foods |= {r.food for r in lookup.shelf.package.relations if r.follows in foods}
    names = foods | {a.alias for a in lookup.shelf.package.aliases if a.alias in words}
    names |= {
        name.alias for name in lookup.shelf.package.withheld_names if name.alias in words or name.withheld in words
    }
    if not foods:  # a jar, a canner or a statement: any food may use it
        names |= {"snap-beans", "tomatoes-crushed", "apple-juice", "fish", "peaches", "crab", "figs"}
    forms = {form.food: form.form for form in lookup.shelf.package.forms}
    return {(name, None) for name in sorted(names)[:6]} | {(f, forms[f]) for f in foods if f in forms}


@pytest.mark.parametrize("seed", SEEDS)
def test_an_edit_that_makes_any_answer_weaker_is_called_weaker_or_added(tmp_path: Path, seed: int) -> None:
    copied(tmp_path)
    chance = random.Random(seed)
    made = [
        edit
        for sheet in sheets()
        if sheet.file in REACHING
        for edit in (*cell_edits(sheet, chance, 2), *row_edits(sheet, chance, 2))
    ]
    files = contents()
    old = Version("before", Held(files))
    lookup = Lookup(Shelf(Package(str(HOME))))
    before = cache(lambda name, form: tuple(answers(lookup, name, form)))
    seen = 0
    for edit in chance.sample(made, 60):
        ((path, content),) = edit.contents.items()
        lines = set(files[path].decode().splitlines()) ^ set(content.decode().splitlines())
        (tmp_path / path).write_bytes(content)
        try:
            edited = Lookup(Shelf(Package(str(tmp_path))))
            how = {
                weaker(was, now)
                for name, form in touched(lookup, lines)
                for (_, was), (_, now) in zip(before(name, form), answers(edited, name, form), strict=True)
            }
        except (StillroomError, StopIteration, KeyError):
            continue  # the edited package no longer loads
        finally:
            (tmp_path / path).write_bytes(files[path])
        if how - {""}:
            seen += 1
            found = compare_versions(old, Version("after", Held({**files, path: content})))
            assert found.count("weaker") + found.count("added"), f"{edit.kind}: {path}: {edit.said}: {how}"
    assert seen >= 5, "the edits drawn must show some weaker answers"
