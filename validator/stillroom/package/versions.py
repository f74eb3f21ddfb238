"""Versions: the data of one version of the package, from a folder, a git commit, or a wheel or zip file.

Nothing is unpacked, run or written: files are read into memory, within bounds, and links are refused. A version may
come from anywhere, so its names and sizes are not trusted.
"""

from __future__ import annotations

import os
import re
import stat
import subprocess
import threading
import zipfile
import zlib
from collections.abc import Iterable, Iterator, Mapping
from types import TracebackType
from typing import IO, Protocol

from stillroom.errors import BadInput, BadPackage
from stillroom.package import files

LARGEST_FILE_BYTES = 128 * 2**20
"""A schedule table of a million rows has about 100 MB; a larger file is refused unread."""
LARGEST_VERSION_BYTES = 512 * 2**20
"""All files of one version together."""
MOST_FILES = 20_000
"""Files of one version."""

_TOP_FILES = ("datapackage.json", "CHANGELOG.md")
_TOP_FOLDERS = ("schedules", "shared", "schema")
_DEMO = "shared/demo/"
_GIT_PATIENCE_S = 60
_SHA = re.compile(r"[0-9a-f]{40}(?:[0-9a-f]{24})?")


class Version:
    """Files of one version, by their path from the top of the package, with ``/``.

    Parameters
    ----------
    name : str
        What the person called it, for messages.
    place : Files
        Where the files are read from.
    """

    def __init__(self, name: str, place: Files) -> None:
        self.name = name
        self._files = place
        if "datapackage.json" not in place.sizes:
            raise BadInput(f"{name} holds no datapackage.json at its top: it is not a version of the package")
        if len(place.sizes) > MOST_FILES:
            raise BadPackage(f"{name} holds {len(place.sizes):,} files; more than {MOST_FILES:,} are not read")
        _bounded(name, place.sizes)

    def paths(self) -> frozenset[str]:
        """Paths of the data files, datapackage.json and CHANGELOG.md."""
        return frozenset(self._files.sizes)

    def read(self, path: str) -> bytes | None:
        """Read one file; None where the version has none.

        Raises
        ------
        BadPackage
            It cannot be read, or is larger than it said.
        """
        if path not in self._files.sizes:
            return None
        content = self._files.read(path, LARGEST_FILE_BYTES + 1)
        if len(content) > LARGEST_FILE_BYTES:
            raise BadPackage(_too_large(self.name, path))
        return content

    def __enter__(self) -> Version:
        return self

    def __exit__(self, kind: type[BaseException] | None, error: BaseException | None, at: TracebackType | None) -> None:
        self._files.close()


class Files(Protocol):
    """A place files are read from."""

    @property
    def sizes(self) -> Mapping[str, int]:
        """Bytes of each file, as the place says."""

    def read(self, path: str, most: int) -> bytes:
        """Read one file, or its first ``most`` bytes."""

    def close(self) -> None:
        """Let go of what is held open."""


def open_version(named: str, beside: str, *, parted: bool = False) -> Version:
    """Open a version read-only; use it with ``with``.

    Parameters
    ----------
    named : str
        A folder, a wheel or zip file, or a git ref of the repository that ``beside`` stands in.
    beside : str
        Folder of the package whose repository a ref is looked up in.
    parted : bool
        Of a git ref, take the commit where HEAD parted from it: what the ref has gained since is no edit of ours.
        The name of the version then says which commit that is.

    Raises
    ------
    BadInput
        No such folder, file or ref, a name that is both, or a ref that HEAD has no commit in common with.
    BadPackage
        Damaged, too large, or it holds links.
    """
    if not named or named.startswith("-") or not named.isprintable() or len(named) > 1_000:
        raise BadInput(f'version "{named[:40]!a}" is neither a path nor a git ref')
    here = os.path.exists(named)
    plainly_a_path = os.path.isabs(named) or named.startswith(("./", "../", ".\\", "..\\")) or named in (".", "..")
    if plainly_a_path and not here:
        raise BadInput(f"{named} does not exist: name a folder, a wheel or zip file, or a git ref")
    commit = None if plainly_a_path else _commit(named, beside)
    if commit is not None and here:
        # A folder called like a branch must not pass for the branch.
        raise BadInput(f'"{named}" is a git ref and a path too: write ./{named} for the path, or the full commit')
    if commit is not None:
        name, commit = _base(named, beside, commit) if parted else (named, commit)
        return Version(name, _committed(name, beside, commit))
    if not here:
        raise BadInput(
            f'"{named}" is no path, and no git ref of the repository of {beside}: fetch the ref, or name a path'
        )
    if os.path.isdir(named):
        return folder_version(named)
    if not os.path.isfile(named):
        raise BadInput(f"{named} is neither a folder nor a file: name a folder, a wheel or zip file, or a git ref")
    return Version(named, _Archive(named))


