"""Audit sheet: what an audit found, as text: the verdict first, how the table was read, then the worst first."""

from __future__ import annotations

from collections.abc import Iterator, Sequence

from stillroom import screen
from stillroom.answers import wording
from stillroom.answers.shelf import Shelf
from stillroom.foreign import line
from stillroom.foreign.audited import NOT_ACCEPTED, WORST_FIRST, Audit, AuditFinding, Published
from stillroom.sheets import page

MOST = 20
"""Findings that are shown of each kind, unless all are asked for."""
_HEADS = {
    "withheld": ("WITHHELD: take {these} out", "row"),
    "untested": ("UNTESTED: nothing is published for {these}", "place"),
    "weaker": ("WEAKER than published: correct before printing", "place"),
    "missing": ("MISSING: published, and not stated", "place"),
    "unread": ("UNREAD: not understood, so not judged", "place"),
    "stronger": ("STRONGER: safe, not as published", "place"),
}
_LINE = 9
"""Columns before the text of a finding."""


def audit_sheet(found: Audit, shelf: Shelf, everything: bool = False) -> str:
    """Write an audit.

    Parameters
    ----------
    found : Audit
    shelf : Shelf
        For the caution that every sheet carries.
    everything : bool, optional
        Every finding; by default the first of each kind.
    """
    lines = [*page.wrapped(f"{found.file}: {verdict(found)}"), *_reading(found)]
    for kind in WORST_FIRST:
        lines += _section(kind, [one for one in found.findings if one.verdict == kind], everything)
    lines += _yourself(found)
    if found.not_here:
        lines += page.section("Published, and not on this handout:", found.not_here)
    lines += ["", *page.wrapped(counted(found))]
    lines += page.foot(found.source, shelf.standing)
    return fit(page.text(lines))


def fit(text: str) -> str:
    """Make lines fit to be shown: what controls a terminal or turns a line in a cell of the handout is written out."""
    return text if text.replace("\n", "").isprintable() else "\n".join(_fit(line) for line in text.split("\n"))


def _fit(line: str) -> str:
    return screen.printable(line, len(line))


def verdict(found: Audit) -> str:
    """Say in one line whether a handout may be given out."""
    at = "" if found.altitude_ft is None else f" At {wording.height(found.altitude_ft)} alone."
    counts = found.counts
    wrong = sum(counts[kind] for kind in NOT_ACCEPTED if kind != "unread")
    if wrong and found.file == line.NAME:
        return f"NOT AS SAFE AS PUBLISHED. Do not go by it.{at}"
    if wrong:
        rows = f"{found.rows_wrong} of {wording.units(found.rows, 'row')}"
        return f"NOT SAFE TO HAND OUT. {rows} {'needs' if found.rows_wrong == 1 else 'need'} a change.{at}"
    if counts["unread"]:
        return f"NOT CLEARED: {wording.units(counts['unread'], 'cell')} could not be read, and none is wrong.{at}"
    if not found.processes:
        return f"NOTHING WAS JUDGED: no process is stated in it.{at}"
    if counts["stronger"]:
        return (
            f"SAFE. {wording.units(counts['stronger'], 'cell')} stronger than published, the others as published.{at}"
        )
    return f"AS PUBLISHED. Nothing to change.{at}"


def _reading(found: Audit) -> Iterator[str]:
    yield "How the table was read (if wrong: --columns-out map.yaml, correct it, --columns)"
    for text in (*found.reading, *found.assumed):
        yield from page.item(text, "  ")
    judged = wording.units(found.processes, "figure") if found.processes else "nothing"
    left = wording.units(found.counts["unread"], "cell") if found.counts["unread"] else "no cell"
    yield f"  {judged} judged; {left} unread"
    for text in one_height(found):
        yield from page.item(text, "  ")


def one_height(found: Audit) -> Iterator[str]:
    """Say for which height alone a handout was judged, and what was left out."""
    if found.altitude_ft is not None:
        yield f"only what holds at {wording.height(found.altitude_ft)} was judged"
    if found.left_out:
        yield f"left out, as they do not hold there: {', '.join(found.left_out)}"


def _section(kind: str, findings: Sequence[AuditFinding], everything: bool) -> Iterator[str]:
    if not findings:
        return
    head, _ = _HEADS[kind]
    these = "this row" if len({one.row for one in findings}) == 1 else "these rows"
    cells = len({cell for one in findings for cell in one.cells})
    rows = len({(one.table, one.row) for one in findings})
    yield ""
    counted = f"{wording.units(rows, 'row')}, {wording.units(cells, 'cell')}"
    yield from page.wrapped(f"{head.format(these=these)} ({counted})")
    shown = findings if everything else findings[:MOST]
    for one in shown:
        yield from _finding(one)
    if len(shown) < len(findings):
        yield f"  and {len(findings) - len(shown)} more: --all shows them"


