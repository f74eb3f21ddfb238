"""The page audits a pasted table like the library: reading, counts, findings and every cell.

By hand everything is compared (``STILLROOM_THOROUGH=1``); on every change a part that is drawn anew each time.
"""

from __future__ import annotations

import gzip
import json
import random
import unicodedata
from html import unescape
from html.entities import html5

import jsonschema
import pytest

import stillroom
from stillroom.foreign import forms
from stillroom.sheets import audit_sheet
from stillroom.site import audit_data, data
from tests.audit import layouts, odd
from tests.audit.corpus import FOLDER, handouts
from tests.audit.handout import Handout, text_of
from tests.audit.slips import slips
from tests.conftest import ROOT
from tests.site import audit_page
from tests.site.audit_page import Pasted
from tests.site.page import Page
from tests.trials import THOROUGH

WRITTEN = ("csv", "tsv", "semicolon", "md", "txt", "html")
SAID = (
    {"at": "1650 ft"}, {"at": "503 m"}, {"at": "9000 ft", "canner": "weighted"}, {"canner": "pressure canner"},
    {"canner": "water bath", "jar": "quart", "pack": "hot"}, {"jar": "pints or quarts"}, {"canner": "steam canner"},
    {"canner": "oven"}, {"jar": "1 liter"}, {"jar": "bucket"}, {"at": "high"}, {"at": "sea level", "pack": "raw"},
)  # fmt: skip
BITS = (
    "\u00bd", "\u00b9", "*", "[1]", "(a)", "~~", "**", "<br>", "<sup>1</sup>", "&nbsp;", "&frac12;", "&#8211;",
    "\u2013", "1 hr 15", "75 min or 60 min", "at 11 psi", "(76 kPa)", "3S", "??", "none", "not recommended", "N/A",
    "-", "half-pint", "qt", "500 ml", "hot", "raw pack", "dial", "weighted", "steam", "open kettle", "Pumpkin butter",
    "Zorbleberries", "Broccoli", "305 m", "above 1,000 m", "1001-3000", "sea level", "up to 2,000'", " ", "  ", "\t",
    ",", ";", "|", "\n", "\n\n", "0", "5", "<td>", "</tr>", "</table>", "<table>", "<th colspan=2>", "<td rowspan=3>",
    "<del>", "<!--", "<script>", '"', "\u200b", "\u202e", "\ufeff", "\u00a0", "\u00e9", "\u0662\u0660", "\uff12\uff10",
    "\u00df", "\u0130", "1/4 tsp citric acid", "1 T", "2 cm", "with bones", "Tomatoes (crushed)", "Minutes", "psi",
    "15 lb weight", "10#", "Time (hours)", "\\|", "`x`", "_a_", "+--+--+", "---", "===", "\u2502", "#", "> ",
)  # fmt: skip
"""What a person, a program or a slip may put anywhere into a table."""


@pytest.fixture(scope="module")
def chance() -> random.Random:
    return random.Random()


@pytest.fixture(scope="module")
def auditing(data_script: str, tmp_path_factory: pytest.TempPathFactory, page: Page) -> Page:
    return audit_page.page(tmp_path_factory.mktemp("audits"), data_script)


def _text(handout: Handout, form: str = "") -> str:
    named = form or (handout.form if handout.form not in ("openpyxl", "xlsxwriter") else "csv")
    written = Handout(handout.name, named, handout.parts, handout.asked, handout.stronger)
    return _decoded(text_of(written)[0])


def _decoded(content: bytes) -> str:
    try:
        return content.decode("utf-8-sig")
    except UnicodeDecodeError:
        return content.decode("cp1252")


def _mutated(text: str, chance: random.Random) -> str:
    """A table with bits put in, lines twice or gone, and figures changed."""
    for _ in range(chance.choice((1, 2, 4, 8, 16))):
        at, kind = chance.randrange(len(text) + 1), chance.random()
        lines = text.split("\n")
        if kind < 0.6:
            text = text[:at] + chance.choice(BITS) + text[at + chance.choice((0, 0, 1, 2, 5)) :]
        elif kind < 0.75:
            lines.insert(chance.randrange(len(lines)), chance.choice(lines))
            text = "\n".join(lines)
        elif kind < 0.85 and len(lines) > 2:
            lines.pop(chance.randrange(len(lines)))
            text = "\n".join(lines)
        else:
            digits = [place for place, sign in enumerate(text) if sign.isdigit()] or [0]
            place = chance.choice(digits)
            text = text[:place] + chance.choice("0123456789") + text[place + 1 :]
    return text


def test_every_handout_is_audited_the_same(auditing: Page) -> None:
    tables = [Pasted(_decoded(path.read_bytes()), {}, path.name) for path in sorted(FOLDER.iterdir())]
    assert len(tables) > 45
    assert audit_page.differing(auditing, tables) == []