def folder_version(folder: str) -> Version:
    """Open a folder as a version, whatever git calls by the same name.

    Parameters
    ----------
    folder : str
        Folder of the package.

    Raises
    ------
    BadInput, BadPackage
        As :func:`open_version`.
    """
    return Version(folder, _Folder(folder))


def _too_large(name: str, path: str) -> str:
    return f"{name}: {path} is larger than {LARGEST_FILE_BYTES // 2**20} MB, the most that is read"


def _bounded(name: str, sizes: Mapping[str, int]) -> None:
    for path, size in sizes.items():
        if size > LARGEST_FILE_BYTES:
            raise BadPackage(_too_large(name, path))
    if sum(sizes.values()) > LARGEST_VERSION_BYTES:
        raise BadPackage(f"{name} is larger than {LARGEST_VERSION_BYTES // 2**20} MB, the most that is read")


def _wanted(path: str) -> bool:
    top, _, rest = path.partition("/")
    return (path in _TOP_FILES or (top in _TOP_FOLDERS and bool(rest))) and not path.startswith(_DEMO)


class _Folder:
    """A folder; symbolic links in it are refused."""

    def __init__(self, root: str) -> None:
        self.root = root
        self.sizes = dict(self._found(root, ""))

    def _found(self, folder: str, at: str) -> Iterator[tuple[str, int]]:
        try:
            with os.scandir(folder) as entries:
                inside = sorted(entries, key=lambda entry: entry.name)
        except OSError as error:
            raise BadPackage(f"{folder} cannot be listed: {error.strerror}") from None
        for count, entry in enumerate(inside):
            path = at + entry.name
            if at == "" and path not in (*_TOP_FILES, *_TOP_FOLDERS):
                continue
            if count > MOST_FILES:
                raise BadPackage(f"{folder} holds more than {MOST_FILES:,} files, the most that are read")
            kind = entry.stat(follow_symlinks=False).st_mode
            if stat.S_ISLNK(kind):
                raise BadPackage(f"{path} is a symbolic link: put the file itself in its place")
            if stat.S_ISDIR(kind):
                yield from self._found(entry.path, f"{path}/")
            elif not stat.S_ISREG(kind):
                raise BadPackage(f"{path} is neither a file nor a folder: remove it")
            elif _wanted(path):
                yield path, entry.stat(follow_symlinks=False).st_size

    def read(self, path: str, most: int) -> bytes:
        """Read the file itself, never through a link that has taken its place since."""
        try:
            with files.opened(os.path.join(self.root, *path.split("/")), links=False) as file:
                return file.read(most)
        except files.Unread as error:
            raise BadPackage(f"{path} cannot be read: {error.said}") from None
        except OSError as error:
            raise BadPackage(f"{path} cannot be read: {error.strerror}") from None

    def close(self) -> None:
        """Nothing is held open."""


