"""Files: what is opened and what is not, and a file that is replaced whole or not at all."""

from __future__ import annotations

import os
import socket
import time
from pathlib import Path

import pytest

from stillroom.package import files
from stillroom.package.files import Unread


def _refused(path: str, **asked: object) -> str:
    begun = time.monotonic()
    with pytest.raises(Unread) as refused:
        files.opened(path, **asked)  # type: ignore[arg-type]
    assert time.monotonic() - begun < 1
    return refused.value.kind


def test_a_pipe_a_device_a_folder_and_a_socket_are_refused_at_once(tmp_path: Path) -> None:
    os.mkfifo(tmp_path / "pipe")
    with socket.socket(socket.AF_UNIX) as listening:
        listening.bind(str(tmp_path / "socket"))
        for path in (tmp_path / "pipe", tmp_path / "socket", tmp_path, Path("/dev/zero"), Path("/dev/tty")):
            assert _refused(str(path)) in (files.SPECIAL, files.MISSING), path


def test_what_is_no_file_is_told_by_its_kind(tmp_path: Path) -> None:
    (tmp_path / "a").write_bytes(b"12345")
    os.symlink(tmp_path / "a", tmp_path / "link")
    os.symlink(tmp_path / "round", tmp_path / "round")
    assert _refused(str(tmp_path / "none")) == files.MISSING
    assert _refused(str(tmp_path / "a" / "b")) == files.ASTRAY
    assert _refused(str(tmp_path / "a\0b")) == files.ASTRAY
    assert _refused(str(tmp_path / "round")) == files.FAILED
    assert _refused(str(tmp_path / "link"), links=False) == files.LINK
    assert _refused(str(tmp_path / "a"), largest=4) == files.LARGE


def test_a_near_miss_is_opened_a_link_where_links_may_be_and_a_file_of_just_the_size(tmp_path: Path) -> None:
    (tmp_path / "a").write_bytes(b"12345")
    os.symlink(tmp_path / "a", tmp_path / "link")
    assert files.read(str(tmp_path / "link"), 5) == b"12345"
    with files.opened(str(tmp_path / "a"), largest=5, links=False) as file:
        assert file.read() == b"12345"


def test_a_file_that_grows_while_it_is_read_is_too_large(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> None:
    path = tmp_path / "a"
    path.write_bytes(b"12345")
    stamp = files._stamp

    def grown(file: object) -> files.Stamp:
        path.write_bytes(b"123456")
        return stamp(file)  # type: ignore[arg-type]

    monkeypatch.setattr(files, "_stamp", grown)
    with pytest.raises(Unread) as refused:
        files.read(str(path), 5)
    assert (refused.value.kind, refused.value.size) == (files.LARGE, None)


@pytest.mark.parametrize(
    "path", ["", " a", "a\n", "a\\b", "C:a", "file:a", "/a", "~/a", "../a", "a/../b", "a//b", "./a", "out/a"]
)
def test_a_path_that_leads_out_is_refused(tmp_path: Path, path: str) -> None:
    (tmp_path / "in").mkdir()
    os.symlink("/etc", tmp_path / "in" / "out")
    with pytest.raises(Unread) as refused:
        files.inside(str(tmp_path / "in"), path)
    assert refused.value.kind == files.OUTSIDE


def test_a_near_miss_leads_inside(tmp_path: Path) -> None:
    (tmp_path / "b").mkdir()
    os.symlink(tmp_path / "b", tmp_path / "a")
    for path in ("a", "a/b.csv", "..a", "a.b/c", "1:2"):
        assert files.inside(str(tmp_path), path) == str(tmp_path / path)


def test_a_hash_is_of_the_very_file_that_was_read(tmp_path: Path) -> None:
    path = tmp_path / "a"
    path.write_bytes(b"abc")
    _, stamp = files.stamped(str(path), 10)
    # FIPS 180-2, appendix B.1: the hash of "abc".
    assert files.sha256(str(path), stamp) == "ba7816bf8f01cfea414140de5dae2223b00361a396177a9cb410ff61f20015ad"
    path.write_bytes(b"abd")
    os.utime(path, ns=(0, 0))
    assert files.sha256(str(path), stamp) is None


def test_a_replaced_file_keeps_its_permissions_and_a_failure_leaves_it(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    path = tmp_path / "a"
    path.write_bytes(b"old")
    path.chmod(0o640)
    files.replace(str(path), b"new")
    assert (path.read_bytes(), path.stat().st_mode & 0o777) == (b"new", 0o640)

    def full(*_: object) -> None:
        raise OSError(28, "No space left on device")

    monkeypatch.setattr(os, "fsync", full)
    with pytest.raises(OSError, match="No space"):
        files.replace(str(path), b"newer")
    assert path.read_bytes() == b"new"
    assert [entry.name for entry in tmp_path.iterdir()] == ["a"]


def test_a_name_that_is_taken_is_not_given_again(tmp_path: Path) -> None:
    (tmp_path / "a").write_bytes(b"theirs")
    with files.unfinished(str(tmp_path), b"ours") as part:
        assert not files.placed(part, str(tmp_path / "a"))
        assert files.placed(part, str(tmp_path / "b"))
    assert {entry.name: entry.read_bytes() for entry in tmp_path.iterdir()} == {"a": b"theirs", "b": b"ours"}
