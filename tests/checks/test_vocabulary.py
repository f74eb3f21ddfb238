from __future__ import annotations

import pytest

from stillroom.findings.jar_volume import volume


def test_the_published_words_pass(published):
    assert published.found("vocabulary") == ()


@pytest.mark.parametrize(
    ("jar", "ounces"),
    [
        ("half-pint", 8),
        ("12-ounce", 12),
        ("pint", 16),
        ("pint-and-half", 24),
        ("quart", 32),
        ("half-gallon", 64),
        ("jug", None),
    ],
)
def test_volumes_follow_from_names(jar, ounces):
    """NIST Handbook 44, appendix C: 1 gallon is 4 quarts, 8 pints, 128 fluid ounces."""
    assert volume(jar) == ounces


@pytest.mark.parametrize(
    ("file", "row", "column", "value"),
    [
        ("shared/jars.csv", {"id": "pint"}, "volume_fl_oz", "24"),
        ("shared/jars.csv", {"id": "pint"}, "title", "half-pint jar"),
        ("shared/jars.csv", {"id": "quart"}, "plural", "pints"),
        ("shared/packs.csv", {"id": "raw"}, "title", "hot pack"),
        ("shared/gauges.csv", {"id": "dial"}, "title", "weighted gauge"),
        ("shared/canners.csv", {"id": "dial"}, "gauge", "weighted"),
        ("shared/canners.csv", {"id": "dial"}, "method", "boiling-water"),
        ("schedules/forms.csv", {"form": "with-bones"}, "title", "without bones"),
        ("shared/jar-rules.csv", {"jar": "half-pint"}, "takes", "quart"),
        ("shared/jar-rules.csv", {"jar": "half-pint"}, "food", "fish"),
        ("shared/jar-rules.csv", {"jar": "pint-and-half"}, "takes", "pint"),
        ("shared/jar-words.csv", {"word": "pt"}, "amount", "32"),
        ("shared/jar-words.csv", {"word": "imperial pint"}, "amount", "473"),
        ("shared/jar-words.csv", {"word": "liter"}, "amount", "946"),
        ("shared/jar-words.csv", {"word": "mason"}, "amount", "16"),
        ("shared/jar-words.csv", {"word": "mason"}, "jar", "pint"),
        ("shared/jar-words.csv", {"word": "bottle"}, "withheld", "wax-seals"),
        ("shared/canner-words.csv", {"word": "oven"}, "canner", "dial"),
        ("shared/canner-words.csv", {"word": "stove top"}, "canner", "dial"),
        ("shared/canner-words.csv", {"word": "water bath"}, "word", "Water-Bath"),
        ("shared/canner-words.csv", {"word": "water bath"}, "word", "dial"),
        ("shared/canner-words.csv", {"word": "water bath"}, "word", "oven"),
        ("shared/pack-words.csv", {"word": "cold pack"}, "word", "hot pack"),
        ("schedules/form-words.csv", {"word": "boneless"}, "form", "with-seafood"),
        ("schedules/form-words.csv", {"word": "boneless"}, "word", "with bones"),
    ],
)
def test_a_word_that_belies_its_id_is_found(package, file, row, column, value):
    line = package.line(file, **row)
    package.edit(file, line, **{column: value})
    assert (file, line, column) in package.places("vocabulary")


def test_a_near_miss_another_title_with_the_words_of_the_id_is_no_finding(package):
    package.edit("shared/packs.csv", package.line("shared/packs.csv", id="raw"), title="pack of raw food")
    package.edit("shared/canners.csv", package.line("shared/canners.csv", id="dial"), title="pressure canner with dial")
    assert package.found("vocabulary") == ()


@pytest.mark.parametrize(
    ("file", "word", "change", "column"),
    [
        ("shared/jar-words.csv", "mason", {"kind": "number"}, "amount"),
        ("shared/jar-words.csv", "quarts", {"word": "pint"}, "amount"),
        ("shared/canner-words.csv", "water bath", {"withheld": "oven-canning"}, "canner"),
        ("shared/canner-words.csv", "stove top", {"kind": "word"}, "canner"),
    ],
)
def test_a_word_that_leads_to_two_things_or_to_none_is_found(package, file, word, change, column):
    line = package.line(file, word=word)
    package.edit(file, line, **change)
    assert (file, line, column) in package.places("vocabulary")


def test_a_near_miss_one_more_word_of_people_is_no_finding(package):
    line = package.line("shared/canner-words.csv", word="water bath")
    package.edit("shared/canner-words.csv", line, word="bath of boiling water")
    line = package.line("shared/jar-words.csv", word="mason")
    package.edit("shared/jar-words.csv", line, word="sturdy")
    assert package.found("vocabulary") == ()


@pytest.mark.parametrize("word", ["pickled", "juice", "sweet", "sauce", "butter"])
def test_a_word_that_tells_foods_apart_is_not_left_out_of_names(package, word):
    package.add("shared/filler-words.csv", word=word)
    assert [f.value for f in package.found("vocabulary") if f.file == "shared/filler-words.csv"] == [word]


def test_a_near_word_that_tells_nothing_may_be_left_out(package):
    package.add("shared/filler-words.csv", word="grandmothers")
    assert package.found("vocabulary") == ()
