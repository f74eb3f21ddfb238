"""A weaker row passes only with another source and an entry in CHANGELOG.md (the design, section "Checks").

The row is that of raw-packed quarts of snap beans on a dial gauge, page 4-9 of the 2015 guide: 25 minutes at 11 psi.
"""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path

import pytest

from stillroom.desk import changelog
from stillroom.desk.comparison import compare_versions
from stillroom.desk.gate import gate
from stillroom.findings.finding import Finding
from stillroom.package.versions import Held, Version
from tests.repository import contents

HOME = Path(__file__).resolve().parents[2]
VEGETABLES, SOURCES, LOG = "schedules/vegetables.csv", "shared/sources.csv", "CHANGELOG.md"
BEANS = "snap-beans,,raw,quart,pressure,dial,0,2000,25,11,usda-2015,4-9,Snap and Italian Beans,\n"
PINTS = BEANS.replace("quart", "pint").replace(",25,", ",20,")
WEAK = BEANS.replace(",25,", ",20,")
NEWER = "usda-2027,USDA,Complete Guide to Home Canning,,revised 2027,,USDA,,public domain,\n"
BEFORE = "# Changelog\n\n## 0.1.0\n\n- snap-beans, raw, quart, dial: minutes 25 -> 20, an old entry\n"
ENTRY = "- snap-beans, raw, quart, dial, 0 to 2,000 ft: minutes 25 -> 20 (usda-2027, 4-9)\n"


@pytest.fixture(scope="module")
def before() -> dict[str, bytes]:
    return {**contents(), LOG: BEFORE.encode()}


Gate = Callable[..., list[Finding]]


@pytest.fixture
def gated(before: dict[str, bytes]) -> Gate:
    """Edit texts of files, put entries at the top of CHANGELOG.md, and ask the gate."""

    def ask(*edits: tuple[str, str, str], entry: str = "", log: str | None = None) -> list[Finding]:
        after = dict(before)
        for path, old, new in edits:
            text = after[path].decode()
            assert old in text, f"{old!r} is not in {path}"
            after[path] = text.replace(old, new, 1).encode()
        top = f"# Changelog\n\n## Unreleased\n\n### Data: weaker\n{entry}\n" if entry else ""
        after[LOG] = log.encode() if log is not None else (top + BEFORE).encode()
        return list(gate(Version("before", Held(before)), Version("after", Held(after))))

    return ask


NEW_SOURCE = (SOURCES, "usda-2015,", NEWER + "usda-2015,")
SOURCE_ENTRY = "- usda-2027: revised 2027 added\n"


def cited(row: str) -> str:
    return row.replace("usda-2015", "usda-2027")


def test_nothing_changed_is_nothing_found(gated: Gate) -> None:
    assert gated() == []


def test_less_time_alone_is_rejected_in_one_line_that_says_what_and_why(gated: Gate) -> None:
    (found,) = gated((VEGETABLES, BEANS, WEAK))
    assert (found.file, found.line, found.column, found.value) == (VEGETABLES, 218, "minutes", "20")
    assert "was 25" in found.message
    assert "its source is still usda-2015 and CHANGELOG.md does not name it" in found.message
    assert "\n" not in str(found)


def test_less_time_with_another_source_and_an_entry_passes(gated: Gate) -> None:
    source = "- snap-beans, raw, quart, dial, 0 to 2,000 ft: source usda-2015 -> usda-2027\n"
    edits = (NEW_SOURCE, (VEGETABLES, BEANS, cited(WEAK)))
    assert gated(*edits, entry=ENTRY + source + SOURCE_ENTRY) == []


def test_the_section_that_compare_prints_satisfies_the_gate(gated: Gate, before: dict[str, bytes]) -> None:
    edits = (NEW_SOURCE, (VEGETABLES, BEANS, cited(WEAK)), (VEGETABLES, PINTS, cited(PINTS.replace(",20,", ",19,"))))
    after = dict(before)
    for path, old, new in edits:
        after[path] = after[path].decode().replace(old, new, 1).encode()
    found = compare_versions(Version("before", Held(before)), Version("after", Held(after)))
    assert gated(*edits, log="# Changelog\n\n" + changelog.section(found) + "\n" + BEFORE) == []


def test_an_entry_alone_or_a_source_alone_is_not_enough(gated: Gate) -> None:
    (found,) = gated((VEGETABLES, BEANS, WEAK), entry=ENTRY)
    assert "still usda-2015" in found.message
    assert "CHANGELOG.md does not" not in found.message
    found = gated(NEW_SOURCE, (VEGETABLES, BEANS, cited(WEAK)), entry=SOURCE_ENTRY)
    assert {f.column for f in found} == {"minutes", "source"}
    assert all("CHANGELOG.md does not name it" in f.message and "still" not in f.message for f in found)


