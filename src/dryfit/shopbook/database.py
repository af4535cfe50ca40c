"""The file under the shop book, and the door to SQLite.

It is kept in write-ahead mode: what was committed has been flushed to the disk before the caller
hears of it, and what was not is not there, whatever stops the program [1]_. Writers take turns.

References
----------
.. [1] SQLite, Write-Ahead Logging, and PRAGMA synchronous, section FULL (from memory).
"""

from __future__ import annotations

import sqlite3
import time
from contextlib import contextmanager
from typing import TYPE_CHECKING, Any

from dryfit.errors import BookError
from dryfit.shopbook.schema import APPLICATION, MIGRATIONS

if TYPE_CHECKING:
    from collections.abc import Iterator, Sequence
    from pathlib import Path

PATIENCE = 20.0
"""How long one writer waits for another. [s]"""

_MAGIC = b"SQLite format 3\0"
_OTHER = "choose another file with --book"


class Database:
    """An open shop book file.

    Parameters
    ----------
    path : Path
        The file; it and its folder are made where they are missing and `create` is set.
    create : bool
        Whether a missing file is begun.
    migrations : sequence of sequence of str
        Statements from each schema number to the next.

    Raises
    ------
    BookError
        If the file is missing, is no shop book, is newer than this program or cannot be used.
    """

    def __init__(
        self,
        path: Path,
        *,
        create: bool = True,
        migrations: Sequence[Sequence[str]] = MIGRATIONS,
    ) -> None:
        self._path = path
        self._look_at(path, create)
        with self._told():
            # Transactions are begun and ended here, not by the library.
            self._connection = sqlite3.connect(path, timeout=PATIENCE, isolation_level=None)
        try:
            self._begin(migrations)
        except BaseException:
            self._connection.close()
            raise

    def close(self) -> None:
        """Let go of the file."""
        self._connection.close()

    def rows(self, statement: str, values: Sequence[object] = ()) -> list[tuple[Any, ...]]:
        """What a statement finds."""
        with self._told():
            return self._connection.execute(statement, values).fetchall()

    def insert(self, statement: str, values: Sequence[object]) -> int:
        """The id of a new row; to be called within `writing`."""
        with self._told():
            return int(self._connection.execute(statement, values).lastrowid or 0)

    @contextmanager
    def writing(self) -> Iterator[None]:
        """All that is written inside, or nothing; other writers wait."""
        with self._told():
            self._connection.execute("BEGIN IMMEDIATE")
        try:
            yield
            with self._told():
                self._connection.execute("COMMIT")
        except BaseException:
            if self._connection.in_transaction:
                self._connection.execute("ROLLBACK")
            raise

    @contextmanager
    def reading(self) -> Iterator[None]:
        """One state of the book for all that is read inside."""
        with self._told():
            self._connection.execute("BEGIN")
        try:
            yield
        finally:
            self._connection.execute("ROLLBACK")

    @property
    def schema(self) -> int:
        """The number of its schema."""
        return int(self.rows("PRAGMA user_version")[0][0])

    def _look_at(self, path: Path, create: bool) -> None:
        """Refuse what is plainly no book before SQLite is asked to open it."""
        try:
            if path.is_dir():
                raise BookError(f"{path} is a folder, not a shop book; {_OTHER}.")
            if not path.exists():
                if not create:
                    raise BookError(
                        f"There is no shop book at {path} yet; dryfit book add begins one."
                    )
                path.parent.mkdir(parents=True, exist_ok=True)
                return
            with path.open("rb") as stream:
                start = stream.read(len(_MAGIC))
        except OSError as trouble:
            raise BookError(
                f"The shop book {path} cannot be opened: {trouble.strerror or trouble}; {_OTHER}."
            ) from trouble
        if start and start != _MAGIC:
            raise BookError(f"{path} is no shop book; {_OTHER}.")

    def _begin(self, migrations: Sequence[Sequence[str]]) -> None:
        self._refuse_strangers(len(migrations))
        self._go_ahead()
        with self._told():
            self._connection.execute("PRAGMA synchronous = FULL")
            self._connection.execute("PRAGMA foreign_keys = ON")
        if self.schema < len(migrations):
            self._migrate(migrations)

    def _refuse_strangers(self, newest: int) -> None:
        """Refuse another program's file and a younger program's book."""
        mark = int(self.rows("PRAGMA application_id")[0][0])
        empty = not self.rows("SELECT 1 FROM sqlite_master LIMIT 1")
        if mark != APPLICATION and not (empty and mark == 0 and self.schema == 0):
            raise BookError(f"{self._path} belongs to another program; {_OTHER}.")
        if self.schema > newest:
            raise BookError(
                f"{self._path} has schema {self.schema}, and this dryfit knows {newest} at most; "
                "bring dryfit up to date."
            )

    def _go_ahead(self) -> None:
        """Turn to write-ahead mode; of several that begin a book at once, all but one wait."""
        if self.rows("PRAGMA journal_mode")[0][0] == "wal":
            return
        for _ in range(int(PATIENCE / 0.05)):
            try:
                self._connection.execute("PRAGMA journal_mode = WAL")
            except sqlite3.OperationalError as trouble:
                if trouble.sqlite_errorcode & 0xFF != sqlite3.SQLITE_BUSY:
                    raise BookError(self._sentence(trouble)) from trouble
                time.sleep(0.05)  # the library does not wait here as it does elsewhere
            else:
                return

    def _migrate(self, migrations: Sequence[Sequence[str]]) -> None:
        """Bring the schema up to date, all or nothing."""
        with self.writing(), self._told():
            # Another may have done it while this one waited.
            for number in range(self.schema, len(migrations)):
                for statement in migrations[number]:
                    self._connection.execute(statement)
                self._connection.execute(f"PRAGMA user_version = {number + 1}")
            self._connection.execute(f"PRAGMA application_id = {APPLICATION}")

    @contextmanager
    def _told(self) -> Iterator[None]:
        """Trouble of the library as a sentence of ours."""
        try:
            yield
        except sqlite3.Error as trouble:
            raise BookError(self._sentence(trouble)) from trouble

    def _sentence(self, trouble: sqlite3.Error) -> str:
        code = getattr(trouble, "sqlite_errorcode", 0) & 0xFF
        known = {
            sqlite3.SQLITE_BUSY: (
                f"The shop book {self._path} has been written to by another program for "
                f"{PATIENCE:g} s; try again"
            ),
            sqlite3.SQLITE_NOTADB: f"{self._path} is no shop book; {_OTHER}",
            sqlite3.SQLITE_CORRUPT: (
                f"The shop book {self._path} is damaged; put back a copy, or {_OTHER} and read in "
                "what was exported"
            ),
            sqlite3.SQLITE_FULL: f"No room left on the disk for {self._path}; free some space",
            sqlite3.SQLITE_READONLY: (
                f"The shop book {self._path} may not be written to; change its permissions, or "
                f"{_OTHER}"
            ),
        }
        return (
            known.get(code, f"The shop book {self._path} cannot be used ({trouble}); {_OTHER}")
            + "."
        )
