"""Opened: every file of a data package, read once and safely, for the checks.

The package may be hostile. A path that leads out of the folder is never opened, a file is read up to a bound, and
whatever cannot be read is a finding, not an error. Cells are kept as text: each column as a list of the distinct
texts and one small number per row, so that a million rows fit and work is done once per distinct text.
"""

from __future__ import annotations

import codecs
import contextlib
import csv
import hashlib
import io
import os
import re
from collections.abc import Callable, Iterator
from functools import cached_property
from itertools import islice
from typing import TYPE_CHECKING, Any, BinaryIO, Protocol

import numpy as np
import pandas as pd
from pandas.api.types import union_categoricals

from stillroom.errors import BadInput
from stillroom.findings.breach import Work, work
from stillroom.findings.finding import Finding, shown
from stillroom.findings.table import Interned, Table, Texts, Unreadable, numbers
from stillroom.package import files
from stillroom.package.documents import NotPlain, plain_json, plain_yaml
from stillroom.package.lines import bounded
from stillroom.package.resources import is_recipe
from stillroom.package.tables import DERIVED, GROUPS, TABLES

if TYPE_CHECKING:
    from numpy.typing import NDArray

    from stillroom.findings.second_process import SecondProcess

LARGEST_FILE = 512 * 1024 * 1024
"""Largest file that is read, bytes."""
LARGEST_DESCRIPTOR = 4 * 1024 * 1024
"""Largest datapackage.json or schema file that is read, bytes."""
BLOCK = 1024 * 1024
"""Bytes that are looked at together; a line that fills a block is too long to be read."""
LONGEST_CELL = 128 * 1024
"""Longest cell or line of a CSV file that is read, characters."""
MOST_ROWS = 8_000_000
"""Most rows that are read in all files together."""
MOST_TEXTS = 3_000_000
"""Most distinct cells that are kept of all files together."""
MOST_UNEVEN = 1000
"""Most rows of one file whose number of cells is told."""
AT_ONCE = 500
"""Rows that are taken apart together; few enough to stay in the processor's cache."""

RECIPES = "schedules/recipes"
LARGEST_RECIPE = 1_000_000
"""Largest recipe that is read, bytes."""
DEEPEST_RECIPE = 20
"""Deepest nesting of a recipe that is read."""

DOCUMENTS = (
    "answer", "audit", "batch", "comparison", "day", "day-plan", "kitchen", "plan", "recipe", "recipe-answer", "report",
    "season", "season-entry", "steam", "uses", "verdict", "weeks-plan",
)  # fmt: skip
"""JSON Schemas of schema/ that are of a document, not of a table."""
BESIDE_TABLES = re.compile(
    rf"schedules/recipes/[^./][^/]*\.yaml|shared/demo/[^./][^/]*\.(csv|toml|yaml)|schema/({'|'.join(DOCUMENTS)})\.json"
)
"""Files that stand in the folders of the tables and are none."""

_AS_READ: dict[str, Any] = {
    "format": "csv",
    "encoding": "utf-8",
    "dialect": {"delimiter": ",", "lineTerminator": "\n", "header": True},
}
_STRUCTURE = "structure"
_FORM = "form"


class _Reader(Protocol):
    """What csv.reader gives."""

    line_num: int

    def __iter__(self) -> Iterator[list[str]]: ...

    def __next__(self) -> list[str]: ...


class _Stop(Exception):
    """Reading of one file ends here; the finding is recorded."""


