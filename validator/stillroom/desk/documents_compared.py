"""Outline: what changed in a document of the package: a recipe, a table schema, or datapackage.json.

A document is laid out as paths with values; entries of a list are told apart by what they are about (the jar, the
name, the text), so that one that is put between others does not read as a change of all that follow.
"""

from __future__ import annotations

from collections import Counter, defaultdict, deque
from collections.abc import Iterator
from json import dumps
from typing import Any, NamedTuple

from stillroom.desk.same_said import said
from stillroom.desk.strictness import ADDED, STRONGER, TEXT_CHANGED, WEAKER, WITHDRAWN, WORDING
from stillroom.package.documents import read_json, read_yaml

RECIPES = "schedules/recipes/"


class Part(NamedTuple):
    """One changed value of a document: what it is about, where it stands, old and new value, and the sources named.

    ``old_source`` and ``source`` are blank where the document names none; ``needs_source`` says whether only another
    source justifies the change.
    """

    kind: str
    name: str
    where: str
    old: str | None
    new: str | None
    why: str
    old_source: str = ""
    source: str = ""
    needs_source: bool = False


class _Step(NamedTuple):
    """A difference at one path: values are None where a side has nothing."""

    path: tuple[str, ...]
    old: Any
    new: Any


_MISSING = object()
_TEXTS = frozenset(("title", "text", "prep", "note", "description"))
_ABOUT = ("name", "id", "jar", "pack", "text", "page")
_BINDING = ("never_change", "cautions", "canner", "sterile_jars", "doubtful")
_ALLOWING = ("may_change", "packs", "jars", "low_temperature_pasteurization", "yield")
_LESS_ACID, _LESS_HEADSPACE, _LOST_CONDITION = "less acid", "less headspace", "a condition is lost"
_NEEDS_SOURCE = frozenset((_LESS_ACID, _LESS_HEADSPACE, _LOST_CONDITION, TEXT_CHANGED))
_SAFE_UP = frozenset(("minimum", "minLength", "exclusiveMinimum", "required", "unique"))
_SAFE_DOWN = frozenset(("maximum", "maxLength", "exclusiveMaximum"))
_PLAIN = frozenset((
    "title", "description", "version", "created", "keywords", "contributors", "homepage", "image", "$schema", "$id",
    "example", "examples", "hash", "hashes", "bytes", "count_of_rows",
))  # fmt: skip


def document_changes(file: str, old: bytes | None, new: bytes | None) -> Iterator[Part]:
    """Tell what changed in one document.

    Parameters
    ----------
    file : str
        Path from the top of the package.
    old, new : bytes or None
        Its content in both versions; None where a version has none.

    Raises
    ------
    BadPackage
        It cannot be read.
    """
    if file.endswith((".yaml", ".yml")):
        before, after = (_MISSING if c is None else read_yaml(c, file) for c in (old, new))
        yield from _recipe(file, before, after) if file.startswith(RECIPES) else _plain(file, before, after)
    elif file.endswith(".json"):
        before, after = (_MISSING if c is None else said(file, read_json(c, file)) for c in (old, new))
        yield from _schema(file, before, after)
    elif old is None:
        yield Part(ADDED, file, file, None, "the file", "new file")
    else:
        yield Part(WEAKER, file, file, "the file", None if new is None else "the file", "a file that is not compared")


# walking two documents together


def _steps(old: Any, new: Any, path: tuple[str, ...] = ()) -> Iterator[_Step]:
    if type(old) is type(new) and old == new and _exact(old) == _exact(new):  # 1 and true are equal, and not the same
        return
    if isinstance(old, dict) and isinstance(new, dict):
        for key in dict.fromkeys((*old, *new)):
            yield from _steps(old.get(key, _MISSING), new.get(key, _MISSING), (*path, str(key)))
    elif isinstance(old, list) and isinstance(new, list):
        yield from _list_steps(old, new, path)
    else:
        yield _Step(path, old, new)


