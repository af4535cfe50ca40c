"""The keys of a job file that say what there is to cut from, and what time costs."""

from __future__ import annotations

from dryfit.jobfile.key import Key, Kind, Table
from dryfit.model.sheets import SheetGrain

THINNEST = 0.01
"""The smallest size that is read. [mm]"""

MOST_SHEETS = 1000
"""The most sheets of one kind in hand. [-]"""

_MONEY = 1e7

STOCK_KEYS = (
    Key(
        "sheet", Kind.PAIR, "length and width of a sheet as it is bought", "[1220, 610]",
        default="none can be bought", low=THINNEST,
    ),
    Key(
        "price", Kind.NUMBER, "what such a sheet costs", "32.5", default="not reckoned",
        high=_MONEY,
    ),
    Key(
        "sheet_grain", Kind.WORD, "which way the grain of its sheets runs", '"across"',
        default="along their length; none where the material has none", words=tuple(SheetGrain),
    ),
)  # fmt: skip
"""Keys of a stock beside those that say what it is."""

SHEET = Table(
    "sheet",
    "A sheet or an offcut in hand, under a name of your own, the oldest first; used before any is "
    "bought. Places on it are measured from its lower left corner, its length to the right.",
    (
        Key("stock", Kind.TEXT, "the stock it is of", '"walls"'),
        Key("size", Kind.PAIR, "its length and width", "[600, 400]", low=THINNEST),
        Key("count", Kind.COUNT, "how many such there are", "2", default="1", low=1,
            high=MOST_SHEETS),
        Key("grain", Kind.WORD, "which way its grain runs", '"across"', default="as its stock's",
            words=(SheetGrain.ALONG.value, SheetGrain.ACROSS.value)),
        Key("defects", Kind.RECTANGLES, "places that no part may touch", "[[100, 50, 160, 90]]",
            default="none"),
    ),
    named="sheet",
)  # fmt: skip

LAYOUT = Table(
    "layout",
    "How the parts are laid on their sheets.",
    (
        Key("spacing", Kind.LENGTH, "least distance between two parts", "6",
            default="the cutter and 2 mm; laser 1 mm, saw 0, by hand 3 mm", high=200),
        Key("margin", Kind.LENGTH, "least distance from edges, clamps and defects", "10",
            default="5 mm", high=500),
        Key("travel", Kind.PAIR, "how far the machine reaches along and across a sheet",
            "[800, 600]", default="as far as any sheet", low=10),
        Key("clamps", Kind.RECTANGLES, "places on every sheet where clamps stand",
            "[[0, 0, 60, 40]]", default="none"),
        Key("straight", Kind.FLAG, "whether every cut runs straight through the sheet", "true",
            default="true on a saw, else false"),
        Key("matched", Kind.NAMES,
            "panels cut one behind the other, so that the figure runs round the corners",
            '["front", "right", "back", "left"]', default="none"),
    ),
)  # fmt: skip

LOCK = Table(
    "lock",
    "A panel that you put in its place on a sheet yourself.",
    (
        Key("sheet", Kind.TEXT, "the sheet: its name, or that of a stock for one to be bought",
            '"walls"'),
        Key("at", Kind.PAIR, "lower left corner of the box round it, as it lies", "[10, 10]"),
        Key("quarter_turns", Kind.COUNT, "quarter turns to the left from its drawing", "1",
            default="0", low=0, high=3),
        Key("number", Kind.COUNT, "which of several such sheets", "2", default="1", low=1,
            high=MOST_SHEETS),
        Key("piece", Kind.COUNT, "which of several pieces it belongs to", "2", default="1", low=1,
            high=10_000),
    ),
    named="panel",
)  # fmt: skip

COSTS = Table(
    "costs",
    "What time and tools cost you, for the quote.",
    (
        Key("currency", Kind.TEXT, "what your money is called", '"EUR"', default="none"),
        Key("bench_rate", Kind.NUMBER, "an hour at the bench", "45", default="0", high=_MONEY),
        Key("bench_minutes", Kind.NUMBER, "minutes at the bench for one piece", "90", default="0",
            high=_MONEY),
        Key("machine_rate", Kind.NUMBER, "an hour at the machine", "30", default="0", high=_MONEY),
        Key("sheet_minutes", Kind.NUMBER, "minutes to fix a sheet and to take it away", "10",
            default="0", high=_MONEY),
        Key("feed", Kind.LENGTH, "how far the machine cuts in a minute", "1200",
            default="its time is not reckoned"),
        Key("passes", Kind.COUNT, "passes to cut through", "3", default="1", low=1, high=100),
        Key("cutter_price", Kind.NUMBER, "price of a cutter", "18", default="0", high=_MONEY),
        Key("cutter_life", Kind.NUMBER, "metres it cuts before it is worn", "600",
            default="wear is not reckoned", high=_MONEY),
    ),
)  # fmt: skip