@pytest.mark.parametrize(
    "entry",
    [
        "- snap-beans, raw, pint, dial: minutes 25 -> 20\n",  # another jar
        "- snap-beans, hot, quart, dial: minutes 25 -> 20\n",  # another pack
        "- snap-beans, raw, quart, weighted: minutes 25 -> 20\n",  # another canner
        "- snap-beans, raw, quart, dial, 2,001 to 4,000 ft: minutes 25 -> 20\n",  # another band
        "- asparagus, raw, quart, dial: minutes 25 -> 20\n",  # another food
        "- snap-beans, raw, quart, dial: minutes 25 -> 15\n",  # another value
        "- snap-beans, raw, quart, dial: now 20 minutes\n",  # not the old value
        "- snap-beans (4-20): minutes 25 lowered\n",  # a page is no value
        "- tidied vegetables.csv\n",
        "snap-beans, raw, quart, dial: minutes 25 -> 20, in no list\n",
        "<!--\n- snap-beans, raw, quart, dial: minutes 25 -> 20\n-->\n",
        "```\n- snap-beans, raw, quart, dial: minutes 25 -> 20\n```\n",
        "- snap-beans, raw, quart, dial: minutes 25 -> 20, an old entry\n",  # it stood there before
    ],
)
def test_an_entry_that_does_not_name_the_cell_does_not_count(gated: Gate, entry: str) -> None:
    found = gated(NEW_SOURCE, (VEGETABLES, BEANS, cited(WEAK)), entry=entry + SOURCE_ENTRY)
    assert "minutes" in {f.column for f in found}


@pytest.mark.parametrize(
    "entry",
    [
        "- Snap and Italian beans: 25 to 20 minutes.\n",
        "- **Snap beans**, raw-packed quarts on a dial gauge:\n  `25` -> `20` minutes (4-9)\n",
        "* Snap-beans quarts, 0-2,000 ft: 25 \u2192 20 min\n",
    ],
)
def test_an_entry_in_other_words_that_names_food_and_values_counts(gated: Gate, entry: str) -> None:
    found = gated(NEW_SOURCE, (VEGETABLES, BEANS, cited(WEAK)), entry=entry + SOURCE_ENTRY)
    assert "minutes" not in {f.column for f in found}


def test_an_entry_below_the_top_section_does_not_count(gated: Gate) -> None:
    log = f"# Changelog\n\n## Unreleased\n\n- Faster.\n\n## 0.1.0\n\n{ENTRY}"
    assert gated(NEW_SOURCE, (VEGETABLES, BEANS, cited(WEAK)), log=log)


def test_an_entry_for_a_food_with_a_longer_name_does_not_speak_for_the_shorter(gated: Gate) -> None:
    row = "chile-salsa,,hot,pint,boiling-water,,0,1000,15,,"
    changed = gated(("schedules/tomatoes.csv", row, row.replace(",15,", ",10,")), entry="- chile-salsa-ii: 15 -> 10\n")
    assert "does not name it" in changed[0].message


# ways around it


def test_the_same_publication_under_another_id_is_no_other_source(gated: Gate, before: dict[str, bytes]) -> None:
    known = next(line for line in before[SOURCES].decode().splitlines(keepends=True) if line.startswith("usda-2015,"))
    twin = (SOURCES, known, known + known.replace("usda-2015", "usda-2016"))
    weak = WEAK.replace("usda-2015", "usda-2016")
    found = gated(twin, (VEGETABLES, BEANS, weak), entry=ENTRY + "- usda-2016 added\n")
    assert any("usda-2016 is the same publication as usda-2015" in f.message for f in found)


def test_a_source_that_is_not_described_is_no_source(gated: Gate) -> None:
    found = gated((VEGETABLES, BEANS, cited(WEAK)), entry=ENTRY)
    assert any("not in shared/sources.csv" in f.message for f in found)


def test_a_row_under_a_new_food_id_is_still_of_the_old_caption(gated: Gate) -> None:
    renamed = WEAK.replace("snap-beans,", "string-beans,", 1)
    entry = "- string-beans, raw, quart, dial, 0 to 2,000 ft: added, 20 min at 11 psi\n"
    (found,) = gated((VEGETABLES, BEANS, renamed), entry=entry)
    assert "usda-2015 is no new source for it" in found.message


