"""What people read is spelled the American way, as the publication is."""

from __future__ import annotations

import re
from pathlib import Path

import pytest

from tests.conftest import ROOT

BRITISH = re.compile(
    r"""\b(
        \w*(steril|pasteur|pressur|organ|recogn|real|normal|general|minim|maxim|summar|util|character|emphas|standard|
            categor|special|crystal|caramel|homogen|neutral|vapor|acid|oxid|symbol|synchron|capital|final|local|item|
            iod|carbon|fertil|mobil|stabil|visual|optim|apolog|author|critic|memor|priorit|serial)
            is(e|es|ed|er|ers|ing|ation|ations)|
        (col|flav|fav|hon|neighb|behavi|lab|od|vap|sav|tum|hum|rum|harb|endeav|vig|rig|arm|parl|cand|ferv)our\w*|
        (centi|milli|kilo|deci)?met(re|res)|(centi|milli|deci)?lit(re|res)|cent(re|res|red)|fib(re|res)|theat(re|res)|
        cali(bre|bres)|mea(gre)|som(bre)|spect(re|res)|lust(re)|
        mould\w*|grey\w*|plough\w*|tyres?|aluminium|sulph\w+|sceptic\w*|draughts?|manoeuv\w+|yoghurts?|grammes?|
        catalogue[ds]?|cancell(ed|ing)|labell(ed|ing)|travell\w+|modell(ed|ing)|signall(ed|ing)|jewell\w+|fulfils?|
        skilful|wilful|analys(ed|es|ing)|paralys\w+|defence|offence|pretence|licen(ce|ces)|practis\w+|programmes?|
        whilst|amongst|learnt|spelt|burnt|dreamt|afterwards|towards|artefacts?|cosy|ageing|acknowledgements?|enquir\w+|
        aubergines?|courgettes?|beetroots?|chilli(es)?|foetus|oestr\w+|haem\w+|paediatr\w+|speciality|per\ cent
    )\b""",
    re.IGNORECASE | re.VERBOSE,
)
NAMES = {
    # How people write what they ask for is read as they write it.
    "schedules/aliases.csv": {"beetroot", "beetroots", "chilli"},
    "schedules/withheld-names.csv": {
        "aubergine",
        "aubergines",
        "chilli",
        "courgette",
        "courgettes",
        "flavoured",
        "yoghurt",
    },
    "schedules/names.csv": {
        *("aubergine", "aubergines", "beetroot", "beetroots", "chilli", "courgette", "courgettes", "flavoured"),
        "yoghurt",
    },
    "shared/jar-words.csv": {
        *("centilitre", "centilitres", "decilitre", "decilitres"),
        *("litre", "litres", "millilitre", "millilitres"),
    },
    "validator/stillroom/answers/altitude_words.py": {"kilometre", "kilometres", "metre", "metres"},
    "shared/head-words.csv": {"centimetre", "centimetres", "metre", "metres"},
    "validator/stillroom/foreign/spans.py": {"metres"},
    # The name of a column is part of the interface.
    "shared/sources.csv": {"licence"},
    "schema/sources.json": {"licence"},
    "validator/stillroom/package/records.py": {"licence"},
    "validator/stillroom/site/sources_page.py": {"licence"},
}
"""Words that stay, by file; one that is needed no more is a failure."""
READ = (
    "README.md",
    "DEVELOPERS.md",
    "datapackage.json",
    "pyproject.toml",
    "schedules",
    "schema",
    "shared",
    "validator",
)
KINDS = (".py", ".csv", ".yaml", ".json", ".md", ".toml", ".html", ".css", ".txt")


def texts() -> list[Path]:
    files = [path for name in READ for path in ([ROOT / name] if (ROOT / name).is_file() else (ROOT / name).rglob("*"))]
    return sorted(path for path in files if path.suffix in KINDS and "demo" not in path.parts)


def british(text: str) -> set[str]:
    return {found[0].casefold() for found in BRITISH.finditer(text.replace("_", " "))}


def test_no_word_is_spelled_the_british_way() -> None:
    found = {path.relative_to(ROOT).as_posix(): british(path.read_text(encoding="utf-8")) for path in texts()}
    assert len(found) > 250
    assert {file: words for file, words in found.items() if words} == NAMES


@pytest.mark.parametrize(
    "text",
    [
        "Jars are sterilised.",
        "sterilise-jars",
        "pasteurisation-allowed",
        "Depressurising time",
        "the colour",
        "a litre",
        "502 metres",
        "mould on it",
        "grey",
        "flavoured",
        "in the centre",
        "a_colour",
        "licence",
        "afterwards",
        "labelled",
    ],
)
def test_a_british_word_is_found(text: str) -> None:
    assert british(text)


@pytest.mark.parametrize(
    "text",
    [
        "Jars are sterilized.",
        "the color",
        "a liter",
        "parameters",
        "mold",
        "gray",
        "four hours, flour, sour, pour, your",
        "raise",
        "otherwise",
        "the press of a revised list",
        "mayonnaise",
        "surprises",
        "advise",
        "filling",
        "distilled",
        "thermometer",
        "programs",
        "a precise figure",
        "judgement",
        "gauge",
        "hot packs",
        "practice",
        "noise",
        "the acids",
    ],
)
def test_a_near_miss_is_left_alone(text: str) -> None:
    assert british(text) == set()
