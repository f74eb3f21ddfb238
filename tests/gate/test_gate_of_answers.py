"""One row of a rule, a relation or a name may make hundreds of answers: the gate counts these, and says so first.

Each edit has its section pasted into CHANGELOG.md, as ``compare`` prints it, and is rejected all the same, since no new
source stands behind it. How many answers change is counted anew from what the library answers (the design, "Checks").
"""

from __future__ import annotations

import re
from collections import Counter
from collections.abc import Iterable

import pytest

from stillroom.answers.answer_rows import TESTED, AnswerRow, answer_rows
from stillroom.answers.shelf import Shelf
from stillroom.desk.told import ANSWER_KINDS, MADE, RELEASED, RETARGETED, STRENGTHENED, TAKEN, WEAKENED
from stillroom.package import files
from stillroom.package.package import Package
from tests.gate.gated import Edit, Gated
from tests.repository import contents

JAR_RULES, RELATIONS, RULES = "shared/jar-rules.csv", "schedules/relations.csv", "shared/rules.csv"
ALIASES, OPEN, WITHHELD_NAMES = "schedules/aliases.csv", "schedules/open-names.csv", "schedules/withheld-names.csv"
SOURCES, CONDITIONS, VEGETABLES = "shared/sources.csv", "schedules/conditions.csv", "schedules/vegetables.csv"
BEANS = "snap-beans,,raw,quart,pressure,dial,0,2000,25,11,usda-2015,4-9,Snap and Italian Beans,\n"


@pytest.fixture(scope="module")
def gated() -> Gated:
    return Gated(dict(contents()))


def asked(gated: Gated, edits: tuple[Edit, ...]) -> list[AnswerRow]:
    """Ask an edited package everything."""
    version = gated.edited(edits)
    kept = {path: content for path in version.paths() if path.endswith(".csv") and (content := version.read(path))}
    with files.aside(kept) as folder:
        return list(answer_rows(Shelf(Package(folder))))


def heights_answered(rows: Iterable[AnswerRow]) -> Counter[tuple[object, ...]]:
    """Count the tested answers of each combination at heights in the middle of every band."""
    heights = (0, 500, 1_500, 2_500, 3_500, 4_500, 5_500, 6_500, 7_500, 9_000)
    found: Counter[tuple[object, ...]] = Counter()
    for row in rows:
        if row.result == TESTED:
            low = float("-inf") if row.above_ft is None else row.above_ft
            high = float("inf") if row.to_ft is None else row.to_ft
            found.update((*row[:5], feet) for feet in heights if low < feet <= high)
    return found


RULE_EDITS: dict[str, tuple[Edit, frozenset[str]]] = {
    "a jar rule that takes the time of a smaller jar": (
        (JAR_RULES, ",pint-and-half,quart,", ",pint-and-half,pint,"),
        frozenset((MADE, WEAKENED)),
    ),
    "a jar rule of fish for every food": (
        (JAR_RULES, "fish,12-ounce,pint,usda-2015,5-10,", ",12-ounce,pint,usda-2015,5-10,"),
        frozenset((MADE,)),
    ),
    "one more jar rule": (
        (JAR_RULES, "fish,12-ounce", ",half-gallon,quart,usda-2015,1-23,half-gallons take it too\nfish,12-ounce"),
        frozenset((MADE,)),
    ),
    "a relation for both packs": (
        (RELATIONS, "tomatillos,tomatoes-in-water,hot,", "tomatillos,tomatoes-in-water,,"),
        frozenset((MADE,)),
    ),
    "a relation to a shorter process": (
        (RELATIONS, "apricots,peaches,,", "apricots,apple-juice,,"),
        frozenset((MADE, WEAKENED)),
    ),
    "one more relation": (
        (RELATIONS, "\napricots,peaches", "\nasparagus,beets,,usda-2015,4-5\napricots,peaches"),
        frozenset((WEAKENED,)),
    ),
    "a longer process for steam": (
        (RULES, "steam-canner-derived,45,", "steam-canner-derived,60,"),
        frozenset((MADE,)),
    ),
    "less headspace": (
        ("schedules/headspace.csv", "apple-butter,,,,0.25,", "apple-butter,,,,0.125,"),
        frozenset((WEAKENED,)),
    ),
    "a lost condition": (
        (CONDITIONS, "14-day-sweet-pickles,,,,,pickle-proportions-fixed,usda-2015,1-28\n", ""),
        frozenset((WEAKENED,)),
    ),
    "lost acid": (
        ("schedules/acid.csv", "asian-pears,pint,bottled lemon juice,1,tablespoon,jar,jar,,,usda-2015,2-20\n", ""),
        frozenset((WEAKENED,)),
    ),
    "a lower row": ((VEGETABLES, BEANS, BEANS.replace(",25,", ",20,")), frozenset((WEAKENED,))),
    "one more row": (
        (VEGETABLES, BEANS, BEANS + BEANS.replace("quart", "half-gallon")),
        frozenset((MADE,)),
    ),
}  # fmt: skip


