"""Writes REFERENCE.md from the docstrings of what ``stillroom`` exports.

Run after a public name or its docstring has changed, with ``griffe2md`` installed (it is in the extra ``test``)::

    python -m tests.surface.reference

The generator reads the code without running it. What it gives is made fit for a page that is read where the repository
is hosted: links lead to the headings of this page or are taken away, and a long signature stands on several lines.
"""

from __future__ import annotations

import re

from stillroom.package import files
from tests.conftest import ROOT
from tests.surface.reached import functions, public

PAGE = ROOT / "REFERENCE.md"
RENEW = "python -m tests.surface.reference"
HEAD = f"""\
# Reference

What `import stillroom` gives, made from the docstrings by `{RENEW}`; not to be edited. What may
change of it, and when: [DEVELOPERS.md](DEVELOPERS.md#what-may-change-when). Psi are above the air outside, feet above
sea level; a page is a printed page of the source beside it.
"""
_LONGEST = 110
_SETTINGS = {
    "docstring_style": "numpy",
    "filters": ["!^_"],
    "heading_level": 1,
    "inherited_members": False,
    "line_length": 1_000_000,  # or the page would depend on whether a formatter is installed
    "merge_init_into_class": False,
    "show_bases": False,
    "show_if_no_docstring": False,
    "show_object_full_path": False,
    "show_root_members_full_path": False,
    "show_signature_annotations": True,
    "show_submodules": False,
    "summary": False,
}


def page() -> str:
    """Write the page.

    Raises
    ------
    ModuleNotFoundError
        The generator is not installed.
    """
    import griffe
    import griffe2md

    loader = griffe.GriffeLoader(search_paths=[ROOT / "validator"], docstring_parser=griffe.Parser.numpy)
    package = loader.load("stillroom", try_relative_path=False)
    loader.resolve_aliases(implicit=False, external=False)
    asked = list(functions())
    types = [name for name, _ in public() if name not in asked]
    written = griffe2md.render_object_docs(package, {**_SETTINGS, "members": [*asked, *types]})
    body = written.split("\n", 2)[2]
    anchors = _anchors(f"{HEAD}\n{body}")
    contents = "".join(
        f"\n**{title}:** {', '.join(f'[{name}](#{anchors[name]})' for name in names)}.\n"
        for title, names in (("Functions", asked), ("Types", types))
    )
    told = re.sub(r"\n{3,}", "\n\n", _plain(body, anchors)).strip()
    return f"{HEAD}{contents}\n{told}\n"


def _anchors(text: str) -> dict[str, str]:
    """Where the heading of each exported name is found: its letters small, numbered where they stood before."""
    seen: dict[str, int] = {}
    found = {}
    for marks, heading in re.findall(r"^(#+) (.*)$", text, re.MULTILINE):
        slug = re.sub(r"[^\w -]", "", heading.lower()).replace(" ", "-")
        seen[slug] = seen.get(slug, -1) + 1
        if marks == "##":
            found[heading.strip("`")] = f"{slug}-{seen[slug]}" if seen[slug] else slug
    return found


def _plain(text: str, anchors: dict[str, str]) -> str:
    def link(found: re.Match[str]) -> str:
        name, path = found[1], found[2]
        leads = name in anchors and re.fullmatch(rf"stillroom(\.[a-z_]+)+\.{name}", path)
        return f"[{name}](#{anchors[name]})" if leads else name

    text = re.sub(r"\[(\*\*[^\]]*\*\*)\]\(#[^)]*\)", r"\1", text)
    text = re.sub(r"\[(\w+)\]\(#([\w.]+)\)", link, text)
    text = re.sub(r":\w+:`(?:stillroom\.)?(\w+)`", r"`\1`", text)
    text = re.sub(r"``([^`\n]+)``", r"`\1`", text)
    text = re.sub(r"^\w+ = Literal\[.*\]$", lambda found: found[0].replace("'", '"'), text, flags=re.MULTILINE)
    text = re.sub(r" \u2013 *$", "", text, flags=re.MULTILINE)
    return re.sub(rf"(?<=```python\n).{{{_LONGEST},}}(?=\n)", lambda found: _broken(found[0]), text)


def _broken(signature: str) -> str:
    """Put each parameter, or each word of a list, on a line of its own."""
    depth, pieces = 0, [""]
    for letter in signature:
        depth -= letter in ")]"
        if letter in ")]" and depth == 0 and len(pieces) > 1:
            pieces[-1] += ",\n"
        pieces[-1] += letter
        depth += letter in "(["
        if (letter in "([" and depth == 1 and len(pieces) == 1) or (letter == "," and depth == 1):
            pieces[-1] += "\n"
            pieces.append("    ")
    return "".join(pieces).replace("     ", "    ")


def main() -> None:
    files.replace(str(PAGE), page().encode())


if __name__ == "__main__":
    main()
