"""Batch records: what is read, and what is refused in one line with file and key."""

from __future__ import annotations

from fractions import Fraction

import pytest

import stillroom
from stillroom.answers.answer import NoTestedSchedule, UnknownFood
from stillroom.answers.pressure import in_psi
from stillroom.errors import BadInput
from stillroom.package import schemas
from stillroom.run import batch

GOOD = "food: snap-beans\npack: raw\njar: pint\naltitude: 1650 ft\ncanner: dial\nrun: run.csv\n"
LOG = "minute,gauge_psi\n0,11\n"


@pytest.fixture
def read(tmp_path):
    def of(text):
        (tmp_path / "batch.yaml").write_bytes(text if isinstance(text, bytes) else text.encode())
        return batch.read(str(tmp_path / "batch.yaml"))

    return of


@pytest.mark.parametrize(
    ("written", "psi"),
    [
        ("0.5 psi", Fraction(1, 2)),
        ("-0.5 psi", Fraction(-1, 2)),
        ("\u22120.5 PSI", Fraction(-1, 2)),
        ("+1psi", Fraction(1)),
        (".25 psi", Fraction(1, 4)),
        ("0.1 psi", Fraction(1, 10)),
    ],
)
def test_pressures_are_read_exactly(written, psi):
    assert in_psi(written) == psi


def test_kilopascals_are_converted_by_the_exact_definition():
    assert float(in_psi("6.894757293168 kPa")) == pytest.approx(1, abs=1e-12)  # NIST SP 811, appendix B.8


@pytest.mark.parametrize(
    "written", [0.5, 3, "0.5", "0.5 bar", "half a psi", "", "psi", "1e3 psi", "nan psi", "٣ psi", True]
)
def test_a_pressure_that_cannot_be_understood_is_refused_in_one_line(written):
    with pytest.raises(BadInput) as error:
        in_psi(written)
    assert "\n" not in str(error.value) and "psi" in str(error.value)


def test_a_record_is_read(read):
    found = read(
        GOOD + "jars: 18\ngauge: {reads_high_by: 0.5 psi, tested: 2026-06-01}\nmax_gap: 5 min\ndate: 2026-08-15\n"
    )
    assert (found.jars, found.reads_high_by_psi, str(found.tested), found.max_gap_us) == (
        18,
        0.5,
        "2026-06-01",
        300_000_000,
    )


def test_yaml_surprises_stay_text(read):
    assert read(GOOD.replace("snap-beans", "no")).food == "no"  # in YAML 1.1 that is false
    assert read(GOOD.replace("run.csv", "0o14")).run.endswith("0o14")


REFUSED = {
    "": "is no batch record",
    "just words": "is no batch record",
    "- food": "is no batch record",
    GOOD + "food: peas\n": 'batch.yaml:7: key "food" stands twice',
    GOOD + "gauge: {tested: 2026-06-01, tested: 2026-07-01}\n": 'key "tested" stands twice',
    GOOD + "color: red\n": 'batch.yaml:7: key "color" is unknown',
    GOOD + "gauge: {reads_low_by: 1 psi}\n": 'batch.yaml:7: key "reads_low_by" is unknown',
    GOOD.replace("food: snap-beans\n", ""): '"food" is missing',
    GOOD.replace("run: run.csv\n", ""): '"run" is missing',
    GOOD.replace("1650 ft", "1650"): 'altitude 1650 has no unit: write "1650 ft"',
    GOOD.replace("1650 ft", "1650 yards"): "other than feet, meters",
    GOOD + "jars: many\n": 'batch.yaml:7: jars "many" does not fit',
    GOOD + "jars: 0\n": "jars 0 does not fit",
    GOOD + "jars: 12:30\n": 'jars "12:30" does not fit',
    GOOD + "jars: true\n": "jars true does not fit",
    GOOD + "gauge: {reads_high_by: 0.5}\n": "gauge.reads_high_by 0.5 has no unit",
    GOOD + "gauge: {reads_high_by: 1 bar}\n": "neither in psi nor in kPa",
    GOOD + "gauge: {tested: last June}\n": 'gauge.tested "last June" does not fit',
    GOOD + "gauge: {tested: 2026-02-30}\n": "does not fit",
    GOOD + "gauge: 0.5 psi\n": "gauge",
    GOOD + "option: 20\n": "option 20 does not fit",
    GOOD + "option: {minutes: 20.5}\n": "does not fit",
    GOOD + "max_gap: 10\n": "not a time with a unit",
    GOOD + "max_gap: 2 hours\n": "not a time with a unit",
    GOOD + "max_gap: 31 min\n": "not within 10 minutes",
    GOOD + "max_gap: 0 min\n": "not within 10 minutes",
    GOOD + "jars: 7\nseals: {sealed: 7, failed: 1}\n": "seals tell of 8 jars where the load had 7",
    GOOD + "seals: {sealed: -1}\n": "does not fit",
    GOOD + "note: &a [x]\n": "anchors and aliases",
    GOOD + "note: *a\n": "anchors and aliases",
    GOOD + "note: !!python/object/apply:os.system [x]\n": "tags are not read",
    GOOD + "---\nfood: peas\n": "batch.yaml",
    GOOD + "note: [\n": "check the spelling of the YAML",
    GOOD + "note: " + "[" * 2000 + "]" * 2000: "nested deeper",
    GOOD + "? [a]\n: b\n": "a key must be plain text",
    GOOD + "note: " + "x" * 3000: "note",
    GOOD + "#" * 70_000: "larger than 64 KiB",
    GOOD + "note: \tx\x00\n": "batch.yaml",
}


