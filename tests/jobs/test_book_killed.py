"""The shop book outlives its writers: killed at any moment, it loses and halves nothing."""

from __future__ import annotations

import os
import random
import signal
import sqlite3
import subprocess
import sys
import time
from contextlib import closing, contextmanager
from pathlib import Path
from typing import IO, TYPE_CHECKING

from dryfit.shopbook.book import Book
from tests.helpers.book_writer import AT, comb

if TYPE_CHECKING:
    from collections.abc import Iterator

ROOT = Path(__file__).parents[2]
KILLS = 200


@contextmanager
def writers(book: Path) -> Iterator[tuple[IO[str], IO[str]]]:
    """The program that forks writers: what it reads and what it says."""
    command = [sys.executable, "-m", "tests.helpers.book_writer", str(book)]
    with subprocess.Popen(
        command, stdin=subprocess.PIPE, stdout=subprocess.PIPE, text=True, cwd=ROOT
    ) as program:
        assert program.stdin is not None
        assert program.stdout is not None
        yield program.stdin, program.stdout
        program.stdin.close()
        assert program.wait(timeout=60) == 0


def order(stream: IO[str], words: str) -> None:
    stream.write(f"{words}\n")
    stream.flush()


def until_gone(said: IO[str]) -> list[str]:
    """The uids that a writer has said to be in the book."""
    lines = iter(said.readline, "gone\n")
    return [line.split()[1] for line in lines if line.startswith("has")]


def pace(orders: IO[str], said: IO[str], entries: int) -> float:
    """How long a writer takes here to begin and to enter so many. [s]"""
    start = time.monotonic()
    order(orders, f"write {entries}")
    assert len(until_gone(said)) == entries
    return time.monotonic() - start


def whole(path: Path) -> dict[str, bool]:
    """Every entry of the book by its uid, and whether it is as it was written."""
    with Book.open(path, create=False) as book:
        return {entry.uid: entry.record == comb(entry.uid) for entry in book.entries()}


def test_a_killed_writer_loses_no_entry_and_halves_none(tmp_path: Path) -> None:
    rng, path = random.Random(20), tmp_path / "book.sqlite"  # noqa: S311
    acknowledged: list[str] = []
    with writers(path) as (orders, said):
        usual = pace(orders, said, 4)
        for kill in range(KILLS):
            order(orders, "go")
            child = int(said.readline().split()[1])
            time.sleep(rng.uniform(0.0, 1.5 * usual))
            os.kill(child, signal.SIGKILL)
            acknowledged += until_gone(said)
            if kill % 50 == 49:
                found = whole(path)
                assert all(found.values())
                assert set(acknowledged) <= found.keys()
    # Killed in the thick of it, or this would show nothing.
    assert len(acknowledged) > KILLS
    with closing(sqlite3.connect(path)) as file:
        assert file.execute("PRAGMA integrity_check").fetchall() == [("ok",)]
        assert file.execute("PRAGMA foreign_key_check").fetchall() == []
        half = "SELECT count(*) FROM entries LEFT JOIN combs ON entry = id WHERE entry IS NULL"
        assert file.execute(half).fetchone() == (0,)


def test_a_book_whose_beginning_was_cut_short_is_begun_again(tmp_path: Path) -> None:
    rng, path = random.Random(21), tmp_path / "book.sqlite"  # noqa: S311
    bare = 0
    with writers(path) as (orders, said):
        usual = pace(orders, said, 2)
        for kill in range(60):
            order(orders, f"begin {kill}")
            child = int(said.readline().split()[1])
            time.sleep(rng.uniform(0.0, 2 * usual))
            os.kill(child, signal.SIGKILL)
            acknowledged = until_gone(said)
            own = path.with_name(f"{path.name}.{kill}")
            with Book.open(own) as book:
                bare += not book.entries()
                book.add(comb("after"), AT)
            found = whole(own)
            assert set(acknowledged) <= found.keys()
    assert 0 < bare < 60  # some were killed before their first entry was in, some after


def test_writers_at_once_begin_one_book_and_take_turns(tmp_path: Path) -> None:
    path, each, count = tmp_path / "book.sqlite", 40, 3
    with writers(path) as one, writers(path) as two, writers(path) as three:
        for orders, _ in (one, two, three):
            order(orders, f"write {each}")
        acknowledged = [uid for _, said in (one, two, three) for uid in until_gone(said)]
    assert len(set(acknowledged)) == count * each
    found = whole(path)
    assert found.keys() == set(acknowledged)
    assert all(found.values())
