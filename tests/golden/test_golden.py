"""What is written today is what was written before; `make.py` beside this says how to renew it."""

from __future__ import annotations

import pytest

from tests.golden.make import FOLDER, golden

NOW = golden()


@pytest.mark.parametrize("name", NOW)
def test_the_file_is_as_it_was(name: str) -> None:
    assert NOW[name].decode("utf-8").splitlines() == _kept(name).decode("utf-8").splitlines()
    assert NOW[name] == _kept(name)


def _kept(name: str) -> bytes:
    return (FOLDER / name).read_bytes()
