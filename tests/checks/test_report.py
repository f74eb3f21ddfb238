"""The report in its four forms."""

from __future__ import annotations

import json

import pytest

import stillroom
from stillroom.findings import checks
from stillroom.findings.finding import Finding, Report, in_order
from stillroom.sheets.report_sheet import SARIF_SCHEMA, written

ODD = Finding("bands", "schedules/a,b:c.csv", 3, "minutes", "2%\n::stop", "is odd", "page 1-1", "mend it")
WHOLE = Finding("structure", "datapackage.json", None, "", "", "is missing")
REPORT = Report(
    in_order([ODD, WHOLE]), ("bands",), ("check x was left out: table foods cannot be read",), ("check y broke",)
)


def test_text_is_one_line_a_finding():
    assert written(REPORT, "text").splitlines() == [
        "datapackage.json: structure: is missing",
        'schedules/a,b:c.csv:3: bands: minutes "2%\\n::stop" is odd; page 1-1; mend it',
        "1 check, 2 findings",
    ]


def test_json_has_every_part_of_a_finding():
    told = json.loads(written(REPORT, "json"))
    assert told["ok"] is False and told["broken"] == ["check y broke"]
    assert told["findings"][1] == {**ODD._asdict(), "message": ODD.message}


def test_json_fits_its_schema(package):
    from jsonschema import Draft202012Validator

    schema = json.loads((package.root / "schema" / "report.json").read_text())
    Draft202012Validator.check_schema(schema)
    assert list(Draft202012Validator(schema).iter_errors(json.loads(written(REPORT, "json")))) == []
    assert list(Draft202012Validator(schema).iter_errors({"ok": True}))


def test_annotations_are_escaped_as_the_runner_reads_them():
    """GitHub, "Workflow commands": % is %25, line feed %0A, and in properties : is %3A and comma %2C."""
    assert written(REPORT, "github").splitlines()[:2] == [
        "::error file=datapackage.json,title=structure::is missing",
        '::error file=schedules/a%2Cb%3Ac.csv,line=3,title=bands::minutes "2%25\\n::stop" is odd; page 1-1; mend it',
    ]


def _fitting(value, model):
    """Hold an object against a class of the SARIF object model: names it knows, and those it requires."""
    import attr

    known = {field.metadata["schema_property_name"]: field for field in model.__attrs_attrs__}
    required = {name for name, field in known.items() if field.default is attr.NOTHING}
    assert set(value) <= set(known) | {"$schema"}, f"{model.__name__}: {set(value) - set(known)}"
    assert required <= set(value), f"{model.__name__} lacks {required - set(value)}"


@pytest.mark.parametrize("report", [REPORT, Report(())], ids=["findings", "clean"])
def test_sarif_fits_the_object_model_of_version_2_1_0(report):
    """sarif-om is generated from the OASIS schema; what it cannot say is held against sections of the standard."""
    import sarif_om as om

    log = json.loads(written(report, "sarif"))
    _fitting(log, om.SarifLog)
    assert log["version"] == "2.1.0" and log["$schema"] == SARIF_SCHEMA
    (run,) = log["runs"]
    _fitting(run, om.Run)
    _fitting(run["tool"], om.Tool)
    _fitting(run["tool"]["driver"], om.ToolComponent)
    for rule in run["tool"]["driver"]["rules"]:
        _fitting(rule, om.ReportingDescriptor)
        _fitting(rule["shortDescription"], om.MultiformatMessageString)
        assert rule["shortDescription"]["text"].endswith("."), "3.49.9"
    (invocation,) = run["invocations"]
    _fitting(invocation, om.Invocation)
    for note in invocation.get("toolExecutionNotifications", []):
        _fitting(note, om.Notification)
        assert note["level"] in ("none", "note", "warning", "error")
    assert run["columnKind"] in ("utf16CodeUnits", "unicodeCodePoints"), "3.14.17"
    for result in run["results"]:
        _fitting(result, om.Result)
        _fitting(result["message"], om.Message)
        assert result["level"] in ("none", "note", "warning", "error"), "3.27.10"
        assert run["tool"]["driver"]["rules"][result["ruleIndex"]]["id"] == result["ruleId"], "3.27.6"
        for location in result["locations"]:
            _fitting(location, om.Location)
            _fitting(location["physicalLocation"], om.PhysicalLocation)
            artifact = location["physicalLocation"]["artifactLocation"]
            _fitting(artifact, om.ArtifactLocation)
            assert artifact["uriBaseId"] in run["originalUriBaseIds"] and " " not in artifact["uri"], "3.4.3, 3.4.4"
            if "region" in location["physicalLocation"]:
                _fitting(location["physicalLocation"]["region"], om.Region)
                assert location["physicalLocation"]["region"]["startLine"] >= 1, "3.30.5"
        assert all(isinstance(mark, str) for mark in result["partialFingerprints"].values()), "3.27.17"
    assert len(run["results"]) == len(report.findings)


