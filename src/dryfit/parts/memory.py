"""A bounded memory of what has been worked out, by value.

It changes no answer, only how soon it comes: a key holds everything that its answer follows from.
"""

from __future__ import annotations

from itertools import islice
from typing import TYPE_CHECKING, Generic, TypeVar

if TYPE_CHECKING:
    from collections.abc import Callable, Hashable, Sequence

K = TypeVar("K", bound="Hashable")
V = TypeVar("V")


class Memory(Generic[K, V]):
    """Answers by their keys; when it is full, those not asked for longest go first.

    Parameters
    ----------
    most : int
        How many answers it keeps. [-]
    """

    def __init__(self, most: int) -> None:
        self.most = most
        self.known: dict[K, V] = {}

    def all_of(self, keys: Sequence[K], work_out: Callable[[list[int]], Sequence[V]]) -> list[V]:
        """The answers to some keys, the unknown ones worked out together.

        Parameters
        ----------
        keys : sequence
            What is asked.
        work_out : callable
            The answers to the keys at the given places.
        """
        answers = {key: self.known.pop(key) for key in keys if key in self.known}
        missing = [place for place, key in enumerate(keys) if key not in answers]
        if missing:
            found = work_out(missing)
            answers.update(
                (keys[place], answer) for place, answer in zip(missing, found, strict=True)
            )
        # Put back last, they are the newest.
        self.known.update(answers)
        for key in list(islice(self.known, max(len(self.known) - self.most, 0))):
            del self.known[key]
        return [answers[key] for key in keys]

    def cache_clear(self) -> None:
        """Forget everything."""
        self.known.clear()
