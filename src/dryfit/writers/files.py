"""Files on disk: all of them or none, and nobody's work overwritten.

Every file is first written whole beside its place and flushed to the disk; only when all of them
stand are they renamed. A rename within one folder either happens or does not [1]_, so no reader
meets half a file, and a full disk leaves everything as it was.

References
----------
.. [1] IEEE Std 1003.1, rename(): the old and the new name never both fail to exist.
"""

from __future__ import annotations

import contextlib
import errno
import os
import tempfile
from pathlib import Path
from stat import S_IMODE
from typing import TYPE_CHECKING

from dryfit.errors import OutputError

if TYPE_CHECKING:
    from collections.abc import Mapping


def save(files: Mapping[str, bytes], folder: Path, *, force: bool = False) -> tuple[Path, ...]:
    """Write files into a folder, which is made where it is missing.

    Parameters
    ----------
    files : mapping of str to bytes
        Content under plain file names.
    folder : Path
        Where they go.
    force : bool
        Whether files of another content may be overwritten.

    Returns
    -------
    tuple of Path
        The files, in the order given.

    Raises
    ------
    OutputError
        If the folder cannot be made or written to, if a name is not a plain file name, if a file
        of another content exists and `force` is off, or if the disk is full. Nothing has been
        changed then, save where the last step, the renaming, fails half-way; the sentence says
        which files are new.
    """
    _refuse_odd_names(files)
    try:
        folder.mkdir(parents=True, exist_ok=True)
        due = {folder / name: data for name, data in files.items() if _differs(folder / name, data)}
    except OSError as trouble:
        raise OutputError(_sentence(trouble, folder)) from trouble
    _refuse_overwriting(due, force=force)
    _replace_all(due, folder)
    return tuple(folder / name for name in files)


def _refuse_odd_names(files: Mapping[str, bytes]) -> None:
    """Stop at a name that could lead out of the folder."""
    odd = [name for name in files if name in ("", ".", "..") or set(name) & set("/\\:\0")]
    if odd:
        raise OutputError(f"{odd[0]!r} is not a plain file name; leave out slashes and colons")


def _differs(path: Path, data: bytes) -> bool:
    """Whether the file is missing or holds something else; a folder of that name is an error."""
    if path.is_dir():
        raise IsADirectoryError(errno.EISDIR, os.strerror(errno.EISDIR), str(path))
    return not path.exists() or path.stat().st_size != len(data) or path.read_bytes() != data


def _refuse_overwriting(due: Mapping[Path, bytes], *, force: bool) -> None:
    """Stop before a file of another content is lost."""
    old = [path for path in due if path.exists()]
    if old and not force:
        more = f" and {len(old) - 1} more" if len(old) > 1 else ""
        raise OutputError(
            f"{old[0]}{more} already there, with another content; "
            "choose another folder or give --force to overwrite"
        )


def _replace_all(due: Mapping[Path, bytes], folder: Path) -> None:
    """Write all beside their places, then rename; leave no trace of a failure."""
    beside: dict[Path, Path] = {}
    done: list[str] = []
    try:
        for path, data in due.items():
            beside[path] = _write_beside(data, path)
        for path, temporary in beside.items():
            temporary.replace(path)
            done.append(path.name)
    except OSError as trouble:
        new = f"; already new: {', '.join(done)}" if done else ""
        raise OutputError(_sentence(trouble, folder) + new) from trouble
    finally:
        for temporary in beside.values():
            temporary.unlink(missing_ok=True)


def _write_beside(data: bytes, target: Path) -> Path:
    """A new file beside its place that holds the data and is flushed to the disk.

    It takes over the permissions of the file whose place it will take.
    """
    handle, name = tempfile.mkstemp(prefix=".dryfit-", dir=target.parent)
    path = Path(name)
    try:
        with os.fdopen(handle, "wb") as stream:
            stream.write(data)
            stream.flush()
            os.fsync(stream.fileno())
        path.chmod(S_IMODE(target.stat().st_mode) if target.exists() else 0o666 & ~_umask())
    except BaseException:
        with contextlib.suppress(OSError):
            path.unlink()
        raise
    return path


def _umask() -> int:
    """The permissions that new files are denied; reading them means setting them twice."""
    mask = os.umask(0)
    os.umask(mask)
    return mask


def _sentence(trouble: OSError, folder: Path) -> str:
    """What went wrong and the way out."""
    if trouble.errno in (errno.ENOSPC, errno.EDQUOT):
        return f"No room left on the disk for {folder}; free some space or choose another folder"
    if trouble.errno in (errno.EEXIST, errno.ENOTDIR):
        return f"{folder} is a file or lies inside one; choose another folder"
    if trouble.errno in (errno.EACCES, errno.EPERM, errno.EROFS):
        return f"{folder} may not be written to; choose another folder or change its permissions"
    if trouble.errno == errno.EISDIR:
        return f"{trouble.filename} is a folder where a file should go; choose another folder"
    return f"Cannot write into {folder}: {trouble.strerror or trouble}; choose another folder"
