"""What is left out of a question is never assumed: every answer at once, or the only one there is, named so."""

from __future__ import annotations

import itertools
import json
import pickle

import jsonschema
import pytest

import stillroom
from tests.conftest import ROOT

CANNERS = ("boiling-water", "dial", "weighted", "steam")
JARS = ("half-pint", "12-ounce", "pint", "pint-and-half", "quart", "half-gallon")
FEET = (0, 1_000, 1_001, 2_500, 5_000, 8_001)


def asked(**changed):
    question = {"food": "snap beans", "pack": "raw", "jar": "quart", "altitude": "1650 ft", "canner": "dial"}
    return {**question, **changed}


def which(**changed) -> stillroom.SayWhich:
    with pytest.raises(stillroom.SayWhich) as left:
        stillroom.find(**asked(**changed))
    return left.value


def _answers(food: str, **said: str | None) -> tuple[stillroom.Answer, ...]:
    """Answers to a question, one or several; none where it is refused."""
    try:
        return (stillroom.find(food, **said),)
    except stillroom.SayWhich as left:
        return left.answers
    except stillroom.NoTestedSchedule:
        return ()


def _bare(answer: stillroom.Answer) -> stillroom.Answer:
    return answer._replace(understood=())


@pytest.mark.parametrize("feet", FEET)
def test_what_is_answered_for_a_pack_left_out_is_what_is_answered_for_every_pack_that_is_said(feet: int) -> None:
    forms = {form.food: [] for form in stillroom.shelf().package.forms}
    for form in stillroom.shelf().package.forms:
        forms[form.food].append(form.form)
    seen = 0
    for food in stillroom.foods():
        for form, jar, canner in itertools.product(forms.get(food.id, [None]), JARS, CANNERS):
            said = {"form": form, "jar": jar, "altitude": f"{feet} ft", "canner": canner}
            open_ = _answers(food.id, **said)
            packs = {row.pack for row in stillroom.shelf().chart_of(food.id)} - {""}
            told = [answer for pack in sorted(packs) for answer in _answers(food.id, pack=pack, **said)]
            told = told or list(_answers(food.id, **said))
            assert sorted(map(_bare, open_), key=repr) == sorted(map(_bare, told), key=repr), (food.id, said)
            seen += len(told)
    assert seen > 400


@pytest.mark.parametrize("feet", [0, 5_000])
def test_what_is_answered_for_a_canner_left_out_is_what_is_answered_for_each_canner(feet: int) -> None:
    for food in stillroom.foods():
        for jar in JARS:
            said = {"jar": jar, "altitude": f"{feet} ft"}
            open_ = [_bare(answer) for answer in _answers(food.id, **said)]
            told = [_bare(answer) for canner in CANNERS for answer in _answers(food.id, canner=canner, **said)]
            assert sorted(open_, key=repr) == sorted(told, key=repr), (food.id, said)


def test_packs_with_the_same_time_are_both_answered():
    """Page 4-9: hot and raw share their times."""
    left = which(pack=None)
    assert (left.what, left.choices) == ("pack", ("hot pack", "raw pack"))
    assert [(a.pack, a.options[0].minutes, a.options[0].pressure_psi) for a in left.answers] == [
        ("hot", 25, 11), ("raw", 25, 11),
    ]  # fmt: skip
    assert not isinstance(left, stillroom.NoTestedSchedule)
    assert isinstance(left, LookupError)


def test_packs_with_times_of_their_own_are_told_apart():
    """Page 2-19, peaches in quarts at 3,001 to 6,000 ft: 35 minutes hot, 40 raw."""
    left = which(food="peaches", pack=None, altitude="5000 ft", canner="boiling-water")
    assert [(a.pack, a.options[0].minutes) for a in left.answers] == [("hot", 35), ("raw", 40)]


def test_the_only_tested_pack_is_answered_and_named():
    """Page 4-6: beets have a hot pack alone."""
    answer = stillroom.find("beets", jar="pint", altitude="0 ft", canner="dial")
    assert answer.pack == "hot"
    assert [(u.what, u.how, u.means) for u in answer.understood] == [("pack", "only", "hot pack")]
    assert "Hot pack: the only pack that is tested here." in str(answer)
    said = stillroom.find("beets", pack="hot", jar="pint", altitude="0 ft", canner="dial")
    assert (said.understood, said.options) == ((), answer.options)