class _Archive:
    """A wheel or zip file, read in place."""

    def __init__(self, path: str) -> None:
        self.path = path
        try:
            self.zip = zipfile.ZipFile(path)
        except (OSError, zipfile.BadZipFile, RuntimeError) as error:
            raise BadInput(f"{path} is neither a folder nor a readable zip file: {error}") from None
        try:
            self.members = dict(self._members())
        except BaseException:
            self.zip.close()
            raise
        self.sizes = {inside: member.file_size for inside, member in self.members.items()}

    def _members(self) -> Iterator[tuple[str, zipfile.ZipInfo]]:
        entries = self.zip.infolist()
        if len(entries) > 10 * MOST_FILES:
            raise BadPackage(f"{self.path} holds {len(entries):,} entries, too many to be the package")
        names: set[str] = set()
        for entry in entries:
            parts = entry.filename.rstrip("/").split("/")
            if any(part in ("", ".", "..") for part in parts) or "\\" in entry.filename or ":" in entry.filename:
                raise BadPackage(f'{self.path} holds an entry "{entry.filename[:60]!a}" that points outside of it')
            if entry.filename in names:
                raise BadPackage(f"{self.path} holds {entry.filename} twice")
            names.add(entry.filename)
        top = self._top(names)
        for entry in entries:
            inside = entry.filename[len(top) :]
            if not entry.filename.startswith(top) or entry.is_dir() or not _wanted(inside):
                continue
            if stat.S_ISLNK(entry.external_attr >> 16):
                raise BadPackage(f"{self.path}: {inside} is a symbolic link: put the file itself in its place")
            if entry.flag_bits & 0x1:
                raise BadPackage(f"{self.path}: {inside} is encrypted")
            yield inside, entry

    def _top(self, names: Iterable[str]) -> str:
        """Folder in the archive that holds the package: its top, a folder there, or stillroom/data/ of a wheel."""
        tops = [name.removesuffix("datapackage.json") for name in names if name.split("/")[-1] == "datapackage.json"]
        least = min((top.count("/") for top in tops), default=0)
        nearest = [top for top in tops if top.count("/") == least]
        if len(nearest) > 1:
            raise BadInput(f"{self.path} holds more than one package: {', '.join(sorted(nearest)[:3])}")
        return nearest[0] if nearest else ""

    def read(self, path: str, most: int) -> bytes:
        """Inflate one file, no further than its bound whatever its header says."""
        try:
            with self.zip.open(self.members[path]) as file:
                return file.read(most)
        except (OSError, EOFError, zipfile.BadZipFile, RuntimeError, ValueError, zlib.error) as error:
            raise BadPackage(f"{self.path}: {path} cannot be read: {error}") from None

    def close(self) -> None:
        """Close the archive."""
        self.zip.close()


class Held:
    """Files held in memory, like those of a commit as git stores them: no filter, attribute or checkout touches them.

    Parameters
    ----------
    contents : mapping of str to bytes
        By path.
    """

    def __init__(self, contents: Mapping[str, bytes]) -> None:
        self.contents = contents
        self.sizes = {path: len(content) for path, content in contents.items()}

    def read(self, path: str, most: int) -> bytes:
        """Give the file."""
        return self.contents[path][:most]

    def close(self) -> None:
        """Nothing is held open."""


def _commit(ref: str, beside: str) -> str | None:
    """Commit a ref names; None where it names none or there is no repository."""
    said = _git(beside, ["rev-parse", "--verify", "--quiet", "--end-of-options", f"{ref}^{{commit}}"], 1_000)
    found = None if said is None else said.decode("ascii", "replace").strip()
    return found if found and _SHA.fullmatch(found) else None


def _base(ref: str, beside: str, commit: str) -> tuple[str, str]:
    """Give the commit where HEAD parted from a ref, and its name for messages."""
    said = _git(beside, ["merge-base", commit, "HEAD"], 1_000)
    base = "" if said is None else said.decode("ascii", "replace").strip()
    if _SHA.fullmatch(base):
        return f"{ref} ({'' if base == commit else 'where HEAD parted from it, '}commit {base[:12]})", base
    shallow = _git(beside, ["rev-parse", "--is-shallow-repository"], 100)
    if shallow is not None and shallow.strip() == b"true":
        raise BadInput(
            f"{ref} and HEAD have no commit in common in this shallow clone: fetch more history, like "
            "git fetch --unshallow, or a depth of 0 in the step that checks out"
        )
    raise BadInput(f"{ref} and HEAD have no commit in common: name a ref of the same history, or a folder")


