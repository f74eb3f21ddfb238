"""The list of what must not be canned: every entry is in it, and its words find it."""

from __future__ import annotations

import json

import jsonschema
import pytest

import stillroom
from stillroom.commands.main import main
from tests.conftest import ROOT, table


def test_without_words_every_title_is_listed_once(capsys):
    assert main(["withheld"]) == 0
    lines = " ".join(capsys.readouterr().out.split())
    entries = table("schedules/withheld.csv")
    assert len(stillroom.withheld()) == len(entries) >= 75
    for entry in entries:
        assert entry["title"] in lines


def test_each_entry_is_found_by_each_of_its_names_with_its_reason_and_page():
    names = {row["alias"]: row["withheld"] for row in table("schedules/withheld-names.csv")}
    for name, which in names.items():
        assert which in [entry.id for entry in stillroom.withheld(name)], name


def test_words_show_reason_what_to_do_instead_and_source(capsys):
    assert main(["withheld", "oven"]) == 0
    out = " ".join(capsys.readouterr().out.split())
    entry = next(entry for entry in stillroom.withheld("oven") if entry.id == "oven-canning")
    assert entry.reason.removesuffix(".") in out
    assert f"page {entry.page}" in out


def test_words_that_nothing_has_do_not_make_it_safe(capsys):
    assert main(["withheld", "xyzzy"]) == 0
    assert "does not make it safe" in " ".join(capsys.readouterr().out.split())
    with pytest.raises(stillroom.BadInput):
        stillroom.withheld("!!")


def test_json_follows_its_schema(capsys):
    main(["withheld", "garlic", "--json"])
    document = json.loads(capsys.readouterr().out)
    jsonschema.Draft202012Validator(json.loads((ROOT / "schema" / "answer.json").read_text())).validate(document)
    assert "garlic-in-oil" in [entry["id"] for entry in document["withheld"]]


@pytest.mark.parametrize("words", ["garlic cloves in extra olive oil", "my grandmothers pumpkin butter", "pesto sauce"])
def test_what_find_refuses_with_more_words_around_a_name_is_listed_too(words):
    with pytest.raises(stillroom.NoTestedSchedule) as refused:
        stillroom.find(words)
    listed = stillroom.withheld(words)
    assert refused.value.code in {entry.code for entry in listed}
    assert any(refused.value.reason.startswith(entry.title) for entry in listed)


@pytest.mark.parametrize("words", ["snap beans", "ripe tomatoes", "xyzzy", "crushed tomatoes in extra jars"])
def test_a_near_miss_what_find_does_not_refuse_so_is_not_listed(words):
    assert stillroom.withheld(words) == ()
