"""Reporting: a report of checks as text, JSON, workflow annotations or SARIF 2.1.0."""

from __future__ import annotations

import hashlib
from typing import Any
from urllib.parse import quote

from stillroom.findings.finding import Finding, Report, shown
from stillroom.sheets import documents

SARIF_SCHEMA = "https://docs.oasis-open.org/sarif/sarif/v2.1.0/errata01/os/schemas/sarif-schema-2.1.0.json"
"""Schema of SARIF 2.1.0, OASIS standard."""


def written(report: Report, kind: str, prefix: str = "") -> str:
    """Write a report.

    Parameters
    ----------
    report : Report
    kind : str
        ``text``, ``json``, ``github`` or ``sarif``.
    prefix : str
        Path from the top of the repository to the package, with ``/`` at its end: annotations and SARIF name files
        from there, where those who read them look. Text and JSON name them from the package.
    """
    if kind in ("github", "sarif"):
        moved = (finding._replace(file=prefix + finding.file) for finding in report.findings)
        return {"github": _github, "sarif": _sarif}[kind](report._replace(findings=tuple(moved)))
    return {"text": _text, "json": _json}[kind](report)


def _text(report: Report) -> str:
    count = len(report.findings)
    said = "no findings" if count == 0 else "1 finding" if count == 1 else f"{count:,} findings"
    ran = "1 check" if len(report.ran) == 1 else f"{len(report.ran)} checks"
    return "".join(f"{line}\n" for line in (*report.announced, *report.findings, f"{ran}, {said}"))


def _json(report: Report) -> str:
    return documents.text({
        "ok": report.ok,
        "announced": list(report.announced),
        "findings": [{**finding._asdict(), "message": finding.message} for finding in report.findings],
        "ran": list(report.ran),
        "left_out": list(report.left_out),
        "broken": list(report.broken),
    })  # fmt: skip


def _github(report: Report) -> str:
    """One workflow command for each finding; data and properties escaped as GitHub's runner reads them."""
    lines = [f"::notice title=what people are told::{_data(line)}" for line in report.announced]
    lines += [
        f"::error file={_property(finding.file)}"
        + (f",line={finding.line}" if finding.line is not None else "")
        + f",title={_property(finding.check)}::{_data(finding.message)}"
        for finding in report.findings
    ]
    lines += [f"::warning title=left out::{_data(line)}" for line in report.left_out]
    lines += [f"::error title=broken check::{_data(line)}" for line in report.broken]
    return "".join(f"{line}\n" for line in lines)


def _data(text: str) -> str:
    return shown(text, 2_000).replace("%", "%25").replace("\r", "%0D").replace("\n", "%0A")


def _property(text: str) -> str:
    return _data(text).replace(":", "%3A").replace(",", "%2C")


def _sarif(report: Report) -> str:
    from stillroom import __version__
    from stillroom.findings import checks

    rules = [
        {
            "id": check.name,
            "shortDescription": {"text": f"{check.summary[0].upper()}{check.summary[1:]}"},
            "fullDescription": {"text": check.page},
            "defaultConfiguration": {"level": "error"},
        }
        for check in checks.every()
    ]
    known = {rule["id"] for rule in rules}
    rules += [{"id": name} for name in sorted({finding.check for finding in report.findings} - known)]
    numbers = {rule["id"]: number for number, rule in enumerate(rules)}
    told = [{"level": "note", "message": {"text": line}} for line in report.announced]
    told += [{"level": "error", "message": {"text": line}} for line in (*report.left_out, *report.broken)]
    invocation: dict[str, Any] = {"executionSuccessful": not report.broken}
    if told:
        invocation["toolExecutionNotifications"] = told
    run = {
        "tool": {"driver": {"name": "stillroom", "semanticVersion": __version__, "rules": rules}},
        "invocations": [invocation],
        "originalUriBaseIds": {"TOP": {"description": {"text": "Top of the git repository, else of the package"}}},
        "columnKind": "unicodeCodePoints",
        "results": [_result(finding, numbers[finding.check]) for finding in report.findings],
    }
    return documents.text({"$schema": SARIF_SCHEMA, "version": "2.1.0", "runs": [run]})


def _uri(file: str) -> str:
    """Write a path as a URI; a name that is not UTF-8 by its bytes."""
    return quote(file.encode("utf-8", "surrogateescape" if _from_bytes(file) else "surrogatepass"))


def _from_bytes(file: str) -> bool:
    """Whether each half of a surrogate pair stands for one byte of a file name (PEP 383)."""
    return all("\udc80" <= half <= "\udcff" for half in file if "\ud800" <= half <= "\udfff")


def _result(finding: Finding, rule: int) -> dict[str, Any]:
    location: dict[str, Any] = {"artifactLocation": {"uri": _uri(finding.file), "uriBaseId": "TOP"}}
    if finding.line is not None:
        location["region"] = {"startLine": finding.line}
    same = "\0".join((finding.check, finding.file, finding.column, finding.value, finding.wrong))
    return {
        "ruleId": finding.check,
        "ruleIndex": rule,
        "level": "error",
        "message": {"text": finding.message},
        "locations": [{"physicalLocation": location}],
        "partialFingerprints": {"finding/v1": hashlib.sha256(same.encode("utf-8", "surrogatepass")).hexdigest()},
    }