def prefix(folder: str) -> str:
    """Path from the top of the git repository to a folder, with ``/`` at its end; blank at the top and outside one."""
    said = _git(folder, ["rev-parse", "--show-prefix"], 10_000)
    return "" if said is None else said.decode("utf-8", "surrogateescape").removesuffix("\n")


def _committed(name: str, beside: str, commit: str) -> Held:
    top = prefix(beside)
    wanted = [top + path for path in (*_TOP_FILES, *_TOP_FOLDERS)]
    listing = _git(beside, ["ls-tree", "-r", "-z", "-l", "--full-tree", commit, "--", *wanted], 20 * 2**20)
    if listing is None:
        raise BadPackage(f"{name}: git cannot list its files, or they are too many")
    blobs: dict[str, str] = {}
    sizes: dict[str, int] = {}
    for line in listing.decode("utf-8", "surrogateescape").split("\0"):
        if not line:
            continue
        about, _, full = line.partition("\t")
        mode, _, sha, size = about.split()
        path = full[len(top) :]
        if not _wanted(path):
            continue
        if mode not in ("100644", "100755"):
            raise BadPackage(f"{name}: {path} is a link: put the file itself in its place")
        blobs[path], sizes[path] = sha, int(size)
    if len(sizes) > MOST_FILES:
        raise BadPackage(f"{name} holds {len(sizes):,} files; more than {MOST_FILES:,} are not read")
    _bounded(name, sizes)
    return Held(_blobs(name, beside, blobs, sizes))


def _blobs(name: str, beside: str, blobs: Mapping[str, str], sizes: Mapping[str, int]) -> dict[str, bytes]:
    most = sum(sizes.values()) + 200 * len(sizes) + 1_000
    asked = "".join(f"{sha}\n" for sha in blobs.values()).encode()
    told = _git(beside, ["cat-file", "--batch"], most, asked)
    contents: dict[str, bytes] = {}
    at = 0
    for path, sha in blobs.items():
        header = f"{sha} blob {sizes[path]}\n".encode()
        if told is None or not told.startswith(header, at):
            raise BadPackage(f"{name}: git cannot read {path}")
        start = at + len(header)
        contents[path] = told[start : start + sizes[path]]
        at = start + sizes[path] + 1
    return contents


def _git(beside: str, words: list[str], most: int, asked: bytes = b"") -> bytes | None:
    """Ask git, without its hooks, pagers or the caller's GIT_ variables; None where it fails or says too much."""
    environment = {name: value for name, value in os.environ.items() if not name.startswith("GIT_")}
    environment |= {"GIT_OPTIONAL_LOCKS": "0", "GIT_TERMINAL_PROMPT": "0", "GIT_NO_REPLACE_OBJECTS": "1", "LC_ALL": "C"}
    try:
        process = subprocess.Popen(
            ["git", "--no-pager", "-c", "core.fsmonitor=false", "-C", beside, *words],
            stdin=subprocess.PIPE,
            stdout=subprocess.PIPE,
            stderr=subprocess.DEVNULL,
            env=environment,
        )
    except OSError:
        return None
    assert process.stdin is not None and process.stdout is not None
    patience = threading.Timer(_GIT_PATIENCE_S, process.kill)
    asking = threading.Thread(target=_ask, args=(process.stdin, asked), daemon=True)
    patience.start()
    asking.start()
    try:
        told = process.stdout.read(most + 1)
        if len(told) > most:
            process.kill()
            return None
        return told if process.wait() == 0 else None
    finally:
        patience.cancel()
        process.stdout.close()
        process.wait()


def _ask(stdin: IO[bytes], asked: bytes) -> None:
    try:
        stdin.write(asked)
        stdin.close()
    except OSError:  # git stopped early; its silence is noticed where its answer is read
        pass