@pytest.mark.parametrize("name", RULE_EDITS)
def test_it_is_told_first_by_answers_and_rejected_with_its_section(gated: Gated, name: str) -> None:
    edit, kinds = RULE_EDITS[name]
    people = gated.compared(edit).people
    told = {kind for kind in ANSWER_KINDS if people.how_many("answers", kind)}
    assert told - {TAKEN} == kinds
    first = gated.announced(edit)[0]
    for kind in kinds:
        low = people.how_many("answers", kind, "low-acid")
        said = f"{people.how_many('answers', kind):,} {kind}" + (f" ({low:,} of low-acid food)" if low else "")
        assert said in first
    assert gated.logged(edit)


@pytest.mark.parametrize("name", [name for name, (_, kinds) in RULE_EDITS.items() if MADE in kinds])
def test_as_many_answers_are_made_as_the_library_now_gives(gated: Gated, name: str) -> None:
    """Every combination with a tested answer at some height that had none there before, one by one."""
    edit, _ = RULE_EDITS[name]
    before, after = heights_answered(asked(gated, ())), heights_answered(asked(gated, (edit,)))
    made = {place for place in after if place not in before}
    told = {(one.food, one.kind) for one in gated.compared(edit).people.told if one.about == "answers"}
    assert {str(place[0]) for place in made} == {food for food, kind in told if kind == MADE}
    assert {str(place[0]) for place in before if place not in after} == {food for food, kind in told if kind == TAKEN}


@pytest.mark.parametrize(
    ("edit", "kind", "said"),
    [
        ((ALIASES, "acorn squash,winter-squash,", "acorn squash,apple-butter,"), RETARGETED, "answers made under it"),
        ((OPEN, "bush beans,dried-beans-or-peas,\n", ""), RETARGETED, "led to dried-beans-or-peas, lima-beans or"),
        ((OPEN, "bush beans,dried-beans-or-peas,\nbush beans,lima-beans,\n", ""), RETARGETED, "weakened under it"),
        ((WITHHELD_NAMES, "180 degree pickles,low-temperature-pasteurization\n", ""), RELEASED, "180 degree pickles"),
    ],
)
def test_a_name_that_leads_to_weaker_answers_is_rejected_with_its_section(
    gated: Gated, edit: Edit, kind: str, said: str
) -> None:
    names = [one for one in gated.compared(edit).people.told if one.about == "names"]
    assert [one.kind for one in names] == [kind]
    assert said in names[0].example
    assert re.search(rf"^Names: .*1 {kind}", gated.announced(edit)[1])
    (found,) = gated.logged(edit)
    assert found.file == "schedules/names.csv"
    assert "no new source stands behind what it leads to" in str(found)


def test_a_name_that_leads_to_stricter_answers_only_needs_its_line(gated: Gated) -> None:
    edit = (ALIASES, "acorn squash,winter-squash,", "acorn squash,clams,")
    assert len(gated(edit)) == 1
    assert gated.logged(edit) == []


@pytest.mark.parametrize(
    "edit",
    [
        ("shared/canner-words.csv", "\nwater bath,boiling-water,word,\n", "\nwater bath,steam,word,\n"),
        ("shared/canner-words.csv", "\noven,,word,oven-canning\n", "\n"),
        ("shared/pack-words.csv", "\nuncooked,raw\n", "\nuncooked,hot\n"),
        ("shared/jar-words.csv", "\nqt,,us-unit,32,\n", "\nqt,,us-unit,16,\n"),
        (
            "schedules/form-words.csv",
            "chicken-or-rabbit,boneless,without-bones\n",
            "chicken-or-rabbit,boneless,with-bones\n",
        ),
    ],
)
def test_a_word_is_not_turned_and_what_it_was_refused_with_stands(gated: Gated, edit: Edit) -> None:
    (found,) = gated.logged(edit)
    assert "a word is not turned" in str(found) or "no new erratum amends the source that it was refused with" in str(
        found
    )


@pytest.mark.parametrize(
    ("file", "line"),
    [(ALIASES, "acorn squash of mine,winter-squash,,"), ("shared/canner-words.csv", "big pot,boiling-water,word,")],
)
def test_a_new_name_or_word_needs_its_line_alone(gated: Gated, file: str, line: str) -> None:
    head = gated.before[file].decode().splitlines()[0]
    edit = (file, f"{head}\n", f"{head}\n{line}\n")
    assert len(gated(edit)) == 1
    assert gated.logged(edit) == []


# sources

NEWER = "{id},Nobody,A guide that does not exist,,2031,Nobody 2031,Nobody,,invented,{amends}\n"


def source(name: str, amends: str = "") -> Edit:
    return SOURCES, "usda-2015,", NEWER.format(id=name, amends=amends) + "usda-2015,"


LOWER = BEANS.replace(",25,", ",20,")


