"""An independent checker of layouts: it reads what is printed and knows nothing of the layout room.

It takes the outlines as they are really cut, puts them where the JSON says, and measures with a
general geometry library: each part as often as asked, on the sheet, clear of edges, clamps,
defects and every other part, along the grain, the good faces on one side, and no more sheets in
hand than there are.
"""

from __future__ import annotations

import math
from collections import Counter, defaultdict
from itertools import combinations
from typing import TYPE_CHECKING, Any

import shapely
from shapely import affinity

if TYPE_CHECKING:
    from collections.abc import Iterator, Mapping, Sequence

    from dryfit.model.sheets import Supply
    from dryfit.parts.part import Part
    from dryfit.shapes.profile import Loop

SLACK = 0.025
"""What a distance may lack: places are rounded to 0.01 mm, arcs are measured by chords. [mm]"""


def _ring(loop: Loop) -> list[tuple[float, float]]:
    """Points along a loop, an arc every 6 degrees."""
    points: list[tuple[float, float]] = []
    rows = loop.vertices.tolist()
    for (x0, y0, bulge), (x1, y1, _) in zip(rows, [*rows[1:], rows[0]], strict=True):
        points.append((x0, y0))
        if not bulge:
            continue
        angle = 4 * math.atan(bulge)
        middle = complex(x0 + x1, y0 + y1) / 2
        chord = complex(x1 - x0, y1 - y0)
        centre = middle + 1j * chord / 2 / math.tan(angle / 2)
        steps = max(2, math.ceil(abs(angle) / math.radians(6)))
        spoke = complex(x0, y0) - centre
        for k in range(1, steps):
            turned = centre + spoke * complex(
                math.cos(angle * k / steps), math.sin(angle * k / steps)
            )
            points.append((turned.real, turned.imag))
    return points


def _lying(part: Part, placed: Mapping[str, Any]) -> shapely.Polygon:
    """The part as cut, where and how it lies."""
    drawn, cut = (shapely.Polygon(_ring(p.outer)) for p in (part.profile, part.as_cut))
    moved = []
    for shape in (drawn, cut):
        seen = affinity.scale(shape, -1, 1, origin=(0, 0)) if placed["face_up"] == "a" else shape
        moved.append(affinity.rotate(seen, 90 * placed["quarter_turns"], origin=(0, 0)))
    low_x, low_y, _, _ = moved[0].bounds
    return affinity.translate(moved[1], placed["x_mm"] - low_x, placed["y_mm"] - low_y)


def wrongs(
    data: Mapping[str, Any],
    parts: Mapping[int, Sequence[Part]],
    times: Mapping[int, int],
    supply: Supply,
) -> list[str]:
    """Everything that is wrong with a layout, one sentence each.

    `parts` and `times` go by the number of the job, from 1.
    """
    found = list(_counts(data, parts, times, supply))
    known = {(job, part.name): part for job, own in parts.items() for part in own}
    sides: dict[str, set[bool]] = defaultdict(set)
    for stock in data["stocks"]:
        for laid in stock["sheets"]:
            own = [(p, known[p["job"], p["part"]]) for p in laid["placed"]]
            found += _sheet(laid, own, supply)
            for placed, part in own:
                if part.panel.good_face is not None:
                    sides[stock["stock"]].add(placed["face_up"] == part.panel.good_face.value)
    found += [f"{stock}: good faces on both sides" for stock, own in sides.items() if len(own) > 1]
    return found