def _list_steps(old: list[Any], new: list[Any], path: tuple[str, ...]) -> Iterator[_Step]:
    gone, fresh = _unmatched(old, new), _unmatched(new, old)  # an entry at another place of the list is no change
    pairs, gone, fresh = _same_about(gone, fresh)
    if len(gone) == len(fresh):
        nameless = [not _named(item) for item in gone]
        pairs += [pair for pair, taken in zip(zip(gone, fresh, strict=True), nameless, strict=True) if taken]
        gone = [item for item, taken in zip(gone, nameless, strict=True) if not taken]
        fresh = [item for item, taken in zip(fresh, nameless, strict=True) if not taken]
    for item, other in pairs:
        yield from _steps(item, other, (*path, _label(item)))
    for item in gone:
        yield _Step((*path, _label(item)), item, _MISSING)
    for item in fresh:
        yield _Step((*path, _label(item)), _MISSING, item)


def _unmatched(items: list[Any], others: list[Any]) -> list[Any]:
    """Entries that the other list has not, or not as often."""
    left = Counter(map(_exact, others))
    kept = []
    for item in items:
        key = _exact(item)
        if left[key]:
            left[key] -= 1
        else:
            kept.append(item)
    return kept


def _same_about(gone: list[Any], fresh: list[Any]) -> tuple[list[tuple[Any, Any]], list[Any], list[Any]]:
    """Pair entries that are about the same, in the order they stand; give the pairs and what is left of both."""
    waiting: dict[tuple[str, Any], deque[int]] = defaultdict(deque)
    for place, item in enumerate(fresh):
        about = _about(item)
        if about is not None:
            waiting[about].append(place)
    pairs, left, taken = [], [], set()
    for item in gone:
        about = _about(item)
        places = None if about is None else waiting.get(about)
        if places:
            place = places.popleft()
            taken.add(place)
            pairs.append((item, fresh[place]))
        else:
            left.append(item)
    return pairs, left, [item for place, item in enumerate(fresh) if place not in taken]


def _exact(value: Any) -> str:
    """Write a value so that only equal ones of the same types are written the same."""
    return dumps(value, sort_keys=True, default=lambda other: {"": [type(other).__name__, str(other)]})


def _about(item: Any) -> tuple[str, Any] | None:
    if not isinstance(item, dict):
        return None
    return next(((key, item[key]) for key in _ABOUT if isinstance(item.get(key), str)), None)


def _named(item: Any) -> bool:
    return not isinstance(item, dict) or "name" in item or "id" in item


def _label(item: Any) -> str:
    about = _about(item)
    text = str(about[1]) if about is not None else _written(item)
    return text if len(text) <= 60 else f"{text[:57]}..."


def _written(value: Any) -> str:
    return value if isinstance(value, str) else dumps(value, ensure_ascii=False, sort_keys=True, default=str)


def _shown(value: Any) -> str | None:
    if value is _MISSING:
        return None
    text = _written(value)
    return text if len(text) <= 200 else f"{text[:197]}..."


def _number(value: Any) -> float | None:
    return float(value) if isinstance(value, (int, float)) and not isinstance(value, bool) else None


# recipes


def _recipe(file: str, old: Any, new: Any) -> Iterator[Part]:
    food = file.removeprefix(RECIPES).rpartition(".")[0]
    cited = (_source_of(old), _source_of(new))
    if old is _MISSING or new is _MISSING:
        kind, why = (ADDED, "new recipe") if old is _MISSING else (WEAKER, "the recipe is lost")
        yield Part(kind, food, f"{food}, recipe", _shown_name(old), _shown_name(new), why, *cited)
        return
    acids = _acids(old if isinstance(old, dict) else {})
    for step in _steps(old, new):
        kind, why = _recipe_kind(step, acids)
        where = f"{food}, recipe: {' / '.join(step.path)}"
        yield Part(kind, food, where, _shown(step.old), _shown(step.new), why, *cited, why in _NEEDS_SOURCE)


def _source_of(recipe: Any) -> str:
    source = recipe.get("source") if isinstance(recipe, dict) else None
    return source if isinstance(source, str) else ""


def _shown_name(value: Any) -> str | None:
    return None if value is _MISSING else "recipe"


