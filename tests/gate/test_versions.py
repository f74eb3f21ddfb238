"""Versions are read from where they stand, and nothing that is not the package gets in."""

from __future__ import annotations

import os
import shutil
import subprocess
import zipfile
from pathlib import Path

import pytest

from stillroom.errors import BadInput, BadPackage
from stillroom.package.versions import Version, open_version

HOME = Path(__file__).resolve().parents[2]
TABLE = "schedules/vegetables.csv"


@pytest.fixture
def package(tmp_path: Path) -> Path:
    root = tmp_path / "package"
    for name in ("schedules", "shared", "schema"):
        shutil.copytree(HOME / name, root / name)
    shutil.copy(HOME / "datapackage.json", root)
    return root


def git(root: Path, *words: str) -> str:
    command = ["git", "-C", str(root), "-c", "user.name=a", "-c", "user.email=a@b.invalid", *words]
    return subprocess.run(command, check=True, capture_output=True, text=True).stdout.strip()


def committed(root: Path) -> str:
    git(root, "init", "-q", "-b", "main")
    git(root, "add", "-A")
    git(root, "commit", "-q", "-m", "first")
    return git(root, "rev-parse", "HEAD")


def zipped(root: Path, file: Path, top: str = "") -> Path:
    with zipfile.ZipFile(file, "w", zipfile.ZIP_DEFLATED) as archive:
        for path in sorted(root.rglob("*")):
            if path.is_file():
                archive.write(path, top + path.relative_to(root).as_posix())
    return file


def content(named: str, beside: Path) -> bytes | None:
    with open_version(named, str(beside)) as version:
        return version.read(TABLE)


def test_a_folder_a_commit_a_zip_and_a_wheel_of_the_same_data_read_alike(package: Path, tmp_path: Path) -> None:
    expected = (package / TABLE).read_bytes()
    commit = committed(package)
    for named in (
        str(package),
        commit,
        "main",
        "HEAD",
        str(zipped(package, tmp_path / "a.zip")),
        str(zipped(package, tmp_path / "b.zip", "stillroom-0.1.0/")),
        str(zipped(package, tmp_path / "c.whl", "stillroom/data/")),
    ):
        assert content(named, package) == expected


def test_a_commit_is_read_and_not_the_edited_folder(package: Path) -> None:
    committed(package)
    (package / TABLE).write_text("edited")
    assert content("HEAD", package) != b"edited"


def test_a_package_in_a_folder_of_its_repository_is_found_there(package: Path, tmp_path: Path) -> None:
    outer = tmp_path / "outer"
    (outer / "data").mkdir(parents=True)
    shutil.copytree(package, outer / "data" / "stillroom")
    committed(outer)
    assert content("main", outer / "data" / "stillroom") == (package / TABLE).read_bytes()
    with pytest.raises(BadInput, match=r"no datapackage\.json"):
        open_version("main", str(outer))


def test_what_git_attributes_hide_from_an_archive_is_still_compared(package: Path) -> None:
    (package / ".gitattributes").write_text("*.csv export-ignore\n")
    committed(package)
    assert content("HEAD", package) == (package / TABLE).read_bytes()