class CheckedPackage:
    """The files of one data package, read once.

    Parameters
    ----------
    root : str
        Folder that holds datapackage.json.

    Attributes
    ----------
    problems : list of Finding
        What could not be read and what is wrong with the form of the files.
    tables : dict of str to Table
        What could be read, by name; but for tables made from the others.
    derived : dict of str to bytes
        Tables made from the others, as they are, by file.
    second_process : SecondProcess or None
        A process that enforces the table schemas meanwhile.

    Raises
    ------
    BadInput
        No such folder, or no datapackage.json in it.
    """

    def __init__(self, root: str) -> None:
        self.root = os.path.abspath(root)
        if not os.path.isdir(self.root):
            raise BadInput(f"{shown(root, 200)} is no folder: give the folder of a data package")
        if not os.path.lexists(os.path.join(self.root, "datapackage.json")):
            raise BadInput(f"{shown(root, 200)} holds no datapackage.json: give the folder of a data package")
        self.problems: list[Finding] = []
        self.tables: dict[str, Table] = {}
        self.derived: dict[str, bytes] = {}
        self.descriptor: dict[str, Any] = {}
        self.second_process: SecondProcess | None = None
        self._rows_left, self._texts_left = MOST_ROWS, MOST_TEXTS
        self._interned: dict[tuple[str, str], Interned] = {}
        self._schemas: dict[str, dict[str, Any] | None] = {}
        self._read()

    def table(self, name: str) -> Table:
        """One table.

        Raises
        ------
        Unreadable
            It is not there; a finding says why.
        """
        if name not in self.tables:
            raise Unreadable(f"table {name} cannot be read")
        return self.tables[name]

    @cached_property
    def declared(self) -> frozenset[str]:
        """Files that the descriptor names, its image among them, and the schemas that tables have by the registry."""
        resources = self.descriptor.get("resources")
        named = [one for one in resources if isinstance(one, dict)] if isinstance(resources, list) else []
        paths = (self.descriptor.get("image"), *(one.get(key) for one in named for key in ("path", "schema")))
        return frozenset((*(path for path in paths if isinstance(path, str)), *(t.schema for t in TABLES.values())))

    @cached_property
    def work(self) -> Work:
        """All tables, as the engines that enforce their schemas take them."""
        return work(self.root, self.tables.values())

    def rule(self, name: str) -> dict[str, str]:
        """One general rule of shared/rules.csv, as text by column.

        Raises
        ------
        Unreadable
            There is none of that id.
        """
        found = next((row for row in self.table("rules").rows if row["id"] == name), None)
        if found is None:
            raise Unreadable(f'rule "{name}" is missing from {self.table("rules").file}')
        return found

    def figure(self, name: str) -> float:
        """Figure of a general rule that is one number, in the unit of the rule.

        Raises
        ------
        Unreadable
            There is no such rule, or it has none.
        """
        found = float(numbers([self.rule(name)["value"]])[0])
        if found != found:
            raise Unreadable(f'rule "{name}" of {self.table("rules").file} has no figure')
        return found

    @cached_property
    def publications(self) -> dict[str, str]:
        """Publication that each source of shared/sources.csv belongs to: itself, or the one that an erratum amends."""
        return {row["id"]: row["amends"] or row["id"] for row in self.table("sources").rows}

    @cached_property
    def guide(self) -> str:
        """Publication whose pages are cited bare, and whose general rules stand in shared/rules.csv; blank if none."""
        return next((row["id"] for row in self.table("sources").rows if not row["short"]), "")

    @cached_property
    def both_gauges(self) -> frozenset[str]:
        """Publications that declare altitude bands for dial and for weighted gauges, and so print each table twice."""
        sets = {(row["source"], row["band_set"].partition("-")[0]) for row in self.table("altitude-bands").rows}
        return frozenset(source for source, canner in sets if canner == "dial" and (source, "weighted") in sets)

    @cached_property
    def food_publications(self) -> dict[str, str]:
        """Publication that each food of schedules/foods.csv belongs to."""
        of = self.publications
        return {row["id"]: of.get(row["source"], row["source"]) for row in self.table("foods").rows}

    @cached_property
    def amending(self) -> frozenset[str]:
        """Sources that amend another: errata and supplements."""
        return frozenset(source for source, publication in self.publications.items() if source != publication)

    @cached_property
    def schedules(self) -> pd.DataFrame:
        """All printed rows: text columns as categories, the four numbers as floats, with ``file`` and ``line``.

        ``status`` is ``tested``, or ``not-recommended`` for rows of the table of that name, which print no pressure.
        Rows with a cell that is no number, where one is needed, are left out: the structure check names them.
        """
        tables = [self.table(name) for name in GROUPS]
        data: dict[str, Any] = {}
        for name in tables[0].columns:
            texts = tables[0].texts[name]  # shared by all tables of one schema
            codes = np.concatenate([table.codes[name] for table in tables])
            if name in ("altitude_from_ft", "altitude_to_ft", "minutes", "pressure_psi"):
                data[name] = numbers(texts)[codes]
            else:
                data[name] = pd.Categorical.from_codes(codes, categories=pd.Index(texts, dtype=object))
        data["line"] = np.concatenate([table.lines for table in tables])
        lengths = [len(table) for table in tables]
        of_file = np.repeat(np.arange(len(tables)), lengths)
        data["file"] = pd.Categorical.from_codes(of_file, categories=pd.Index([table.file for table in tables]))
        frame = self._with_not_recommended(pd.DataFrame(data))
        return frame[frame["altitude_from_ft"].notna() & frame["minutes"].notna()].reset_index(drop=True)

    def _with_not_recommended(self, tested: pd.DataFrame) -> pd.DataFrame:
        """Put the cells printed as not recommended beside the tested ones, in a column of their own."""
        table = self.table("not-recommended")
        against = table.frame.copy()
        for name in ("altitude_from_ft", "altitude_to_ft", "minutes"):
            against[name] = table.number(name)
        against["pressure_psi"] = np.nan
        data: dict[str, Any] = {}
        for name in map(str, tested.columns):
            column = tested[name]
            if isinstance(column.dtype, pd.CategoricalDtype):
                data[name] = union_categoricals([column, against[name].astype("category")])
            else:
                data[name] = np.concatenate([column.to_numpy(), against[name].to_numpy()])
        status = np.repeat(np.array([0, 1], dtype=np.int8), [len(tested), len(against)])
        data["status"] = pd.Categorical.from_codes(status, categories=pd.Index(["tested", "not-recommended"]))
        return pd.DataFrame(data)

    @cached_property
    def series(self) -> pd.DataFrame:
        """All schedule rows, by combination and altitude: see :func:`stillroom.findings.series.sorted_series`."""
        from stillroom.findings.series import sorted_series

        return sorted_series(self.schedules)

    @cached_property
    def recipes(self) -> dict[str, tuple[Any, dict[Any, int]]]:
        """Recipes that are plain YAML, by path: the values, and the line of each place; read once for all checks."""
        return dict(self._plain_recipes())

    def _plain_recipes(self) -> Iterator[tuple[str, tuple[Any, dict[Any, int]]]]:
        """Read the recipes one by one; those that are no plain YAML are left to their check."""
        folder = os.path.join(self.root, *RECIPES.split("/"))
        if self.screened(RECIPES) or not os.path.isdir(folder):
            return
        for path in (f"{RECIPES}/{file}" for file in sorted(os.listdir(folder)) if file.endswith((".yaml", ".yml"))):
            data, _ = self.bounded(path, LARGEST_RECIPE)
            if data is not None:
                with contextlib.suppress(UnicodeDecodeError, NotPlain):
                    yield path, plain_yaml(data.decode("utf-8"), DEEPEST_RECIPE)

    def problem(
        self, check: str, file: str, line: int | None, wrong: str, mend: str = "", column: str = "", value: str = ""
    ) -> None:
        """Record a problem met while reading."""
        self.problems.append(Finding(check, file, line, column, value, wrong, "", mend))

    # Reading the descriptor and the schemas

    def _read(self) -> None:
        descriptor = self._json("datapackage.json")
        if descriptor is None:
            return
        self.descriptor = descriptor
        resources = descriptor.get("resources")
        if not isinstance(resources, list):
            self.problem(_STRUCTURE, "datapackage.json", None, "has no list of resources")
            return
        names: set[str] = set()
        paths: set[str] = set()
        for resource in resources:
            self._resource(resource, names, paths)
        for name in TABLES:
            if name not in names:
                self.problem(
                    _STRUCTURE, "datapackage.json", None, f'table "{name}" is not declared', "declare it again"
                )

    def _resource(self, resource: object, names: set[str], paths: set[str]) -> None:
        at = "datapackage.json"
        if not isinstance(resource, dict) or not isinstance(resource.get("name"), str):
            self.problem(_STRUCTURE, at, None, "has a resource without a name")
            return
        name = resource["name"]
        path, schema = resource.get("path"), resource.get("schema")
        if name in names:
            self.problem(_STRUCTURE, at, None, f'names two resources "{shown(name)}"', "give each its own name")
            return
        names.add(name)
        if is_recipe(resource) and name not in TABLES:  # the checks of recipes and of hashes tell what is wrong with it
            return
        if not isinstance(path, str) or not isinstance(schema, str):
            self.problem(_STRUCTURE, at, None, f'resource "{shown(name)}" needs one path and one schema, both files')
            return
        if path in paths:
            self.problem(_STRUCTURE, at, None, f'"{shown(path)}" is declared twice', "declare each file once")
            return
        paths.add(path)
        self._misplaced(name, path, schema)
        declared = tuple(resource.get(key, as_read) for key, as_read in _AS_READ.items())
        if declared != tuple(_AS_READ.values()):
            self.problem(
                _STRUCTURE, at, None, f'resource "{shown(name)}" is not declared as comma-separated UTF-8 with a header'
            )
            return
        if schema not in self._schemas:
            self._schemas[schema] = self._schema(schema)
        known = self._schemas[schema]
        file, wrong = self._opened(path, LARGEST_FILE)
        if file is None:
            self._unopened(path, wrong)
            return
        with file:
            if name in DERIVED:
                self.derived[path] = file.read()
            elif known is not None:
                self._table(name, path, schema, known, file)

    def _misplaced(self, name: str, path: str, schema: str) -> None:
        """Tell a table that is declared elsewhere than where the library reads it, or with another schema."""
        fixed = TABLES.get(name)
        if fixed is None:
            return
        for what, declared, wanted in (("file", path, fixed.file), ("schema", schema, fixed.schema)):
            if declared != wanted and not self.screened(declared):  # a path out of the package is told already
                said = f'table "{name}" is declared with the {what} "{shown(declared)}", not {wanted}'
                self.problem(_STRUCTURE, "datapackage.json", None, said, "declare it where the library reads it")

    def _schema(self, path: str) -> dict[str, Any] | None:
        schema = self._json(path)
        if schema is None:
            return None
        fields = schema.get("fields")
        if (
            not isinstance(fields, list)
            or not fields
            or not all(isinstance(f, dict) and isinstance(f.get("name"), str) for f in fields)
            or len({f["name"] for f in fields}) != len(fields)
        ):
            self.problem(_STRUCTURE, path, None, "has no list of fields, each with a name of its own")
            return None
        return schema

    def _json(self, path: str) -> dict[str, Any] | None:
        data, wrong = self.bounded(path, LARGEST_DESCRIPTOR)
        if data is None:
            self._unopened(path, wrong)
            return None
        try:
            value = plain_json(data.decode("utf-8"))
        except UnicodeDecodeError as error:
            line = data.count(b"\n", 0, error.start) + 1
            self.problem(_STRUCTURE, path, line, "is not UTF-8", "save it as UTF-8")
        except NotPlain as error:
            self.problem(_STRUCTURE, path, error.line, _no_json(error), "mend it")
        else:
            if isinstance(value, dict):
                return value
            self.problem(_STRUCTURE, path, None, "is not a JSON object", "mend it")
        return None

    def json_file(self, path: str) -> tuple[dict[str, Any] | None, str]:
        """Read a JSON file of the package: the object, or None and why not."""
        data, wrong = self.bounded(path, LARGEST_DESCRIPTOR)
        if data is None:
            return None, wrong
        try:
            value = plain_json(data.decode("utf-8"))
        except UnicodeDecodeError as error:
            return None, f"is no JSON: {shown(str(error))}"
        except NotPlain as error:
            return None, _no_json(error)
        return (value, "") if isinstance(value, dict) else (None, "is not a JSON object")

    # Opening files

    def bounded(self, path: str, largest: int) -> tuple[bytes | None, str]:
        """Read a small file of the package: its bytes, or None and why not."""
        try:
            return files.read(files.inside(self.root, path), largest), ""
        except files.Unread as error:
            return None, _unread(error, largest)

    def _opened(self, path: str, largest: int) -> tuple[BinaryIO | None, str]:
        """Open an ordinary file inside the package, or say why not."""
        try:
            return files.opened(files.inside(self.root, path), largest), ""
        except files.Unread as error:
            return None, _unread(error, largest)

    def _unopened(self, path: str, wrong: str) -> None:
        """Record that a file was not opened: in its own name where the path is a plain one."""
        if self.screened(path) is None:
            self.problem(_STRUCTURE, path, None, wrong, "restore the file")
        else:
            said = f'path "{shown(path)}" {wrong}'
            self.problem(_STRUCTURE, "datapackage.json", None, said, "name a file in the package")

    def screened(self, path: str) -> str | None:
        """Say why a path must not be opened, or None where it may be."""
        try:
            files.inside(self.root, path)
        except files.Unread as error:
            return error.said
        return None

    # Reading tables

    def _table(self, name: str, path: str, schema_path: str, schema: dict[str, Any], file: BinaryIO) -> None:
        """Read one table; a finding says why not, where it cannot be read to its end."""
        fields = [field["name"] for field in schema["fields"]]
        try:
            quotes, sha256 = self._raw(path, file)
            interned = [self._interned.setdefault((schema_path, field), Interned()) for field in fields]
            file.seek(3 if file.read(3) == codecs.BOM_UTF8 else 0)
            text = io.TextIOWrapper(file, encoding="utf-8", errors="replace", newline="")
            try:
                lines, codes = self._cells(path, csv.reader(bounded(text, LONGEST_CELL), strict=True), fields, interned)
            finally:
                text.detach()
        except _Stop:
            return
        texts = Texts(dict(zip(fields, interned, strict=True)))
        self.tables[name] = Table(
            name, path, schema, lines, dict(zip(fields, codes, strict=True)), texts, quotes, sha256
        )

    def _cells(
        self, path: str, reader: _Reader, fields: list[str], interned: list[Interned]
    ) -> tuple[NDArray[np.int64], list[NDArray[np.int32]]]:
        """Read the lines of all rows, and by column the numbers of their texts."""
        lines: list[NDArray[np.int64]] = [np.zeros(0, dtype=np.int64)]
        codes: list[list[NDArray[np.int32]]] = [[np.zeros(0, dtype=np.int32)] for _ in fields]
        before = 1
        try:
            header = next(reader, None)
            order = self._header(path, header, fields)
            width = len(header or ())
            before = reader.line_num
            while rows := list(islice(reader, AT_ONCE)):
                read = len(rows)
                rows, at = self._even(path, rows, _line_numbers(rows, before, reader.line_num), width)
                before = reader.line_num
                lines.append(at)
                cells = list(zip(*rows, strict=True)) if rows else [()] * width
                known = sum(map(len, interned))
                for column, numbers_of, position in zip(codes, interned, order, strict=True):
                    texts = cells[position] if position is not None else [""] * len(rows)
                    column.append(np.fromiter(map(numbers_of.__getitem__, texts), dtype=np.int32, count=len(rows)))
                self._spend(path, before, read, sum(map(len, interned)) - known)
        except csv.Error as error:
            self.problem(_STRUCTURE, path, reader.line_num, f"is no CSV: {error}", "mend the quotes")
            raise _Stop from None
        return np.concatenate(lines), [np.concatenate(column) for column in codes]

    def _spend(self, path: str, line: int, rows: int, texts: int) -> None:
        """Count rows and distinct texts against what is read of a package."""
        self._rows_left -= rows
        self._texts_left -= texts
        for left, most, what in (
            (self._rows_left, MOST_ROWS, "rows"),
            (self._texts_left, MOST_TEXTS, "different cells"),
        ):
            if left < 0:
                wrong = f"the package has over {most:,} {what}; no more are read"
                self.problem(_STRUCTURE, path, line, wrong, "split the package")
                raise _Stop

    def _header(self, path: str, header: list[str] | None, fields: list[str]) -> list[int | None]:
        if header is None:
            self.problem(_STRUCTURE, path, None, "is empty: it lacks its header", f"begin with {','.join(fields)}")
            raise _Stop
        if header != fields:
            missing = [f for f in fields if f not in header]
            extra = [h for h in header if h not in fields]
            said = (
                f"columns are missing: {', '.join(missing)}" if missing
                else f"columns are not in the schema: {shown(', '.join(extra))}" if extra
                else "columns are not in the order of the schema, or stand twice"
            )  # fmt: skip
            self.problem(_STRUCTURE, path, 1, said, f"begin with {','.join(fields)}")
        return [header.index(f) if f in header else None for f in fields]

    def _even(
        self, path: str, rows: list[list[str]], at: NDArray[np.int64], width: int
    ) -> tuple[list[list[str]], NDArray[np.int64]]:
        """Leave out rows with too few or too many cells, and say so."""
        uneven = [i for i, row in enumerate(rows) if len(row) != width]
        if not uneven:
            return rows, at
        told = sum(problem.file == path for problem in self.problems[-MOST_UNEVEN:])
        for i in uneven[: MOST_UNEVEN - told]:
            said = "is a blank line" if not rows[i] else f"has {len(rows[i])} cells, not {width}"
            self.problem(_STRUCTURE, path, int(at[i]), said, "give each column one cell, blank or not")
        if told + len(uneven) > MOST_UNEVEN:
            wrong = f"has over {MOST_UNEVEN:,} rows with too few or too many cells; no more are read"
            self.problem(_STRUCTURE, path, int(at[uneven[-1]]), wrong, "restore the file")
            raise _Stop
        left = set(uneven)
        kept = [i for i in range(len(rows)) if i not in left]
        return [rows[i] for i in kept], at[kept]

    def _raw(self, path: str, file: BinaryIO) -> tuple[int, str]:
        """Look at the bytes: BOM, line ends, NUL, encoding and the end of the file; one finding each.

        Returns
        -------
        int
            Number of quotation marks.
        str
            SHA-256 of the file, hexadecimal.
        """
        form = _Form(lambda line, wrong, mend: self.problem(_FORM, path, line, wrong, mend))
        while block := file.read(BLOCK):
            if len(block) == BLOCK and b"\n" not in block and b"\r" not in block:
                self.problem(_STRUCTURE, path, form.lines, "is a line of a megabyte or more", "restore the file")
                raise _Stop
            form.take(block)
        form.end()
        file.seek(0)
        return form.quotes, form.digest.hexdigest()