@pytest.mark.parametrize("text", REFUSED, ids=range(len(REFUSED)))
def test_a_record_that_cannot_be_understood_is_refused_in_one_clear_line(read, text):
    with pytest.raises(BadInput) as error:
        read(text)
    line = str(error.value)
    assert REFUSED[text] in line
    assert line.startswith("batch.yaml") and "\n" not in line and len(line) < 260


def test_bytes_that_are_no_text_are_refused(read):
    with pytest.raises(BadInput, match="not UTF-8"):
        read(b"food: \xff\n")


def test_a_missing_record_and_a_folder_are_refused(tmp_path):
    with pytest.raises(BadInput, match="there is no such batch record"):
        batch.read(str(tmp_path / "none.yaml"))
    with pytest.raises(BadInput, match="is not a file"):
        batch.read(str(tmp_path))


def test_every_key_of_the_schema_says_what_to_write():
    def described(rules):
        for name, rule in rules["properties"].items():
            assert rule["description"], name
            if "properties" in rule:
                described(rule)

    for name in ("batch", "season-entry"):
        described(schemas.schema(name))


# against the schedules


def test_an_unknown_food_and_an_untested_jar_are_refusals_not_bad_input(write):
    with pytest.raises(UnknownFood):
        stillroom.judge(str(write(LOG, food="moon beans")))
    with pytest.raises(NoTestedSchedule) as error:
        stillroom.judge(str(write(LOG, jar="half-gallon")))
    assert error.value.code == "jar-not-tested"


def test_several_equal_options_are_named_and_a_wrong_one_is_refused(write):
    tomatoes = {"food": "tomatoes-crushed", "pack": "hot"}
    with pytest.raises(BadInput, match=r"20 minutes at 6 psi or 15 minutes at 11 psi.*option: \{minutes: 20\}"):
        stillroom.judge(str(write(LOG, **tomatoes)))
    with pytest.raises(BadInput, match=r"option\.minutes 25 is no process.*20 minutes at 6 psi"):
        stillroom.judge(str(write(LOG, **tomatoes, option={"minutes": 25})))
    with pytest.raises(BadInput, match=r"option\.minutes 25 is no process.*it is 20 minutes at 11 psi"):
        stillroom.judge(str(write(LOG, option={"minutes": 25})))


def test_a_boiling_water_batch_has_no_pressure_to_judge(write):
    with pytest.raises(BadInput, match=r"no pressure to judge; count \d+ minutes .*1-18"):
        stillroom.judge(str(write(LOG, food="peaches", pack="hot", canner="boiling-water")))


def test_the_log_of_another_day_is_refused_and_one_across_midnight_is_not(write):
    log = "time,gauge_psi\n2026-08-16T00:10,11\n"
    assert stillroom.judge(str(write(log, date="2026-08-15"))).verdict == "unproven"
    with pytest.raises(BadInput, match="is it this batch's log"):
        stillroom.judge(str(write(log, date="2026-08-22")))