def _counts(
    data: Mapping[str, Any],
    parts: Mapping[int, Sequence[Part]],
    times: Mapping[int, int],
    supply: Supply,
) -> Iterator[str]:
    wanted = Counter(
        {
            (job, p.name, n + 1): 1
            for job, own in parts.items()
            for p in own
            for n in range(times[job])
        }
    )
    laid = Counter(
        (p["job"], p["part"], p["piece"])
        for stock in data["stocks"]
        for sheet in stock["sheets"]
        for p in sheet["placed"]
    )
    open_ = [name for stock in data["stocks"] for name in stock["unplaced"]]
    bare = set(data["without_sheets"])
    missing = [k for k in wanted - laid if _stock(parts, k) not in bare]
    if laid - wanted:
        yield f"laid too often: {dict(laid - wanted)}"
    if len(missing) != sum(len(name.split(" + ")) for name in open_):
        yield f"{len(missing)} parts are missing, and {open_} are said to be"
    used = Counter(s["sheet"] for stock in data["stocks"] for s in stock["sheets"])
    for sheet in supply.sheets:
        if sheet.count is not None and used[sheet.name] > sheet.count:
            yield f"{used[sheet.name]} of {sheet.name} used, {sheet.count} in hand"


def _stock(parts: Mapping[int, Sequence[Part]], key: tuple[int, str, int]) -> str:
    return next(p.panel.stock.name for p in parts[key[0]] if p.name == key[1])


def _sheet(
    laid: Mapping[str, Any], own: Sequence[tuple[Mapping[str, Any], Part]], supply: Supply
) -> Iterator[str]:
    sheet = next(s for s in supply.sheets if s.name == laid["sheet"])
    rules = supply.rules
    shapes = [_lying(part, placed) for placed, part in own]
    names = [f"{p['part']} {p['piece']} on {laid['name']}" for p, _ in own]
    inside = shapely.box(
        rules.margin, rules.margin, sheet.length - rules.margin, sheet.width - rules.margin
    ).buffer(SLACK)
    places = [shapely.box(*place) for place in (*sheet.defects, *rules.clamps)]
    for name, shape, (placed, part) in zip(names, shapes, own, strict=True):
        if not shape.is_valid or not inside.covers(shape):
            yield f"{name} leaves its sheet"
        if any(shape.distance(place) < rules.margin - SLACK for place in places):
            yield f"{name} comes too near to a defect or a clamp"
        if part.panel.stock.name != sheet.stock:
            yield f"{name} is of another stock"
        yield from _along(name, placed, part, sheet.grain.value)
        if rules.travel and not _in_one_setting(shape.bounds, rules.travel):
            yield f"{name} lies across two settings"
    for (one, a), (other, b) in combinations(zip(names, shapes, strict=True), 2):
        if a.distance(b) < rules.spacing - SLACK:
            yield f"{one} and {other} are {a.distance(b):.3f} mm apart"
    if rules.guillotine and not straight([s.bounds for s in shapes], rules.spacing):
        yield f"{laid['name']} cannot be cut straight through"


def _in_one_setting(bounds: tuple[float, float, float, float], travel: tuple[float, float]) -> bool:
    """Whether a part lies within the machine's reach without the sheet being moved on."""
    return all(
        math.floor((bounds[axis] + SLACK) / reach) == math.floor((bounds[axis + 2] - SLACK) / reach)
        for axis, reach in enumerate(travel)
    )


def _along(name: str, placed: Mapping[str, Any], part: Part, grain: str) -> Iterator[str]:
    """Whether the grain of the part runs with that of the sheet."""
    own = part.panel.grain.value
    if own == "free" or grain == "none":
        return
    runs_in_x = (own == "u") == (placed["quarter_turns"] % 2 == 0)
    if runs_in_x != (grain == "along"):
        yield f"{name} lies across the grain"


def straight(boxes: Sequence[tuple[float, float, float, float]], gap: float) -> bool:
    """Whether boxes come apart by cuts that run straight through, each at least `gap` [mm] wide."""
    if len(boxes) < 2:
        return True
    for axis in (0, 1):
        ordered = sorted(boxes, key=lambda box: box[axis])
        reach = -math.inf
        for k, box in enumerate(ordered):
            if k and box[axis] - reach >= gap - SLACK:
                return straight(ordered[:k], gap) and straight(ordered[k:], gap)
            reach = max(reach, box[axis + 2])
    return False