def _recipe_kind(step: _Step, acids: frozenset[str]) -> tuple[str, str]:
    top, last = (step.path or ("",))[0], (step.path or ("",))[-1]
    if last == "page":
        return WORDING, "the page only"
    if last == "source":
        return WEAKER, "another source stands behind the recipe"
    if step.old is _MISSING:
        return (STRONGER, "one more condition") if top in _BINDING else (ADDED, "new in the recipe")
    if step.new is _MISSING:
        if top in _ALLOWING:
            return WITHDRAWN, "no longer allowed"
        binding = top in (*_BINDING, "acid") or _is_acid(step, acids)
        return WEAKER, _LOST_CONDITION if binding else "lost from the recipe"
    if last in _TEXTS and isinstance(step.old, str) and isinstance(step.new, str):
        return WEAKER, TEXT_CHANGED
    before, after = _number(step.old), _number(step.new)
    if before is not None and after is not None and _is_acid_amount(step, acids):
        return (WEAKER, _LESS_ACID) if after < before else (STRONGER, "more acid")
    if before is not None and after is not None and top == "headspace":
        return (WEAKER, _LESS_HEADSPACE) if after < before else (STRONGER, "more headspace")
    return WEAKER, "no side of it is known to be the safer"


def _is_acid_amount(step: _Step, acids: frozenset[str]) -> bool:
    return "quantity" in step.path and (step.path[0] == "acid" or _is_acid(step, acids))


def _is_acid(step: _Step, acids: frozenset[str]) -> bool:
    """Whether a step is about an ingredient whose role is acid."""
    return step.path[0] == "ingredients" and len(step.path) > 1 and step.path[1] in acids


def _acids(recipe: dict[str, Any]) -> frozenset[str]:
    """Labels of the ingredients whose role is acid."""
    entries = recipe.get("ingredients")
    return frozenset(
        _label(entry)
        for entry in (entries if isinstance(entries, list) else ())
        if isinstance(entry, dict) and entry.get("role") == "acid"
    )


# schemas and other documents


def _schema(file: str, old: Any, new: Any) -> Iterator[Part]:
    if old is _MISSING or new is _MISSING:
        kind, why = (ADDED, "new file") if old is _MISSING else (WEAKER, "a file is lost")
        yield Part(
            kind, file, file, None if old is _MISSING else "the file", None if new is _MISSING else "the file", why
        )
        return
    for step in _steps(old, new):
        kind, why = _schema_kind(step)
        yield Part(kind, file, f"{file}: {' / '.join(step.path)}", _shown(step.old), _shown(step.new), why)


def _schema_kind(step: _Step) -> tuple[str, str]:
    last = step.path[-1] if step.path else ""
    if step.new is _MISSING and (last in ("hash", "hashes") or "hashes" in step.path[:1]):
        return WEAKER, "a hash is lost"
    if any(part in _PLAIN for part in step.path[:1]) or (last in _PLAIN and "properties" not in step.path[-2:-1]):
        return WORDING, "says the same of the data"
    before = _number(step.old) if step.old is not _MISSING else None
    after = _number(step.new) if step.new is not _MISSING else None
    if before is not None and after is not None:
        if (last in _SAFE_UP and after > before) or (last in _SAFE_DOWN and after < before):
            return STRONGER, "narrower"
        return WEAKER, "wider"
    if step.old is _MISSING and last in _SAFE_UP | _SAFE_DOWN | {"pattern", "enum"}:
        return STRONGER, "one more constraint"
    if "enum" in step.path and step.new is _MISSING:
        return STRONGER, "one value fewer"
    if step.old is _MISSING:
        return ADDED, "new in the schema"
    return WEAKER, "no side of it is known to be the safer"


def _plain(file: str, old: Any, new: Any) -> Iterator[Part]:
    for step in _steps(old, new):
        kind = ADDED if step.old is _MISSING else WEAKER
        where = f"{file}: {' / '.join(step.path)}"
        yield Part(kind, file, where, _shown(step.old), _shown(step.new), "no side of it is known to be the safer")
