"""What an audit says as text: the verdict first, the worst first, and nothing left out unsaid."""

from __future__ import annotations

import stillroom
from stillroom.foreign.audited import WORST_FIRST
from stillroom.sheets import audit_sheet
from tests.audit import made


def _text(found, everything=False):
    return audit_sheet.audit_sheet(found, stillroom.shelf(), everything)


def test_the_verdict_is_the_first_line_for_each_kind_of_outcome():
    none = made.clean().counts
    for found, said in (
        (made.audit(), "NOT SAFE TO HAND OUT. 4 of 5 rows need a change."),
        (made.clean(), "AS PUBLISHED. Nothing to change."),
        (made.clean(counts={**none, "unread": 1}), "NOT CLEARED: 1 cell could not be read, and none is wrong."),
        (made.clean(counts={**none, "stronger": 1}), "SAFE. 1 cell stronger than published"),
        (made.clean(processes=0), "NOTHING WAS JUDGED"),
    ):
        assert _text(found).startswith(f"invented.csv: {said}")


def test_one_cell_of_any_class_that_is_not_accepted_takes_the_word_safe_away():
    for kind in made.KINDS:
        found = made.clean(counts={**made.clean().counts, kind: 1})
        said = audit_sheet.verdict(found)
        accepted = kind in ("same", "stronger", "text")
        assert found.ok is accepted
        assert said.startswith(("AS PUBLISHED", "SAFE.")) is accepted, kind


def test_kinds_stand_worst_first_each_finding_with_its_line_value_page_reason_and_hint():
    text = _text(made.audit())
    places = [text.index(f"\n{kind.upper()}") for kind in WORST_FIRST]
    assert places == sorted(places)
    unfolded = " ".join(text.split())
    for said in (
        "line 4 Citrons Food, Pints, Quarts: Citrons min Invented: not safe (page 7-1). Instead: freeze citrons.",
        "line 3 Berries Pints: 15 min, published 51 min (page 7-3) looks like: two digits exchanged The leaflet",
        "line 3 Berries Quarts: nothing stated, published 20 min (page 7-3)",
        "line 5 Damsons Quarts: 40 min No quarts are published.",
        'line 6 Elfroots Food, Pints: "Elfroots"',
        "line 2 Apples Quarts: 25 min, published 20 min (page 7-3)",
        '"Finish in the oven." IT NAMES WHAT IS WITHHELD. Invented reason not to use an oven (page 7-9).',
        "Published, and not on this handout: - Apples: half-pints",
    ):
        assert said in unfolded, said
    assert unfolded.count("IT NAMES WHAT IS WITHHELD") == 1
    assert unfolded.count("Caution:") == 1 and unfolded.endswith(str(stillroom.shelf().standing))


def test_what_is_counted_adds_up_to_the_cells():
    found = made.audit()
    assert sum(found.counts.values()) == len(found.cells) == 18
    assert "18 cells: " in _text(found)


def test_a_long_list_is_cut_with_the_number_of_the_rest_and_all_shows_each():
    many = made.audit(findings=tuple(made.finding("weaker", 2, (1,))._replace(row=number) for number in range(1, 56)))
    short, whole = _text(many), _text(many, everything=True)
    assert short.count("  line ") - 2 == audit_sheet.MOST and "and 35 more: --all shows them" in short
    assert whole.count("  line ") - 2 == 55 and "more: --all" not in whole
    exact = many._replace(findings=many.findings[: audit_sheet.MOST])
    assert "more: --all" not in _text(exact)


def test_one_height_and_what_was_left_out_for_it_are_said():
    text = " ".join(_text(made.audit(altitude_ft=1650.0, left_out=("0-1,000 ft",))).split())
    assert "At 1,650 ft alone." in text and "left out, as they do not hold there: 0-1,000 ft" in text
    assert "ft alone" not in _text(made.audit())


def test_signs_that_move_a_cursor_or_turn_a_line_are_written_out():
    hostile = made.finding("weaker", 2, (1,), label="beets\x1b[2J", stated="\u202e54 min", cell="x\u0085y")
    text = _text(made.audit(file="a\x1b]0;b\x07.csv", findings=(hostile,)))
    assert text.replace("\n", "").isprintable()
    assert r"\x1b[2J" in text and r"\u202e54 min" in text


def test_lines_keep_to_eighty_columns():
    assert max(len(line) for line in _text(made.audit()).splitlines()) <= 80


def test_many_handouts_make_one_table_worst_first_with_those_that_could_not_be_read():
    text = audit_sheet.summary(
        [made.clean(file="fine.csv"), made.audit(file="bad.csv")], [("torn.csv", "no table")], stillroom.shelf()
    )
    lines = text.splitlines()
    assert lines[0].split() == ["file", *(kind[:8] for kind in WORST_FIRST), "same"]
    assert [line.split()[0] for line in lines[1:4]] == ["bad.csv", "fine.csv", "torn.csv:"]
    assert lines[1].split()[1:] == ["3", "1", "2", "1", "2", "1", "5"]
    assert "3 handouts: 1 with nothing to change, 1 not to hand out, 1 not read." in text
    assert audit_sheet.summary([made.clean(file="a\x1b.csv")], [], stillroom.shelf()).replace("\n", "").isprintable()
