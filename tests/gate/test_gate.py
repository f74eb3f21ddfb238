"""A weaker row passes only with a new source and its very line in CHANGELOG.md (the design, section "Checks").

The row is that of raw-packed quarts of snap beans on a dial gauge, page 4-9 of the 2015 guide: 25 minutes at 11 psi.
"""

from __future__ import annotations

from pathlib import Path

import pytest

from stillroom.desk.gate import gate
from stillroom.package.versions import Held, Version
from tests.gate.gated import LOG, Gated
from tests.repository import contents

HOME = Path(__file__).resolve().parents[2]
VEGETABLES, SOURCES = "schedules/vegetables.csv", "shared/sources.csv"
BEANS = "snap-beans,,raw,quart,pressure,dial,0,2000,25,11,usda-2015,4-9,Snap and Italian Beans,\n"
PINTS = BEANS.replace("quart", "pint").replace(",25,", ",20,")
WEAK = BEANS.replace(",25,", ",20,")
NEWER = "usda-2027,USDA,Complete Guide to Home Canning,,revised 2027,,USDA,,public domain,\n"
ENTRY = "snap-beans, raw, quart, dial, 0 to 2,000 ft: minutes 25 -> 20 (usda-2027, 4-9)"
BEFORE = f"# Changelog\n\n## 0.1.0\n\n- {ENTRY}, an old entry\n"


@pytest.fixture(scope="module")
def before() -> dict[str, bytes]:
    return {**contents(), LOG: BEFORE.encode()}


@pytest.fixture(scope="module")
def gated(before: dict[str, bytes]) -> Gated:
    return Gated(before, BEFORE)


NEW_SOURCE = (SOURCES, "usda-2015,", NEWER + "usda-2015,")
CELL = "minutes 25 -> 20"


def cited(row: str) -> str:
    return row.replace("usda-2015", "usda-2027")


LOWERED = (NEW_SOURCE, (VEGETABLES, BEANS, cited(WEAK)))


def test_nothing_changed_is_nothing_found(gated: Gated) -> None:
    assert gated() == []


def test_less_time_alone_is_rejected_first_by_its_answers_then_by_its_cell(gated: Gated) -> None:
    answers, cell = gated((VEGETABLES, BEANS, WEAK))
    assert (answers.file, answers.line) == ("schedules/answers.csv", None)
    assert answers.message.startswith(
        "snap-beans (low-acid): 2 answers weakened, first: raw pack, pint-and-half, dial, "
    )
    assert "they stand on usda-2015, which is no new source, and CHANGELOG.md does not hold its line" in str(answers)
    assert (cell.file, cell.line, cell.column, cell.value) == (VEGETABLES, 218, "minutes", "20")
    assert "was 25" in cell.message
    assert "its source is still usda-2015, and CHANGELOG.md does not hold its line in the top section" in str(cell)
    assert "\n" not in str(answers) + str(cell)


def test_less_time_with_a_new_source_and_the_printed_section_passes(gated: Gated) -> None:
    assert gated.logged(*LOWERED) == []


def test_two_lowered_rows_with_a_new_source_and_the_printed_section_pass(gated: Gated) -> None:
    pints = (VEGETABLES, PINTS, cited(PINTS.replace(",20,", ",19,")))
    assert gated.logged(*LOWERED, pints) == []


def test_the_section_alone_or_a_source_alone_is_not_enough(gated: Gated) -> None:
    found = gated.logged((VEGETABLES, BEANS, WEAK))
    assert {f.column for f in found} == {"", "minutes"}
    assert all("usda-2015" in f.message for f in found)
    assert not any("CHANGELOG.md" in f.message for f in found)
    found = gated(*LOWERED)
    assert {(f.file, f.column) for f in found} == {
        ("schedules/answers.csv", ""),
        (VEGETABLES, "minutes"),
        (VEGETABLES, "source"),
        (SOURCES, ""),
    }
    assert all("CHANGELOG.md does not hold its line" in f.message and "still" not in f.message for f in found)


