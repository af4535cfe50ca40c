"""Jobs on the saw: which heights come out whole, and which boards can be stood and held."""

from __future__ import annotations

import pytest

from dryfit.findings import Severity
from dryfit.workflow import Rehearsal, read_text

FIVE = "readings = [8.76, 8.81, 8.74, 8.80, 8.79]"


def sawn(sizes: tuple[float, float, float], cutter: str, form: str = "ring") -> Rehearsal:
    return read_text(
        f'format = 1\n[piece]\nform = "{form}"\noutside = {list(sizes)}\n'
        f'[stock.ply]\nmaterial = "birch plywood"\nnominal = 9\n{FIVE}\n'
        f'[cutter]\nkind = "saw"\n{cutter}\n'
    )


def found(job: Rehearsal, code: str) -> list[Severity]:
    return [finding.severity for finding in job.findings if finding.code == code]


@pytest.mark.parametrize("height", [64.0, 70.0, 88.5, 100.0, 121.0])
@pytest.mark.parametrize("blade", [6.35, 9.5])
def test_at_the_heights_that_are_told_every_socket_is_one_pass(height: float, blade: float) -> None:
    job = sawn((330, 220, height), f"blade = {blade}")
    told = [finding for finding in job.findings if finding.code == "fingers-not-whole"]
    division = blade - 0.05
    off = min(abs(n * division - height) for n in range(3, 99, 2))
    assert bool(told) == (off > 0.3)
    for finding in told:
        heights = [n for name, n in finding.numbers.items() if name.startswith("whole")]
        assert heights
        for each in heights:
            after = sawn((330, 220, each), f"blade = {blade}")
            assert not found(after, "fingers-not-whole")
            assert not found(after, "saw-passes")


@pytest.mark.parametrize(
    ("length", "severity"),
    [(600, []), (601, [Severity.LOOK]), (1200, [Severity.LOOK]), (1201, [Severity.STOP])],
)
def test_a_board_on_end_is_told_of_by_its_height(length: float, severity: list[Severity]) -> None:
    assert found(sawn((length, 220, 70), "blade = 9.5", "pair"), "stands-tall") == severity


@pytest.mark.parametrize(
    ("side", "severity"),
    [(150, []), (149, [Severity.LOOK]), (75, [Severity.LOOK]), (74, [Severity.STOP])],
)
def test_a_small_board_is_told_of_by_its_longer_side(side: float, severity: list[Severity]) -> None:
    assert found(sawn((side, side, 60), "blade = 9.5"), "small-to-hold") == severity


def test_a_set_within_the_flank_gap_is_as_good_as_made() -> None:
    """Sockets of 10.05 mm, and blades that come to 10.10."""
    owned = "blade = 9.9\nouter = 3.2\nchippers = [3.2]\nshims = [{}]"
    near, far = (sawn((330, 220, 70), owned.format(shim)) for shim in (0.5, 0.3))
    assert near.joints[0].plan.width == 10.0
    assert not found(near, "set-misses")
    assert found(far, "set-misses") == [Severity.LOOK]
    (finding,) = (each for each in far.findings if each.code == "set-misses")
    assert finding.numbers["miss_mm"] == pytest.approx(-0.15)
    assert finding.mend is not None
    assert finding.mend.value == pytest.approx(0.15)


def test_a_hand_or_a_router_is_told_none_of_it() -> None:
    text = (
        'format = 1\n[piece]\nform = "pair"\noutside = [1300, 60, 60]\n'
        f'[stock.ply]\nmaterial = "birch plywood"\nnominal = 9\n{FIVE}\n[cutter]\nkind = "hand"\n'
    )
    codes = {finding.code for finding in read_text(text).findings}
    assert not codes & {"stands-tall", "small-to-hold", "set-misses", "fingers-not-whole"}