def citing(name: str) -> Edit:
    return VEGETABLES, BEANS, LOWER.replace("usda-2015", name)


def test_an_erratum_of_the_publication_excuses_the_row_that_cites_it(gated: Gated) -> None:
    assert gated.logged(source("erratum-2031", "usda-2015"), citing("erratum-2031")) == []


def test_an_erratum_of_another_publication_does_not(gated: Gated) -> None:
    found = gated.logged(source("erratum-2031", "psu-fats"), citing("erratum-2031"))
    assert any("erratum-2031 amends psu-fats, which is not what the row stands on" in str(one) for one in found)


def test_a_new_source_excuses_no_other_row(gated: Gated) -> None:
    """One row cites it, another of the same food does not and is lowered all the same."""
    pints = BEANS.replace("quart", "pint").replace(",25,", ",20,")
    found = gated.logged(source("new-2031"), citing("new-2031"), (VEGETABLES, pints, pints.replace(",20,", ",15,")))
    assert [(one.file, one.column) for one in found] == [(VEGETABLES, "minutes")]


def test_a_new_source_of_a_schedule_does_not_excuse_a_rule(gated: Gated) -> None:
    rule = (JAR_RULES, ",pint-and-half,quart,", ",pint-and-half,pint,")
    found = gated.logged(source("new-2031"), citing("new-2031"), rule)
    assert (JAR_RULES, "takes") in {(one.file, one.column) for one in found}


def test_a_rule_weakened_by_a_source_that_is_cited_against_it_fails(gated: Gated) -> None:
    """An invented entry of withheld.csv cites the same source for advising against it."""
    rule = next(line for line in gated.before[RULES].decode().splitlines() if line.startswith("steam-canner-derived,"))
    *_, old, page = rule.split(",")
    longer = (RULES, rule, rule.replace(",45,", ",60,").replace(f",{old},{page}", f",new-2031,{page}"))
    assert gated.logged(source("new-2031"), longer) == []
    head = "id,title,code,kind,reason,instead,source,page\n"
    entry = "steam-canner-long,Long processes in a steam canner,withheld,practice,It may boil dry.,,new-2031,3\n"
    found = gated.logged(source("new-2031"), longer, ("schedules/withheld.csv", head, head + entry))
    assert any("new-2031 is cited in withheld.csv as advising against it" in str(one) for one in found)


def test_a_caution_that_becomes_a_requirement_is_stronger_and_the_other_way_round_weaker(gated: Gated) -> None:
    lines = gated.before["shared/cautions.csv"].decode().splitlines(keepends=True)
    caution = next(line for line in lines if ",caution," in line and gated_by(gated, line.split(",")[0]))
    raised = ("shared/cautions.csv", caution, caution.replace(",caution,", ",must,", 1))
    assert {one.kind for one in gated.compared(raised).people.told} == {STRENGTHENED}
    must = next(line for line in lines if ",must," in line and gated_by(gated, line.split(",")[0]))
    lowered = ("shared/cautions.csv", must, must.replace(",must,", ",caution,", 1))
    assert {one.kind for one in gated.compared(lowered).people.told} == {WEAKENED}
    assert gated.logged(lowered)


def gated_by(gated: Gated, statement: str) -> bool:
    """Whether conditions ask for a statement."""
    return f",{statement},".encode() in gated.before[CONDITIONS]


def test_all_of_a_large_edit_is_told_in_ten_lines(gated: Gated) -> None:
    edit, _ = RULE_EDITS["one more jar rule"]
    lines = gated.announced(edit)
    assert len(lines) <= 10
    assert lines[-1] == f"{len(gated.compared(edit).people.told) - 6:,} more lines: stillroom compare"
    assert "low-acid" in lines[2], "the gravest first"


def test_the_first_lines_tell_of_every_kind(gated: Gated) -> None:
    edit, kinds = RULE_EDITS["a jar rule that takes the time of a smaller jar"]
    lines = gated.announced(edit)[2:-1]
    assert len(lines) == 6
    for kind in kinds:
        assert sum(f" answers {kind}, first: " in line for line in lines) >= 2


def test_answers_that_change_with_the_code_alone_are_told_and_need_their_line_but_no_source(gated: Gated) -> None:
    """The older version answers one minute more, from the same tables."""
    row = next(
        line
        for line in gated.before["schedules/answers.csv"].decode().splitlines(True)
        if line.startswith("snap-beans,,raw,quart,dial,") and ",tested,25,11," in line
    )
    older = Gated(
        {
            **gated.before,
            "schedules/answers.csv": gated.before["schedules/answers.csv"].replace(
                row.encode(), row.replace(",25,11,", ",26,11,").encode()
            ),
        }
    )
    edit = ("schedules/answers.csv", row.replace(",25,11,", ",26,11,"), row)
    assert older.announced(edit)[0] == "Answers: 1 weakened (1 of low-acid food)."
    assert len(older(edit)) == 1
    assert older.logged(edit) == []