@pytest.mark.parametrize(
    "entry",
    [
        "- snap-beans, raw, pint, dial, 0 to 2,000 ft: minutes 25 -> 20 (usda-2027, 4-9)",  # another jar
        "- snap-beans, hot, quart, dial, 0 to 2,000 ft: minutes 25 -> 20 (usda-2027, 4-9)",  # another pack
        "- snap-beans, raw, quart, weighted, 0 to 2,000 ft: minutes 25 -> 20 (usda-2027, 4-9)",  # another canner
        "- snap-beans, raw, quart, dial, 2,001 to 4,000 ft: minutes 25 -> 20 (usda-2027, 4-9)",  # another band
        "- asparagus, raw, quart, dial, 0 to 2,000 ft: minutes 25 -> 20 (usda-2027, 4-9)",  # another food
        "- snap-beans, raw, quart, dial, 0 to 2,000 ft: minutes 25 -> 15 (usda-2027, 4-9)",  # another value
        "- snap-beans, raw, quart, dial, 0 to 2,000 ft: minutes 20 -> 25 (usda-2027, 4-9)",  # the other way round
        "- snap-beans, raw, quart, dial, 0 to 2,000 ft: raised 25 -> 20 (usda-2027, 4-9)",  # a word that says otherwise
        "- snap-beans, raw, quart, dial, 0 to 2,000 ft: minutes 25 -> 20 (usda-2015, 4-9)",  # another source
        "- snap-beans, raw, quart, dial, 0 to 2,000 ft: minutes 25 -> 20",  # no source
        "- Nothing of note: " + ENTRY,
        "- " + ENTRY + ", a misprint",
        "- Snap and Italian beans: 25 to 20 minutes.",
        "- vegetables.csv: snap-beans asparagus beets raw hot quart pint dial weighted 0 2,000 5 10 11 15 20 25 -> ft",
        "- tidied vegetables.csv",
        ENTRY + ", in no list",
        ENTRY,
        "<!--\n- " + ENTRY + "\n-->",
        "<!--- " + ENTRY + "\n-->",
        "```\n- " + ENTRY + "\n```",
        "~~~\n- " + ENTRY + "\n~~~",
        "```\n- " + ENTRY,
        "    - " + ENTRY,  # code by its indent
        "- `" + ENTRY + "`",
        "- <span hidden>x</span>\n- " + ENTRY,
        "<details>\n\n- " + ENTRY + "\n</details>",
        "[//]: # (\n- " + ENTRY + ")",
        "- " + ENTRY.replace("25 -> 20", "25\u200b -> 20"),  # an invisible character
        "- " + ENTRY.replace("dial", "d\u0456al"),  # a letter of another alphabet
        "- " + ENTRY + ", an old entry",  # it stood there before
    ],
)
def test_a_line_that_is_not_the_very_line_does_not_count(gated: Gated, entry: str) -> None:
    found = gated.logged(*LOWERED, without=CELL, instead=entry)
    assert "minutes" in {f.column for f in found}


@pytest.mark.parametrize(
    "entry",
    [
        "* " + ENTRY,
        "+ " + ENTRY,
        "  - " + ENTRY,
        "- " + ENTRY.replace("0 to", "0\n  to"),
        "-   " + ENTRY.replace(" ", "  ") + "   ",
        "- " + ENTRY + "\n\n### More\n- another line",
    ],
)
def test_the_mark_the_breaks_and_the_spaces_of_a_line_do_not_matter(gated: Gated, entry: str) -> None:
    assert gated.logged(*LOWERED, without=CELL, instead=entry) == []


def test_a_line_of_the_answers_is_needed_as_well(gated: Gated) -> None:
    (found,) = gated.logged(*LOWERED, without="2 answers weakened")
    assert found.file == "schedules/answers.csv"


def test_a_line_below_the_top_section_does_not_count(gated: Gated) -> None:
    log = f"# Changelog\n\n## Unreleased\n\n- Faster.\n\n{gated.section(*LOWERED).replace('Unreleased', '0.1.0')}"
    assert len(gated(*LOWERED, log=log)) == 4


def test_a_table_row_added_or_withdrawn_with_underscores_in_its_line_can_be_logged(gated: Gated) -> None:
    rule = (
        "shared/rules.csv",
        "acid-citric,",
        "a_rule_of_two,1,psi,A_rule with_underscores,usda-2027,4-9\nacid-citric,",
    )
    assert "a_rule_of_two" in gated.section(NEW_SOURCE, rule)
    assert gated.logged(NEW_SOURCE, rule) == []


# ways around it


def test_the_same_publication_under_another_id_is_no_other_source(gated: Gated, before: dict[str, bytes]) -> None:
    known = next(line for line in before[SOURCES].decode().splitlines(keepends=True) if line.startswith("usda-2015,"))
    twin = (SOURCES, known, known + known.replace("usda-2015", "usda-2016"))
    found = gated.logged(twin, (VEGETABLES, BEANS, WEAK.replace("usda-2015", "usda-2016")))
    assert any(
        "usda-2016 is no new source: it, or the same publication, stood there before" in f.message for f in found
    )
    assert "schedules/answers.csv" in {f.file for f in found}


def test_a_source_that_is_not_described_is_no_source(gated: Gated) -> None:
    found = gated.logged((VEGETABLES, BEANS, cited(WEAK)))
    assert any("not in shared/sources.csv" in f.message for f in found)


def test_a_source_that_stood_there_before_excuses_nothing(gated: Gated, before: dict[str, bytes]) -> None:
    others = sorted({line.split(",")[0] for line in before[SOURCES].decode().splitlines()[1:]} - {"usda-2015"})
    for source in others[::10]:
        found = gated.logged((VEGETABLES, BEANS, WEAK.replace("usda-2015", source)))
        assert {f.column for f in found} >= {"", "minutes"}, source


def test_a_row_under_a_new_food_id_is_an_added_row(gated: Gated) -> None:
    (found,) = gated.logged((VEGETABLES, BEANS, WEAK.replace("snap-beans,", "string-beans,", 1)))
    assert "usda-2015 is no new source" in found.message


