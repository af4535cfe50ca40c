from __future__ import annotations

import errno
import os
import tempfile
from pathlib import Path
from typing import NoReturn

import pytest

from dryfit.errors import OutputError
from dryfit.writers.files import save

FILES = {"a.svg": b"<svg/>", "b.dxf": b"0\nEOF\n"}


def content(folder: Path) -> dict[str, bytes]:
    return {path.name: path.read_bytes() for path in folder.iterdir()}


def test_files_are_written_into_a_new_folder(tmp_path: Path) -> None:
    folder = tmp_path / "deep" / "er"
    assert save(FILES, folder) == (folder / "a.svg", folder / "b.dxf")
    assert content(folder) == FILES


def test_new_files_have_the_usual_permissions(tmp_path: Path) -> None:
    (tmp_path / "usual").write_bytes(b"")
    save(FILES, tmp_path)
    assert (tmp_path / "a.svg").stat().st_mode == (tmp_path / "usual").stat().st_mode


def test_the_same_content_again_is_no_trouble(tmp_path: Path) -> None:
    save(FILES, tmp_path)
    before = (tmp_path / "a.svg").stat().st_mtime_ns
    save(FILES, tmp_path)
    assert (tmp_path / "a.svg").stat().st_mtime_ns == before


def test_a_file_of_another_content_is_kept_unless_forced(tmp_path: Path) -> None:
    (tmp_path / "b.dxf").write_bytes(b"mine")
    with pytest.raises(OutputError, match=r"b\.dxf already there, with another content; .*--force"):
        save(FILES, tmp_path)
    assert content(tmp_path) == {"b.dxf": b"mine"}
    save(FILES, tmp_path, force=True)
    assert content(tmp_path) == FILES


def test_a_folder_that_is_a_file(tmp_path: Path) -> None:
    (tmp_path / "file").write_bytes(b"mine")
    for folder in (tmp_path / "file", tmp_path / "file" / "under"):
        with pytest.raises(OutputError, match="is a file or lies inside one"):
            save(FILES, folder)
    assert content(tmp_path) == {"file": b"mine"}


def test_a_file_that_is_a_folder(tmp_path: Path) -> None:
    (tmp_path / "b.dxf").mkdir()
    with pytest.raises(OutputError, match="is a folder where a file should go"):
        save(FILES, tmp_path, force=True)
    assert [path.name for path in tmp_path.iterdir()] == ["b.dxf"]


@pytest.mark.parametrize("name", ["../x", "a/b", "a\\b", "", "..", "C:x", "a\0b"])
def test_a_name_that_leads_elsewhere(tmp_path: Path, name: str) -> None:
    with pytest.raises(OutputError, match="is not a plain file name"):
        save({name: b""}, tmp_path / "out")
    assert not list(tmp_path.iterdir())


@pytest.mark.parametrize(
    ("number", "words"),
    [
        (errno.ENOSPC, "No room left on the disk"),
        (errno.EACCES, "may not be written to"),
        (errno.EROFS, "may not be written to"),
        (errno.EIO, "Cannot write into"),
    ],
)
def test_trouble_while_writing_leaves_all_as_it_was(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch, number: int, words: str
) -> None:
    """The second file's flush fails, when the first is already on the disk."""
    (tmp_path / "a.svg").write_bytes(b"old")
    calls: list[int] = []

    def fsync(descriptor: int) -> None:
        calls.append(descriptor)
        if len(calls) == 2:
            raise OSError(number, os.strerror(number))

    monkeypatch.setattr(os, "fsync", fsync)
    with pytest.raises(OutputError, match=words) as caught:
        save(FILES, tmp_path, force=True)
    assert "choose another folder" in str(caught.value)
    assert len(calls) == 2
    assert content(tmp_path) == {"a.svg": b"old"}


def test_a_folder_that_may_not_be_written_to(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """Simulated, because an administrator may write anywhere."""

    def refuse(*_: object, **__: object) -> NoReturn:
        raise PermissionError(errno.EACCES, os.strerror(errno.EACCES))

    monkeypatch.setattr(tempfile, "mkstemp", refuse)
    with pytest.raises(OutputError, match="may not be written to; choose another folder"):
        save(FILES, tmp_path)
    assert not list(tmp_path.iterdir())


def test_trouble_while_renaming_says_what_is_new(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    replace = Path.replace

    def once(self: Path, target: Path) -> Path:
        if target.name == "b.dxf":
            raise OSError(errno.EIO, os.strerror(errno.EIO))
        return replace(self, target)

    monkeypatch.setattr(Path, "replace", once)
    with pytest.raises(OutputError, match=r"already new: a\.svg"):
        save(FILES, tmp_path)
    assert content(tmp_path) == {"a.svg": FILES["a.svg"]}


def test_interruption_leaves_no_temporary_file(
    tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    def interrupt(_: int) -> NoReturn:
        raise KeyboardInterrupt

    monkeypatch.setattr(os, "fsync", interrupt)
    with pytest.raises(KeyboardInterrupt):
        save(FILES, tmp_path)
    assert not list(tmp_path.iterdir())


def test_a_file_that_is_replaced_keeps_its_permissions(tmp_path: Path) -> None:
    old = tmp_path / "tray.toml"
    old.write_bytes(b"old")
    old.chmod(0o640)
    save({"tray.toml": b"new"}, tmp_path, force=True)
    assert old.read_bytes() == b"new"
    assert old.stat().st_mode & 0o777 == 0o640