class _Form:
    """Form of the bytes of one file, block by block; each kind of fault is told once.

    Attributes
    ----------
    lines : int
        Line that the next block begins on.
    quotes : int
        Quotation marks so far.
    digest : hashlib hash
        SHA-256 so far.
    """

    def __init__(self, tell: Callable[[int, str, str], None]) -> None:
        self.lines, self.quotes, self.digest = 1, 0, hashlib.sha256()
        self._tell, self._told = tell, set[str]()
        self._decoder = codecs.getincrementaldecoder("utf-8")()
        self._last = b""

    def take(self, block: bytes) -> None:
        """Look at the next block, not empty."""
        self.digest.update(block)
        if not self._last and block.startswith(codecs.BOM_UTF8):
            self._say("bom", 1, "begins with a byte order mark", "run stillroom tidy")
        if b"\r" in block:
            self._say("cr", self._line_of(block, b"\r"), "has line ends of another system (CR)", "run stillroom tidy")
        if b"\0" in block:
            self._say("nul", self._line_of(block, b"\0"), "holds a NUL byte", "remove it")
        self._decode(block)
        self.lines += block.count(b"\n")
        self.quotes += block.count(b'"')
        self._last = block[-1:]

    def end(self) -> None:
        """Look at how the file ends."""
        self._decode(b"", final=True)
        if self._last not in (b"\n", b""):
            self._say("end", self.lines, "does not end with a line end", "run stillroom tidy")

    def _decode(self, block: bytes, *, final: bool = False) -> None:
        if "utf8" in self._told:
            return
        try:
            self._decoder.decode(block, final)
        except UnicodeDecodeError as error:
            pending = len(error.object) - len(block)  # bytes held over from the block before
            line = self.lines + block.count(b"\n", 0, max(error.start - pending, 0))
            self._say("utf8", line, "is not UTF-8 here", "save the file as UTF-8")

    def _line_of(self, block: bytes, byte: bytes) -> int:
        return self.lines + block.count(b"\n", 0, block.index(byte))

    def _say(self, kind: str, line: int, wrong: str, mend: str) -> None:
        if kind not in self._told:
            self._told.add(kind)
            self._tell(line, wrong, mend)


def _unread(error: files.Unread, largest: int) -> str:
    """Say why a file of the package is not read."""
    if error.kind == files.LARGE:
        many = f"has over {largest:,} bytes"
        return many if error.size is None else f"has {error.size:,} bytes; at most {largest:,} are read"
    told = {files.MISSING: "is missing", files.SPECIAL: "is no ordinary file", files.OUTSIDE: error.said}
    return told.get(error.kind) or f"cannot be read: {error.said}"


def _no_json(error: NotPlain) -> str:
    """Say why a text is no JSON that is read."""
    if error.kind == "deep":
        return "is nested too deeply"
    said = f'key "{shown(error.said)}" stands twice' if error.kind == "twice" else error.said
    return f"is no JSON: {shown(said)}"


def _line_numbers(rows: list[list[str]], before: int, after: int) -> NDArray[np.int64]:
    """Line on which each row begins."""
    if after - before == len(rows):
        return np.arange(before + 1, after + 1, dtype=np.int64)
    heights = [1 + sum(len(cell.splitlines()) - 1 for cell in row if len(cell.splitlines()) > 1) for row in rows]
    return before + 1 + np.cumsum([0, *heights[:-1]], dtype=np.int64)