def test_a_row_deleted_here_and_added_in_another_table_is_compared_as_one(gated: Gated) -> None:
    assert gated((VEGETABLES, BEANS, "")) == []  # withdrawing alone is safe
    header = "schedules/fruit.csv", "caption,note\n", "caption,note\n" + WEAK
    found = [f for f in gated((VEGETABLES, BEANS, ""), header) if f.file != "schedules/answers.csv"]
    assert [(f.file, f.column) for f in found] == [("schedules/fruit.csv", "minutes")]


def test_an_added_option_needs_a_new_source_and_its_lines(gated: Gated) -> None:
    found = gated.logged((VEGETABLES, BEANS, BEANS + WEAK))
    assert {f.file for f in found} == {"schedules/answers.csv", VEGETABLES}
    assert all("no new source" in f.message for f in found)
    assert gated.logged(NEW_SOURCE, (VEGETABLES, BEANS, BEANS + cited(WEAK))) == []


@pytest.mark.parametrize(
    ("path", "old", "new"),
    [
        ("shared/altitude-bands.csv", "dial,0,2000", "dial,0,4000"),
        ("shared/rules.csv", "vent-time,10,", "vent-time,5,"),
        ("shared/exceptions.csv", ",10,,", ",15,,"),
        ("shared/sources.csv", "revised 2015", "revised 2027"),
        ("schedules/readings/lost-cells.csv", "first,2,Rhubarb", "second,2,Rhubarb"),
        ("schedules/readings/captions.csv", ",apple-butter,", ",apple-juice,"),
        ("schedules/readings/footnotes.csv", ",100,", ",75,"),
        ("schema/schedule.json", '"minimum": 5', '"minimum": 1'),
        ("schedules/not-recommended.csv", "1001,,10,usda-2015,3-8", "1001,,5,usda-2015,3-8"),
        ("datapackage.json", '"path": "schedules/fruit.csv"', '"path": "schedules/other.csv"'),
    ],
)
def test_what_the_checks_lean_on_cannot_change_unnoticed(gated: Gated, path: str, old: str, new: str) -> None:
    assert gated((path, old, new))


def test_the_line_names_the_second_reading_of_a_page(gated: Gated) -> None:
    reading, last = "schedules/readings/pages-second.csv", "withheld,zinc-caps,1-10\n"
    added = (reading, last, last + "withheld,zinc-jars,1-10\n")
    assert len(gated.logged(added, without="zinc-jars", instead="- withheld, zinc-lids, 1-10: added, this row")) == 1
    assert gated.logged(added) == []


FIRST = (
    "schedules/readings/schedules-first.csv",
    "pressure,dial,raw,quart,0,2000,25,11",
    "pressure,dial,raw,quart,0,2000,20,11",
)
SECOND = (FIRST[0].replace("first", "second"), *FIRST[1:])


def test_both_readings_edited_with_the_table_are_rejected(gated: Gated) -> None:
    found = gated.logged((VEGETABLES, BEANS, WEAK), FIRST, SECOND)
    assert {f.file for f in found} == {"schedules/answers.csv", VEGETABLES}
    found = gated((VEGETABLES, BEANS, WEAK), FIRST, SECOND)
    assert {f.file for f in found} == {"schedules/answers.csv", VEGETABLES, FIRST[0], SECOND[0]}


def test_a_stronger_row_with_both_readings_is_rejected_for_the_readings(gated: Gated) -> None:
    readings = ((file, old, new.replace(",20,", ",30,")) for file, old, new in (FIRST, SECOND))
    found = gated((VEGETABLES, BEANS, BEANS.replace(",25,", ",30,")), *readings)
    assert {f.file for f in found} == {FIRST[0], SECOND[0]}


def test_what_is_stronger_or_withdrawn_or_only_cites_another_page_passes(gated: Gated) -> None:
    """That the page is the one of both readings is for the checks to say."""
    assert gated((VEGETABLES, BEANS, BEANS.replace("4-9", "4-8"))) == []
    assert gated((VEGETABLES, BEANS, BEANS.replace(",25,", ",30,"))) == []
    assert gated((VEGETABLES, BEANS, "")) == []


def test_a_new_version_that_cannot_be_read_is_a_finding(before: dict[str, bytes]) -> None:
    broken = {**before, VEGETABLES: before[VEGETABLES].replace(BEANS.encode(), BEANS.replace(",,raw", ",raw").encode())}
    (found,) = gate(Version("before", Held(before)), Version("after", Held(broken)))
    assert "cannot be compared" in found.message


def test_an_old_entry_of_a_wheel_without_changelog_does_not_count_again(gated: Gated, before: dict[str, bytes]) -> None:
    old = {path: content for path, content in before.items() if path != LOG}
    log = "# Changelog\n\n" + gated.section(*LOWERED).replace("Unreleased", "0.1.0")
    found = list(gate(Version("wheel", Held(old)), gated.edited(LOWERED, log)))
    assert len(found) == 4
    assert all("CHANGELOG.md does not hold its line" in f.message for f in found)