@pytest.mark.parametrize("report", [REPORT, Report(())], ids=["findings", "clean"])
def test_sarif_is_read_by_a_typed_model_of_the_standard_that_refuses_a_wrong_level(report):
    """The typed model of sarif-pydantic, written apart from sarif-om, after OASIS SARIF 2.1.0."""
    import pydantic
    from sarif_pydantic import Sarif

    log = json.loads(written(report, "sarif"))
    assert len(Sarif.model_validate(log).runs[0].results or []) == len(report.findings)
    for result in log["runs"][0]["results"]:
        result["level"] = "dangerous"
        with pytest.raises(pydantic.ValidationError):
            Sarif.model_validate(log)


def test_a_near_miss_an_object_with_a_name_of_no_standard_does_not_fit():
    import sarif_om as om

    with pytest.raises(AssertionError, match="Region"):
        _fitting({"startLine": 1, "line": 1}, om.Region)
    with pytest.raises(AssertionError, match="lacks"):
        _fitting({}, om.Tool)


def test_every_finding_of_a_spoiled_package_is_one_line(package):
    rows = package.read("schedules/pickles.csv")
    for row in rows[1:]:
        row[8], row[13] = row[8] + "\x1b[31m", row[13] + "\n::error::"
    package.write("schedules/pickles.csv", rows)
    report = stillroom.check(str(package.root))
    text = written(report, "text")
    assert len(text.splitlines()) == len(report.findings) + 1 and "\x1b" not in text
    assert all(line.count("::") == 2 or "\\n::error::" in line for line in written(report, "github").splitlines())
    assert {f.check for f in report.findings} <= {check.name for check in checks.every()}


NOT_UTF8 = "schedules/recipes/fig\udcff\udc9b.yaml"
STRANGE = [
    Finding("recipes", NOT_UTF8, None, "", "", "is no YAML file"),
    Finding("recipes", "schedules/\ud800.csv", 2, "minutes", "2\x9b31m\u202e\ud800\udfff", "is \x1b[2Jodd"),
    Finding("recipes", "schedules/a\nb\x1b]0;c\x07.yaml", None, "", "", "is \x00 no YAML file"),
]


@pytest.mark.parametrize("kind", ["text", "json", "github", "sarif"])
def test_a_file_name_that_is_not_utf_8_is_told_in_valid_text_that_no_terminal_obeys(kind):
    told = written(Report(in_order(STRANGE), ("recipes",), ("left \x1b[2J out",), ("broke \x9b",)), kind)
    told.encode("utf-8")
    assert all(line.isprintable() for line in told.splitlines())
    if kind in ("json", "sarif"):
        json.dumps(json.loads(told), ensure_ascii=False).encode("utf-8")


def test_a_uri_holds_the_bytes_of_the_name():
    """RFC 3986, 2.1: a byte outside of the unreserved characters is % and two hexadecimal digits."""
    log = json.loads(written(Report((STRANGE[0],)), "sarif"))
    artifact = log["runs"][0]["results"][0]["locations"][0]["physicalLocation"]["artifactLocation"]
    assert artifact["uri"] == "schedules/recipes/fig%FF%9B.yaml"


@pytest.mark.parametrize("kind", ["text", "json", "github", "sarif"])
def test_the_command_tells_of_a_file_whose_name_is_not_utf_8(package, capsysbinary, kind):
    import os

    from stillroom.commands.main import main

    os.close(os.open(os.fsencode(package.root) + b"/schedules/recipes/fig\xff\x1b[2J.txt", os.O_CREAT | os.O_WRONLY))
    assert main(["check", str(package.root), "--format", kind]) == 1
    told = capsysbinary.readouterr()
    assert b"is no YAML file" in told.out and told.err == b""
    assert b"\x1b" not in told.out
    if kind in ("json", "sarif"):
        json.loads(told.out.decode("utf-8"))