def test_a_row_deleted_here_and_added_in_another_table_is_compared_as_one(gated: Gate) -> None:
    (found,) = gated((VEGETABLES, BEANS, ""), ("schedules/fruit.csv", "food,", "food,"), entry="") or [None]
    assert found is None  # withdrawing alone is safe
    header = "schedules/fruit.csv", "caption,note\n", "caption,note\n" + WEAK
    found_both = gated((VEGETABLES, BEANS, ""), header)
    assert [(f.file, f.column) for f in found_both] == [("schedules/fruit.csv", "minutes")]


def test_an_added_option_needs_another_source_and_an_entry(gated: Gate) -> None:
    (found,) = gated((VEGETABLES, BEANS, BEANS + WEAK), entry="- snap-beans raw quart dial: added, 20 min at 11 psi\n")
    assert "no new source" in found.message
    added = (VEGETABLES, BEANS, BEANS + cited(WEAK))
    assert gated(NEW_SOURCE, added, entry="- snap-beans raw quart dial: added, 20 min at 11 psi\n" + SOURCE_ENTRY) == []


@pytest.mark.parametrize(
    ("path", "old", "new"),
    [
        ("shared/altitude-bands.csv", "dial,0,2000", "dial,0,4000"),
        ("shared/rules.csv", "vent-time,10,", "vent-time,5,"),
        ("shared/exceptions.csv", ",10,", ",15,"),
        ("shared/sources.csv", "revised 2015", "revised 2027"),
        ("schedules/readings/lost-cells.csv", "first,2,Rhubarb", "second,2,Rhubarb"),
        ("schedules/readings/captions.csv", ",apple-butter,", ",apple-juice,"),
        ("schedules/readings/footnotes.csv", ",100,", ",75,"),
        ("schema/schedule.json", '"minimum": 5', '"minimum": 1'),
        ("schedules/not-recommended.csv", "1001,,10,usda-2015,3-8", "1001,,5,usda-2015,3-8"),
        ("datapackage.json", '"path": "schedules/fruit.csv"', '"path": "schedules/other.csv"'),
    ],
)
def test_what_the_checks_lean_on_cannot_change_unnoticed(gated: Gate, path: str, old: str, new: str) -> None:
    assert gated((path, old, new))


def test_an_entry_can_name_a_second_reading_of_a_page(gated: Gate) -> None:
    reading, last = "schedules/readings/pages-second.csv", "withheld,zinc-caps,1-10\n"
    added = (reading, last, last + "withheld,zinc-jars,1-10\n")
    assert len(gated(added, entry="- withheld, zinc-lids, 1-10: added, this row\n")) == 1
    assert gated(added, entry="- zinc-jars, withheld, 1-10: added, this row\n") == []


def test_both_readings_edited_with_the_table_are_rejected(gated: Gate) -> None:
    first = (
        "schedules/readings/schedules-first.csv",
        "pressure,dial,raw,quart,0,2000,25,11",
        "pressure,dial,raw,quart,0,2000,20,11",
    )
    second = (first[0].replace("first", "second"), *first[1:])
    found = gated((VEGETABLES, BEANS, WEAK), first, second)
    assert {f.file for f in found} == {VEGETABLES, first[0], second[0]}


def test_a_stronger_row_with_both_readings_is_rejected_for_the_readings(gated: Gate) -> None:
    first = (
        "schedules/readings/schedules-first.csv",
        "pressure,dial,raw,quart,0,2000,25,11",
        "pressure,dial,raw,quart,0,2000,30,11",
    )
    second = (first[0].replace("first", "second"), *first[1:])
    found = gated((VEGETABLES, BEANS, BEANS.replace(",25,", ",30,")), first, second)
    assert {f.file for f in found} == {first[0], second[0]}


def test_what_is_stronger_withdrawn_or_wording_passes(gated: Gate) -> None:
    assert gated((VEGETABLES, BEANS, BEANS.replace(",25,", ",30,"))) == []
    assert gated((VEGETABLES, BEANS, "")) == []
    assert gated((VEGETABLES, BEANS, BEANS.replace("4-9", "4-8"))) == []


def test_a_new_version_that_cannot_be_read_is_a_finding(gated: Gate) -> None:
    (found,) = gated((VEGETABLES, BEANS, BEANS.replace(",,raw", ",raw")))
    assert "cannot be compared" in found.message


def test_an_old_entry_of_a_wheel_without_changelog_does_not_count_again(before: dict[str, bytes]) -> None:
    old = {path: content for path, content in before.items() if path != LOG}
    new = {**before, VEGETABLES: before[VEGETABLES].replace(BEANS.encode(), WEAK.encode())}
    (found,) = gate(Version("wheel", Held(old)), Version("after", Held(new)))
    assert "CHANGELOG.md does not name it" in found.message
