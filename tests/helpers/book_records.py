"""Records for tests of the shop book: one of each kind, and any that Hypothesis thinks of."""

from __future__ import annotations

from datetime import UTC, datetime

from hypothesis import strategies as st

from dryfit.shopbook.records import (
    GRADES,
    PARTS,
    ROUTES,
    CombRecord,
    CutterRecord,
    JobRecord,
    Kind,
    MachineRecord,
    Record,
    SocketResult,
    StockRecord,
    WidthRecord,
)

DAY = datetime(2026, 11, 25, tzinfo=UTC)

COMB = CombRecord(
    "router 3.175 mm",
    "birch plywood",
    (SocketResult(0.05, "by hand", 1), SocketResult(0.1, "loose")),
)
SAMPLES: dict[Kind, Record] = {
    Kind.MACHINE: MachineRecord("the small router", "router"),
    Kind.CUTTER: CutterRecord("router 3.175 mm", "two flutes"),
    Kind.STOCK: StockRecord("walls", "birch plywood", 9.0, (8.78, 8.81)),
    Kind.COMB: COMB,
    Kind.WIDTH: WidthRecord("router 3.175 mm", "birch plywood", "finger", 10.0, (10.02, 10.04)),
    Kind.JOB: JobRecord("Type tray", "router 3.175 mm", "birch plywood", 0.05, "by hand"),
}

ATTACKS = (
    "'; DROP TABLE entries; --", '"; DELETE FROM combs', "=cmd|' /C calc'!A0", "../../etc/passwd",
    ") M3", "<script>", "\u202eevil", "𝄞 Kästchen für Ωmega", "工具箱", "a\\x00b", "%s%n{0}",
    "\ufeffx",
)  # fmt: skip
"""Names that were troublesome somewhere."""

NAMES = st.sampled_from(ATTACKS) | st.text(
    st.characters(exclude_categories=("Cc", "Cs", "Zl", "Zp")), min_size=1, max_size=40
).filter(lambda name: bool(name.strip()))
NOTES = st.just("") | st.text(st.characters(exclude_categories=["Cs"]), max_size=40)
NUMBERS = st.floats(-1e5, 1e5)
LONG = st.floats(1e-9, 1e5)


def _few(values: st.SearchStrategy[float], least: int) -> st.SearchStrategy[tuple[float, ...]]:
    return st.lists(values, min_size=least, max_size=4).map(tuple)


RESULTS = st.lists(
    st.tuples(NUMBERS, st.sampled_from(GRADES), st.booleans()), min_size=1, max_size=5
).map(
    lambda found: tuple(
        SocketResult(gap, grade, place if numbered else None)
        for place, (gap, grade, numbered) in enumerate(found, start=1)
    )
)
ANY: st.SearchStrategy[Record] = st.one_of(
    st.builds(MachineRecord, NAMES, st.sampled_from(ROUTES), NOTES),
    st.builds(CutterRecord, NAMES, NOTES),
    st.builds(StockRecord, NAMES, NAMES, LONG, _few(LONG, 0), NOTES),
    st.builds(CombRecord, NAMES, NAMES, RESULTS, st.just(False), st.integers(2, 20), NOTES),
    st.builds(CombRecord, NAMES, NAMES, RESULTS, st.just(True), st.just(2), NOTES),
    st.builds(
        WidthRecord, NAMES, NAMES, st.sampled_from(PARTS), LONG, _few(LONG, 1), st.floats(0, 1),
        NOTES,
    ),
    st.builds(JobRecord, NAMES, NAMES, NAMES, NUMBERS, st.sampled_from(GRADES), NOTES),
)  # fmt: skip
