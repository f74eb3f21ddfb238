"""Answers as they show themselves: printed, as plain values, in a notebook; and their acid as data."""

from __future__ import annotations

import html.parser
import itertools
import json

import jsonschema
import pytest

import stillroom
from stillroom.answers import wording
from tests.conftest import ROOT, table

BEANS = {"pack": "raw", "jar": "quart", "altitude": "1650 ft", "canner": "dial"}


def beans() -> stillroom.Answer:
    return stillroom.find("snap beans", **BEANS)


def test_an_answer_prints_as_the_command_does(capsys: pytest.CaptureFixture[str]) -> None:
    from stillroom.commands.main import main

    main(["find", "snap beans", "--pack=raw", "--jar=quart", "--altitude=1650 ft", "--canner=dial"])
    assert str(beans()) == capsys.readouterr().out


def test_an_answer_and_a_refusal_lay_themselves_out_as_the_command_does(capsys: pytest.CaptureFixture[str]) -> None:
    from stillroom.commands.main import main

    validator = jsonschema.Draft202012Validator(json.loads((ROOT / "schema" / "answer.json").read_text()))
    main(["find", "snap beans", "--pack=raw", "--jar=quart", "--altitude=1650 ft", "--canner=dial", "--json"])
    assert beans().to_dict() == json.loads(capsys.readouterr().out)
    validator.validate(beans().to_dict())
    with pytest.raises(stillroom.NoTestedSchedule) as refused:
        stillroom.find("snap beans", **{**BEANS, "canner": "boiling-water"})
    main(["find", "snap beans", "--pack=raw", "--jar=quart", "--altitude=1650 ft", "--canner=boiling-water", "--json"])
    assert refused.value.to_dict() == json.loads(capsys.readouterr().out)
    validator.validate(refused.value.to_dict())


class _Tags(html.parser.HTMLParser):
    def __init__(self) -> None:
        super().__init__()
        self.open: list[str] = []
        self.text: list[str] = []

    def handle_starttag(self, tag: str, attrs: object) -> None:
        self.open.append(tag)

    def handle_endtag(self, tag: str) -> None:
        assert self.open.pop() == tag

    def handle_data(self, data: str) -> None:
        self.text.append(data)


def test_a_notebook_shows_every_option_with_its_conditions_and_the_caution() -> None:
    answer = stillroom.find("tomato juice", pack="hot", jar="pint", altitude="1000 ft", canner="weighted")
    tags = _Tags()
    tags.feed(answer._repr_html_())
    assert tags.open == []
    said = " ".join(tags.text)
    for option in answer.options:
        assert str(option.minutes) in tags.text
        assert str(option.pressure_psi) in tags.text
        for stated in (*option.requires, *option.cautions):
            assert str(stated) in said
    assert answer.options[0].source.cite() in said


def test_a_name_that_holds_markup_reaches_no_notebook_as_markup() -> None:
    answer = beans()._replace(title="<b>beans</b> & co")
    assert "<b>" not in answer._repr_html_()
    assert "&lt;b&gt;" in answer._repr_html_()


def test_suggestions_stand_in_the_message_of_the_exception() -> None:
    with pytest.raises(stillroom.UnknownFood, match="Snap and Italian beans"):
        stillroom.find("green beens", **BEANS)


@pytest.mark.parametrize(
    ("food", "jar", "acid"),
    [
        # page 3-5: lemon juice, citric acid or vinegar; half as much in a pint, where no vinegar is named
        (
            "tomatoes-crushed",
            "quart",
            [
                ("bottled lemon juice", 2, "tablespoon"),
                ("citric acid", 0.5, "teaspoon"),
                ("vinegar (5%)", 4, "tablespoon"),
            ],
        ),
        ("tomatoes-crushed", "pint", [("bottled lemon juice", 1, "tablespoon"), ("citric acid", 0.25, "teaspoon")]),
        # page 2-14: figs likewise
        ("figs", "quart", [("bottled lemon juice", 2, "tablespoon"), ("citric acid", 0.5, "teaspoon")]),
    ],
)
def test_acid_is_data_with_its_alternatives(food: str, jar: str, acid: list[tuple[str, float, str]]) -> None:
    answer = stillroom.find(food, pack="hot", jar=jar, altitude="0 ft", canner="boiling-water")
    (needed,) = answer.options[0].acid
    assert (needed.per, needed.jar, needed.use) == ("jar", jar, "jar")
    assert [(each.acid, each.quantity, each.unit) for each in (needed, *needed.alternatives)] == acid


def test_acid_is_none_where_none_is_needed() -> None:
    assert beans().options[0].acid == ()


def test_acid_as_data_and_acid_in_words_say_the_same_in_every_answer() -> None:
    jars = [row["id"] for row in table("shared/jars.csv")]
    seen = 0
    for food, jar, canner in itertools.product(stillroom.foods(), jars, ("boiling-water", "dial")):
        try:
            found = (stillroom.find(food.id, jar=jar, altitude="0 ft", canner=canner),)
        except stillroom.SayWhich as left:
            found = left.answers
        except stillroom.NoTestedSchedule:
            continue
        for option in (option for answer in found for option in answer.options):
            sentences = [stated for stated in option.requires if stated.id == "acid"]
            assert len(sentences) == len(option.acid)
            for stated, needed in zip(sentences, option.acid, strict=True):
                seen += 1
                assert stated.page == needed.page
                for each in (needed, *needed.alternatives):
                    assert f"{wording.units(each.quantity, each.unit)} of {each.acid}" in stated.text
    assert seen > 150