def test_every_food_every_slip_every_form_and_what_is_said_beside_are_audited_the_same(
    auditing: Page, chance: random.Random
) -> None:
    foods = [(*one, layout) for one in layouts.foods() for layout in layouts.LAYOUTS]
    laid = [laid for one in foods if (laid := layouts.laid_out(*one)) is not None]
    written = [(one, form) for one in handouts() for form in WRITTEN]
    beside = [(one, said) for one in handouts() for said in SAID]
    if not THOROUGH:
        laid, written, beside = (chance.sample(all_of_them, 20) for all_of_them in (laid, written, beside))
    tables = [
        *(Pasted(_text(one), {}, one.name) for one in laid),
        *(Pasted(_text(one.handout), {}, one.kind) for one in slips(chance, 8 if THOROUGH else 1)),
        *(Pasted(_text(one, form), {}, f"{one.name} as {form}") for one, form in written),
        *(Pasted(_text(one), said, f"{one.name} {said}") for one, said in beside),
    ]
    assert audit_page.differing(auditing, tables) == []


def test_what_is_hardly_a_table_is_refused_or_read_the_same(auditing: Page, chance: random.Random) -> None:
    """Odd files as text, and tables with anything in them."""
    found = [(name, content.decode(encoding, "replace")) for name, content in odd.ODD.items()
             for encoding in (("utf-8", "cp1252", "utf-16") if THOROUGH else ("utf-8",))]  # fmt: skip
    tables = [Pasted(text, {}, name) for name, text in found]
    for number in range(4_000 if THOROUGH else 60):
        text = _text(chance.choice(handouts()), chance.choice(WRITTEN))
        tables.append(Pasted(_mutated(text, chance), chance.choice(({}, *SAID)), f"mutated {number}"))
    assert audit_page.differing(auditing, tables) == []


def test_a_page_with_another_word_or_figure_would_be_seen(
    auditing: Page, data_script: str, tmp_path_factory: pytest.TempPathFactory
) -> None:
    """Near miss: the same scripts with data whose words for minutes mean acid."""
    script = audit_data.script(stillroom.shelf()).replace('"minutes"]', '"acid"]')
    other = audit_page.page(tmp_path_factory.mktemp("other"), data_script, script)
    table = Pasted((FOLDER / "dunleigh-tidy.csv").read_text(encoding="utf-8"))
    assert audit_page.differing(other, [table]) and not audit_page.differing(auditing, [table])


def test_an_audit_of_the_page_has_the_shape_of_the_schema_but_for_what_it_says_it_lacks(auditing: Page) -> None:
    schema = json.loads((ROOT / "schema/audit.json").read_text(encoding="utf-8"))
    said = auditing.said([{"audit": (FOLDER / "rushton-acid.csv").read_text(encoding="utf-8")}])[0]
    assert sum(said["counts"].values()) == len(said.pop("cells"))
    lacks = said.pop("without")
    assert lacks == ["sha256", "history"] and "sha256" not in said
    jsonschema.validate({**said, "sha256": "0" * 64}, schema)
    with pytest.raises(jsonschema.ValidationError):
        jsonschema.validate(said, schema)


def test_a_raised_sign_is_one_for_the_page_too(auditing: Page) -> None:
    """Every sign that Unicode decomposes as a raised one, and those next to them."""
    raised = {code for code in range(0x20000) if unicodedata.decomposition(chr(code)).startswith("<super>")}
    near = {
        code for one in raised for code in (one - 1, one + 1) if unicodedata.category(chr(code)) not in ("Cn", "Cs")
    }
    signs = [chr(code) for code in sorted(raised | near)]
    found = auditing.called("audit.marked", [[f"{sign} note"] for sign in signs])
    assert [ord(sign) for sign, is_mark in zip(signs, found, strict=True) if is_mark and not sign.isascii()] == sorted(
        code for code in raised | near if code in raised or chr(code) in "\u00b6\u2020\u2021\u00a7"
    )


def test_references_of_characters_mean_the_same(auditing: Page, chance: random.Random) -> None:
    """By the list of the HTML Living Standard that the standard library has."""
    names = sorted(html5) if THOROUGH else chance.sample(sorted(html5), 300)
    texts = [f"a &{name} b&{name}c" for name in names]
    texts += [
        f"&#{code};&#x{code:x}" for code in (0, 9, 11, 13, 34, 128, 129, 150, 160, 0x2013, 0xD800, 0xFFFE, 0x110000)
    ]
    assert auditing.called("audit.inline.unescaped", [[text] for text in texts]) == [unescape(text) for text in texts]


def test_what_only_the_page_of_the_audit_loads_stays_small() -> None:
    texts = (audit_data.script(stillroom.shelf()), *data.page_scripts(data.AUDIT_ORDER).values())
    assert 20_000 < sum(len(gzip.compress(text.encode())) for text in texts) < 120_000
    assert texts[0].isascii() and "<" not in texts[0]


def test_the_data_of_the_audit_are_the_same_each_time() -> None:
    assert audit_data.script(stillroom.shelf()) == audit_data.script(stillroom.shelf())


def test_an_audit_is_told_in_the_sentences_of_the_library(auditing: Page, chance: random.Random) -> None:
    """Verdict, counts and every finding; what older publications printed is left out."""
    texts = [_text(one.handout) for one in chance.sample(slips(chance, 2), 20)]
    told = auditing.said([{"audit": text, "told": True} for text in texts])
    for text, said in zip(texts, told, strict=True):
        audit = stillroom.audit(forms.read_text(text, audit_page.NAME))
        findings = [list(audit_sheet.sentences(one._replace(history=None))) for one in audit.findings]
        assert said == [audit_sheet.verdict(audit), audit_sheet.counted(audit), findings]