def _finding(one: AuditFinding) -> Iterator[str]:
    where = f"{one.table}, line {one.row}" if one.table else f"line {one.row}"
    label = f"  {where}"
    start = f"{label:<{_LINE}}  "
    yield from page.wrapped(told(one), start, " " * (_LINE + 2))
    indent = " " * (_LINE + 2)
    if one.why:
        yield from page.wrapped(why(one), indent, indent)
    if one.instead:
        yield from page.wrapped(f"Instead: {one.instead[0].lower()}{one.instead[1:]}", indent, indent)
    if one.looks_like:
        yield from page.wrapped(f"looks like: {one.looks_like}", indent, indent)
    if one.history is not None:
        yield from page.wrapped(str(one.history), indent, indent)


def why(one: AuditFinding) -> str:
    """Say why, with the page where no published value carries it."""
    if not one.page or one.published:
        return one.why
    said = one.why.removesuffix(".")
    return f"{said} ({one.page}){one.why[len(said) :]}"


def told(one: AuditFinding) -> str:
    """Say in one line what is stated where, and what is published."""
    what = one.label
    stated = one.stated or ("nothing stated" if one.verdict == "missing" else f'"{one.cell}"')
    column = one.column if len(one.column) <= 60 else f"{one.column[:57]}..."
    said = f"{what}   {column}: {stated}" if what else f"{column}: {stated}"
    return f"{said}, published {published(one.published)}" if one.published else said


def sentences(one: AuditFinding, where: bool = True) -> Iterator[str]:
    """Say all of a finding in sentences, for a list.

    Parameters
    ----------
    one : AuditFinding
    where : bool, optional
        Whether its line is said first.
    """
    table = f"{one.table}, " if one.table else ""
    said = told(one).replace("   ", "; ")
    yield f"{table}line {one.row}: {said}." if where else f"{said}."
    if one.why:
        yield why(one)
    if one.instead:
        yield f"Instead: {one.instead}"
    if one.looks_like:
        yield f"Looks like: {one.looks_like}."
    if one.history is not None:
        yield str(one.history)


def published(values: Sequence[Published]) -> str:
    """Say what is published: values, where they hold, and the page."""
    if len({value.text for value in values}) == 1:
        return f"{values[0].text} ({values[0].page.in_brackets})"
    parts = [f"{value.text}{_band(value)}" for value in values[:4]]
    more = f" and {len(values) - 4} more" if len(values) > 4 else ""
    return f"{'; '.join(dict.fromkeys(parts))}{more} ({values[0].page.in_brackets})"


def _band(value: Published) -> str:
    if value.altitude_from_ft is None:
        return ""
    return f" at {wording.span(value.altitude_from_ft, value.altitude_to_ft)}"


def _yourself(found: Audit) -> Iterator[str]:
    if not found.read_yourself:
        return
    yield from ("", "Read these yourself: no rule can judge them")
    for note in found.read_yourself:
        yield from page.wrapped(f'"{note.text}"', f"  line {note.line:<4}", " " * (_LINE + 2))
        if note.warns is not None:
            yield from page.wrapped(f"IT NAMES WHAT IS WITHHELD. {note.warns}", " " * (_LINE + 2), " " * (_LINE + 2))


def counted(found: Audit) -> str:
    """Count the cells of each class, all of them."""
    cells = sum(found.counts.values())
    parts = [f"{count} {kind}" for kind, count in found.counts.items() if count]
    return f"{wording.units(cells, 'cell')}: {', '.join(parts)}. Data version {found.data_version}."


def summary(audits: Sequence[Audit], unread: Sequence[tuple[str, str]], shelf: Shelf) -> str:
    """Write one table for many handouts, the worst first.

    Parameters
    ----------
    audits : sequence of Audit
    unread : sequence of tuple
        Name of each file that could not be read, and why.
    shelf : Shelf
    """
    kinds = (*WORST_FIRST, "same")
    worst = sorted(audits, key=lambda one: [-one.counts[kind] for kind in WORST_FIRST])
    wide = min(34, max([4, *(len(one.file) for one in audits)]))
    lines = [f"{'file':<{wide}}" + "".join(f"{kind[:8]:>9}" for kind in kinds)]
    for one in worst:
        name = one.file if len(one.file) <= wide else f"{one.file[: wide - 3]}..."
        lines.append(f"{name:<{wide}}" + "".join(f"{one.counts[kind] or '':>9}" for kind in kinds))
    for name, why in unread:
        lines += page.wrapped(f"{name}: NOT READ: {why}")
    clean = sum(one.ok for one in audits)
    total = wording.units(len(audits) + len(unread), "handout")
    lines += [
        "",
        f"{total}: {clean} with nothing to change, {len(audits) - clean} not to hand out, {len(unread)} not read.",
    ]
    return fit(page.text([*lines, *page.foot(audits[0].source if audits else None, shelf.standing)]))