def test_a_form_left_out_is_asked_for_even_before_the_pack():
    """Page 5-5: chicken with bones takes 65 minutes in pints, without bones 75."""
    left = which(food="chicken", jar="pint")
    assert left.what == "form"
    assert {(a.form, a.options[0].minutes) for a in left.answers} == {("with-bones", 65), ("without-bones", 75)}
    both = which(food="chicken", jar="pint", pack=None)
    assert (both.what, len(both.answers)) == ("form", 4)


def test_a_canner_left_out_shows_each_that_is_tested():
    left = which(canner=None)
    assert (left.what, [a.canner for a in left.answers]) == ("canner", ["dial", "weighted"])


def test_a_jar_left_out_shows_each_that_is_tested():
    """Page 4-9: pints and quarts; page 1-23: half-pints as pints, pints-and-a-half as quarts."""
    left = which(jar=None)
    assert (left.what, {(a.jar, a.options[0].minutes) for a in left.answers}) == (
        "jar", {("half-pint", 20), ("pint", 20), ("pint-and-half", 25), ("quart", 25)},
    )  # fmt: skip


def test_low_acid_food_in_boiling_water_is_refused_whatever_else_is_left_out():
    with pytest.raises(stillroom.NoTestedSchedule) as refused:
        stillroom.find("corn relish", jar="quart", altitude="0 ft", canner="dial")
    assert refused.value.code == "canner-not-tested"
    with pytest.raises(stillroom.NoTestedSchedule) as refused:
        stillroom.find("snap beans", jar="quart", altitude="0 ft", canner="boiling-water")
    assert (refused.value.code, refused.value.source.page) == ("method-unsafe", "1-8")


def test_a_jar_that_no_pack_is_tested_in_is_refused_with_what_is():
    with pytest.raises(stillroom.NoTestedSchedule) as refused:
        stillroom.find("snap beans", jar="half-gallon", altitude="0 ft", canner="dial")
    assert refused.value.code == "jar-not-tested"
    assert "pints and quarts" in refused.value.reason
    near = refused.value.tested[0]
    assert (near.jar, near.minutes, near.pressure_psi) == ("quart", 25, 11)
    assert any(said.startswith("pack: ") for said in near.differs)


def test_what_must_not_be_canned_is_refused_without_asking_for_jar_and_altitude():
    with pytest.raises(stillroom.NoTestedSchedule) as refused:
        stillroom.find("pumpkin puree")
    assert refused.value.code == "withheld"
    with pytest.raises(stillroom.BadInput, match="say the altitude"):
        stillroom.find("pumpkin")


def test_what_comes_nearest_shows_its_minutes_where_it_is_tested_at_this_altitude():
    """Page 4-9: no dial row above 8,000 ft, so a row that differs in altitude has no minutes there."""
    with pytest.raises(stillroom.NoTestedSchedule) as refused:
        stillroom.find("snap beans", pack="raw", jar="quart", altitude="8001 ft", canner="dial")
    for near in refused.value.tested:
        beyond = any(said.startswith("altitude") for said in near.differs)
        assert (near.minutes is None) == beyond
        assert bool(near.processes) != beyond


def test_every_answer_of_a_question_left_open_is_valid_against_the_schema():
    validator = jsonschema.Draft202012Validator(json.loads((ROOT / "schema" / "answer.json").read_text()))
    for left in (which(pack=None), which(food="chicken"), which(canner=None)):
        document = left.to_dict()
        validator.validate(json.loads(json.dumps(document)))
        assert document["kind"] == "say-which"
        assert len(document["answers"]) == len(left.answers)
    with pytest.raises(jsonschema.ValidationError):
        validator.validate({**document, "answers": [{}]})


def test_it_survives_being_sent_to_another_process():
    left = which(pack=None)
    again = pickle.loads(pickle.dumps(left))
    assert (again.what, again.reason, again.answers, again.choices, str(again)) == (
        left.what, left.reason, left.answers, left.choices, str(left),
    )  # fmt: skip
    assert "\n" not in str(left)
