"""A program that writes to a shop book until it is killed, for tests.

``python -m tests.helpers.book_writer BOOK`` forks a writer for each line it reads, says ``pid N``
of it, and ``gone`` once it is no more. The writer opens the book, enters one comb after the other,
and says ``has UID`` after each, as soon as the book has said that it is in. ``write N`` as the line
makes a writer that stops by itself after so many, ``begin N`` one that writes to a book of its own,
BOOK.N.
"""

from __future__ import annotations

import os
import sys
from datetime import UTC, datetime
from itertools import count
from pathlib import Path

from dryfit.shopbook.book import Book
from dryfit.shopbook.records import CombRecord, SocketResult

AT = datetime(2026, 11, 25, tzinfo=UTC)
SOCKETS = 12


def comb(mark: str) -> CombRecord:
    """A comb that can be told from others and whose rows are many."""
    results = tuple(SocketResult(0.01 * k, "by hand", k + 1) for k in range(SOCKETS))
    return CombRecord("router 3.175 mm", "birch plywood", results, note=mark * 20)


def _say(words: str) -> None:
    # One write of a short line to a pipe is never torn.
    os.write(1, f"{words}\n".encode())


def _write(path: Path, name: str, most: int) -> None:
    with Book.open(path) as book:
        for number in count():
            if number == most:
                return
            uid = f"{name}-{number}"
            book.add(comb(uid), AT, uid=uid)
            _say(f"has {uid}")


def main(path: Path) -> None:
    """Serve until the input ends."""
    for number, line in enumerate(sys.stdin):
        word, _, rest = line.strip().partition(" ")
        most = int(rest) if word == "write" else -1
        book = path.with_name(f"{path.name}.{rest}") if word == "begin" else path
        child = os.fork()
        if child == 0:
            code = 1
            try:
                _write(book, f"{os.getpid()}-{number}", most)
                code = 0
            finally:
                os._exit(code)
        _say(f"pid {child}")
        os.waitpid(child, 0)
        _say("gone")


if __name__ == "__main__":
    main(Path(sys.argv[1]))
