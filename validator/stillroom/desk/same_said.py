"""Same said: datapackage.json and the table schemas in one form, so that only what they say differently is compared.

The standard has two forms for some of it: a foreign key of one column is a text in version 1 and a list in version 2,
where a table that refers to itself is not named. A
key with a column that may be blank is held by our checks whether it is called primary or unique; and a pattern asks the
same of a column that may be blank whether or not it lets a blank through. A recipe tells its hash in ``hashes`` or in a
resource of its own. A release adds the sizes of all tables, and the hashes of those that are built.
"""

from __future__ import annotations

from typing import Any

from stillroom.findings.hashes import BUILT, HASHES, KEY
from stillroom.package.keys import row_key
from stillroom.package.resources import is_recipe

_SIZE = "bytes"


def said(file: str, document: Any) -> Any:
    """Give a document as it is compared.

    Parameters
    ----------
    file : str
        Path from the top of the package.
    document : object
        As read from JSON; whatever in it is not as it should be stays as it is.
    """
    if not isinstance(document, dict):
        return document
    if file == "datapackage.json":
        return _descriptor(document)
    own = file.rpartition("/")[2].removesuffix(".json")
    return _schema(document, own) if isinstance(document.get("fields"), list) else document


def _descriptor(document: dict[str, Any]) -> dict[str, Any]:
    resources, hashes = document.get("resources"), document.get(HASHES, {})
    if not isinstance(resources, list) or not isinstance(hashes, dict):
        return document
    recipes = [one for one in resources if is_recipe(one)]
    tables = [_unsized(one) for one in resources if not is_recipe(one)]
    own = {one["path"]: one[KEY] for one in recipes if KEY in one}
    return {**document, "resources": tables, HASHES: {**hashes, **own}}


def _unsized(resource: Any) -> Any:
    if not isinstance(resource, dict):
        return resource
    added = (_SIZE, KEY) if resource.get("name") in BUILT else (_SIZE,)
    return {name: value for name, value in resource.items() if name not in added}


def _schema(document: dict[str, Any], own: str) -> dict[str, Any]:
    keys, key = document.get("foreignKeys"), row_key(document)
    rest = {name: value for name, value in document.items() if name not in ("primaryKey", "foreignKeys")}
    if key and "primaryKey" not in document:
        rest["uniqueKeys"] = document["uniqueKeys"][1:]
    rest = {name: value for name, value in rest.items() if name != "uniqueKeys" or value}
    rest["fields"] = [_field(field) for field in document["fields"]]
    told = [_reference(one, own) for one in keys] if isinstance(keys, list) else keys
    return {**rest, **({"primaryKey": list(key)} if key else {}), **({"foreignKeys": told} if told else {})}


def _reference(key: Any, own: str) -> Any:
    """Write a foreign key with a list of columns on both sides, without the name of its own table."""
    to = key.get("reference") if isinstance(key, dict) else None
    if not isinstance(to, dict):
        return key
    to = {name: value for name, value in to.items() if (name, value) not in (("resource", own), ("resource", ""))}
    return {**key, "fields": _listed(key.get("fields")), "reference": {**to, "fields": _listed(to.get("fields"))}}


def _listed(columns: Any) -> Any:
    return [columns] if isinstance(columns, str) else columns


def _field(field: Any) -> Any:
    rules = field.get("constraints") if isinstance(field, dict) else None
    pattern = rules.get("pattern") if isinstance(rules, dict) else None
    if not isinstance(rules, dict) or not isinstance(pattern, str) or rules.get("required"):
        return field
    if pattern.startswith("^(") and pattern.endswith(")?$") and "|" not in pattern:
        pattern = f"^{pattern[2:-3]}$"
    return {**field, "constraints": {**rules, "pattern": pattern}}