def test_a_folder_named_like_a_branch_does_not_pass_for_the_branch(
    package: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    committed(package)
    monkeypatch.chdir(package)
    shutil.copytree(package / "schedules", package / "main" / "schedules")
    shutil.copy(package / "datapackage.json", package / "main")
    with pytest.raises(BadInput, match="git ref and a path too"):
        open_version("main", ".")
    with open_version("./main", ".") as version:
        assert version.read("shared/jars.csv") is None


@pytest.mark.parametrize(
    "named", ["", "-h", "--upload-pack=x", "a\nb", "no-such-ref", "/no/such/path", "HEAD:schedules"]
)
def test_a_name_that_is_nothing_is_refused_in_one_line(package: Path, named: str) -> None:
    committed(package)
    with pytest.raises(BadInput) as caught:
        open_version(named, str(package))
    assert "\n" not in str(caught.value)


def test_git_variables_of_the_caller_do_not_lead_elsewhere(package: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    committed(package)
    monkeypatch.setenv("GIT_DIR", "/nowhere")
    monkeypatch.setenv("GIT_INDEX_FILE", "/nowhere")
    assert content("HEAD", package) == (package / TABLE).read_bytes()


def test_a_link_is_refused_in_a_folder_and_in_a_commit(package: Path) -> None:
    (package / TABLE).unlink()
    os.symlink("/etc/hostname", package / TABLE)
    with pytest.raises(BadPackage, match=r"vegetables\.csv is a symbolic link"):
        open_version(str(package), ".")
    committed(package)
    with pytest.raises(BadPackage, match="is a link"):
        open_version("HEAD", str(package))


def test_a_linked_folder_is_refused_and_one_beside_the_data_is_not_looked_at(package: Path, tmp_path: Path) -> None:
    os.symlink("/", package / "elsewhere")
    assert content(str(package), package)
    shutil.move(package / "shared", tmp_path / "shared")
    os.symlink(tmp_path / "shared", package / "shared")
    with pytest.raises(BadPackage, match="shared is a symbolic link"):
        open_version(str(package), ".")


@pytest.mark.parametrize("name", ["../datapackage.json", "/etc/x", "a/../../x", "a\\..\\x", "C:/x", "a//b"])
def test_a_zip_entry_that_points_outside_is_refused(package: Path, tmp_path: Path, name: str) -> None:
    file = zipped(package, tmp_path / "a.zip")
    with zipfile.ZipFile(file, "a") as archive:
        archive.writestr(name, "x")
    with pytest.raises(BadPackage, match="points outside"):
        open_version(str(file), ".")


def test_a_zip_entry_that_is_a_link_or_stands_twice_is_refused(package: Path, tmp_path: Path) -> None:
    link = zipfile.ZipInfo("schedules/more.csv")
    link.external_attr = 0o120777 << 16
    linked = zipped(package, tmp_path / "a.zip")
    with zipfile.ZipFile(linked, "a") as archive:
        archive.writestr(link, "/etc/hostname")
    with pytest.raises(BadPackage, match="symbolic link"):
        open_version(str(linked), ".")
    twice = zipped(package, tmp_path / "b.zip")
    with pytest.warns(UserWarning, match="Duplicate"), zipfile.ZipFile(twice, "a") as archive:
        archive.writestr(TABLE, "x")
    with pytest.raises(BadPackage, match="twice"):
        open_version(str(twice), ".")


def test_a_zip_with_two_packages_or_none_is_refused(package: Path, tmp_path: Path) -> None:
    both = zipped(package, tmp_path / "a.zip", "one/")
    with zipfile.ZipFile(both, "a") as archive:
        archive.writestr("two/datapackage.json", "{}")
    with pytest.raises(BadInput, match="more than one package"):
        open_version(str(both), ".")
    with zipfile.ZipFile(tmp_path / "b.zip", "w") as archive:
        archive.writestr("readme", "x")
    with pytest.raises(BadInput, match="not a version of the package"):
        open_version(str(tmp_path / "b.zip"), ".")


def test_a_file_that_is_no_zip_is_refused(tmp_path: Path) -> None:
    (tmp_path / "a.whl").write_bytes(b"PK\x03\x04 and then nothing")
    with pytest.raises(BadInput, match="neither a folder nor a readable zip"):
        open_version(str(tmp_path / "a.whl"), ".")


class _Lying:
    """Says that a file is small, and gives what it is asked for."""

    sizes = {"datapackage.json": 2, TABLE: 10}  # noqa: RUF012

    def read(self, path: str, most: int) -> bytes:
        return b"x" * most

    def close(self) -> None:
        """Nothing is held open."""


def test_a_file_is_never_read_past_its_bound_whatever_it_says_of_its_size() -> None:
    with pytest.raises(BadPackage, match="larger than 128 MB"):
        Version("lying", _Lying()).read(TABLE)
