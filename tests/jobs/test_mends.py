"""Every mend, applied, makes its finding go away and brings no new stop.

The jobs below are bad on purpose, one or more for each code. A mend that only the maker's caliper
can carry out is carried out here as a maker would: by writing readings into the file.
"""

from __future__ import annotations

import pytest

from dryfit.checks.catalogue import CATALOGUE
from dryfit.checks.machine_rules import MACHINING
from dryfit.findings import Edit, Finding, JobValue, Mend, Severity
from dryfit.workflow import Rehearsal, mended, read_text
from tests.helpers.locked import LOCKED, pinwheel

_STOCK = """
[stock.ply]
material = "{material}"
nominal = {nominal}
{readings}
"""

_FIVE = "readings = [8.76, 8.81, 8.74, 8.80, 8.79]"


def job(
    piece: str,
    cutter: str,
    fingers: str = "",
    *,
    material: str = "birch plywood",
    nominal: str = "9",
    readings: str = _FIVE,
    more: str = "",
) -> str:
    stock = _STOCK.format(material=material, nominal=nominal, readings=readings)
    return (
        f'format = 1\ntitle = "Type tray"\n[piece]\n{piece}\n{stock}\n[cutter]\n{cutter}\n'
        f"[fingers]\n{fingers}\n{more}\n"
    )


TRAY = 'form = "tray"\noutside = [330, 220, 70]'
RING = 'form = "ring"\noutside = [330, 220, 70]'
CASE = 'form = "case"\noutside = [330, 220, 90]'
PAIR = 'form = "pair"\noutside = [330, 220, 70]'
DRAWER = 'form = "drawer"\noutside = [330, 220, 90]'
SHELVES = 'form = "case"\noutside = [330, 220, 170]\nopen = true\nshelves = 1'
SAW = 'kind = "saw"\nblade = 6'
BARE_SHELF = """
[plane.left]
x = 0
[plane.right]
x = 330
[plane.front]
y = 0
[plane.back]
y = 220
[plane.bottom]
z = 0
[plane.top]
z = 170
[plane.shelf]
between = ["bottom", "top"]
[panel.left]
on = "left"
[panel.right]
on = "right"
[panel.shelf]
on = "shelf"
"""
BARE_BOTTOM = '[panel.bottom]\non = "bottom"\n'
STANDING = """
[plane.left]
x = 0
[plane.right]
x = 500
[plane.front]
y = 0
[plane.back]
y = 300
[plane.bottom]
z = 0
[plane.top]
z = 550
[panel.left]
on = "left"
[panel.right]
on = "right"
[panel.bottom]
on = "bottom"
[panel.top]
on = "top"
"""
ROUTER = 'kind = "router"\ndiameter = 3.175\nrelief = "{}"'
FLANK, DIAGONAL, SHOULDER, NONE = (
    ROUTER.format(relief) for relief in ("flank", "diagonal", "shoulder", "none")
)
SIX = 'kind = "router"\ndiameter = 6\nrelief = "{}"'
SOLID = {"material": "oak", "nominal": "19", "readings": "readings = [19.0, 19.1, 18.9]"}

OAK = '[stock.oak]\nmaterial = "white oak"\nnominal = 12\nreadings = [12.0, 12.1, 11.9]\n'

JOBS = {
    "press fit too tight": job(TRAY, FLANK, "flank_gap = -0.2"),
    "press fit by hand": job(RING, 'kind = "hand"', "flank_gap = -0.1"),
    "acrylic on the laser": job(
        CASE, 'kind = "laser"\nkerf = 0.2', "flank_gap = 0", material="acrylic",
        nominal="3", readings="readings = [2.95, 3.0, 3.05]",
    ),
    "wide kerf": job(CASE, 'kind = "laser"\nkerf = 0.6', "flank_gap = 0"),
    "even count in a tray": job(TRAY, FLANK, "", more='[joint."front+left"]\ncount = 6'),
    "even counts in a case": job(CASE, FLANK, "count = 8"),
    "contradicting leads": job(
        CASE, FLANK, "",
        more='[joint."front+left"]\nleads = "left"\n[joint."left+base"]\nleads = "base"\n'
        '[joint."front+base"]\nleads = "front"\n',
    ),
    "one division": job(PAIR, FLANK, "count = 1"),
    "gaping": job(RING, FLANK, "flank_gap = 0.3"),
    "short corner, wide wish": job(
        'form = "ring"\noutside = [330, 220, 30]', FLANK, "width = 14"
    ),
    "not measured": job(TRAY, FLANK, readings=""),
    "one reading": job(TRAY, FLANK, readings="readings = [8.8]"),
    "no relief": job(TRAY, SIX.format("none"), "flank_gap = 0.1\nwidth = 14"),
    "no relief in a pair": job(PAIR, NONE),
    "sockets too narrow": job(TRAY, SIX.format("diagonal"), "width = 5"),
    "sockets too narrow for any count": job(
        'form = "ring"\noutside = [330, 220, 20]', 'kind = "router"\ndiameter = 8\nrelief = "flank"'
    ),
    "no neck": job(RING, SIX.format("flank"), "width = 6"),
    "thin neck": job(RING, SIX.format("flank"), "width = 7.5"),
    "thin neck, diagonal": job(
        RING, 'kind = "router"\ndiameter = 6.35\nrelief = "diagonal"', "width = 6.4"
    ),
    "corner on a thread": job(TRAY, FLANK, "width = 10"),
    "corner cut off": job(TRAY, ROUTER.format("flank").replace("3.175", "6.35"), "width = 10"),
    "thin fingers": job(RING, 'kind = "laser"\nkerf = 0.2', "width = 2.5"),
    "wide fingers": job(RING, FLANK, "width = 25"),
    "solid tray": job(TRAY, FLANK, **SOLID),
    "solid case": job(CASE, FLANK, **SOLID),
    "upright grain": job(RING, FLANK, more='[panel.front]\ngrain = "z"', **SOLID),
    "plywood walls, solid base": job(
        'form = "tray"\noutside = [330, 220, 70]\nstock = "ply"', FLANK,
        more='[stock.oak]\nmaterial = "oak"\nnominal = 12\nreadings = [12.0, 12.1, 11.9]\n'
        '[panel.base]\nstock = "oak"\n',
    ),
    "holes to see through": job(TRAY, DIAGONAL, "width = 14"),
    "holes at the shoulder": job(CASE, SHOULDER, "width = 14"),
    "holes, and fingers too slim to bite": job(RING, SIX.format("diagonal"), "width = 6"),
    "drawer on the laser": job(DRAWER, 'kind = "laser"\nkerf = 0.15', "width = 10"),
    "rebated back on the laser": job(
        'form = "case"\noutside = [330, 220, 170]\nopen = true\nback = "rebate"',
        'kind = "laser"\nkerf = 0.15', "width = 12",
    ),
    "tenons on the saw": job('tee = "tenon"', SAW, more=BARE_SHELF),
    "stopped on the saw": job("", SAW, more=BARE_SHELF + 'ends = "stopped"\nstop = 20\n'),
    "grooves run through": job(
        DRAWER, FLANK, "width = 10", more='[panel.base]\nends = "through"'
    ),
    "a deep groove": job(DRAWER, FLANK, "width = 10", more="[panel.base]\ndepth = 7"),
    "a thick cutter in a groove": job(
        DRAWER, 'kind = "router"\ndiameter = 8\nrelief = "diagonal"', "width = 18",
        more="[panel.base]\ndepth = 4.2",
    ),
    "a wide cutter in a thin shelf": job(
        SHELVES, 'kind = "router"\ndiameter = 10\nrelief = "diagonal"', "width = 22"
    ),
    "an opening in a joint": job(
        TRAY, FLANK, "width = 14", more='[opening.hole]\npanel = "front"\nat = [60, 64]\n'
        "size = [80, 20]\nradius = 10\n",
    ),
    "a hinge over a window": job(
        TRAY, FLANK, "width = 14", more='[opening.hole]\npanel = "front"\nat = [60, 40]\n'
        'size = [40, 20]\n[keep_out.hinge]\npanel = "front"\nat = [60, 45]\nsize = [20, 20]\n',
    ),
    "a round corner in the fingers": job(
        TRAY, FLANK, "width = 14",
        more='[corner.round]\npanel = "front"\nat = "top left"\nround = 12\n',
    ),
    "six walls": job('form = "many-sided tray"\nflats = 240\nheight = 60', FLANK, "width = 12"),
    "splayed walls": job(
        'form = "splayed tray"\noutside = [330, 220, 80]\nsplay = 20', FLANK, "width = 14"
    ),
    "left to the odds": job(RING, FLANK, 'flank_gap = "auto"'),
    "scatter beyond all air": job(RING, FLANK, more="[scatter]\nedge = 0.4"),
    "scatter that fewer closings forgive": job(
        RING, FLANK, more="[scatter]\nedge = 0.01\ndatum = 0.01\nscale = 7"
    ),
    "fingers left short": job(
        RING, FLANK, "proud = 0", readings="readings = [8.2, 8.8, 9.4]"
    ),
    "a wet board": job(
        RING, FLANK, more='[panel.front]\nmoisture = 9\n[panel.left]\nmoisture = 6\n', **SOLID
    ),
    "a cupped shelf": job(SHELVES, FLANK, "width = 14", more="[panel.shelf]\ncup = 60"),
    "woven dividers": LOCKED["woven dividers"],
    "a bottom that locks a pinwheel": LOCKED["a bottom on tenons"],
    "a pinwheel": pinwheel("tenon"),
    "glue that skins at once": job(RING, FLANK, more="[glue]\nopen = 2\nspread = 10\n"),
    "a solid base in a tray": job(
        'form = "tray"\noutside = [330, 220, 70]\nstock = "ply"', FLANK,
        more=f'{OAK}[panel.base]\nstock = "oak"\ngrain = "y"\n',
    ),
    "a whole tray of beech": job(
        TRAY, FLANK, material="beech", nominal="12", readings="readings = [12.0, 12.1, 11.9]"
    ),
    "a solid bottom in its grooves": job(
        'form = "chest"\noutside = [500, 400, 150]\ninset = 8\nstock = "ply"', FLANK,
        nominal="15", readings="readings = [14.9, 15.0, 15.1]",
        more=f'{OAK}[panel.base]\nstock = "oak"\n',
    ),
    "a wide bottom in thin walls": job(
        'form = "chest"\noutside = [700, 600, 150]\ninset = 8\nstock = "ply"', FLANK,
        more=f'{OAK}[panel.base]\nstock = "oak"\n',
    ),
    "a solid lid that slides": job(
        'form = "chest"\noutside = [500, 400, 150]\nlid = "sliding"\ninset = 8\nstock = "ply"',
        FLANK, nominal="15", readings="readings = [14.9, 15.0, 15.1]",
        more=f'{OAK}[panel.lid]\nstock = "oak"\ngrain = "y"\n',
    ),
    "a solid lip": job('form = "chest"\noutside = [500, 400, 150]\ninset = 8', FLANK, **SOLID),
    "a solid lid on cleats of sheet": job(
        'form = "chest"\noutside = [500, 400, 150]\nlid = "cleats"\ninset = 8\nstock = "ply"',
        FLANK, more=f'{OAK}[panel.lid]\nstock = "oak"\n',
    ),
    "a drawer without its season": job(
        'form = "drawer"\nopening = [330, 220, 140]\nseason = 0\ntop_clearance = 0.5', FLANK,
        **SOLID,
    ),
    "a drawer with its season": job(
        'form = "drawer"\nopening = [330, 220, 140]', FLANK, **SOLID
    ),
    "green wood": job(RING, FLANK, **SOLID | {"nominal": "19\nmoisture = 14"}),
    "wood from a damp shed": job(
        RING, FLANK, more="[season.cut]\nhumidity = 45\n",
        **SOLID | {"nominal": "19\nmoisture = 11"},
    ),
    "another sheet than it says": job(RING, FLANK, nominal="12"),
    "a rough sheet": job(
        RING, FLANK, readings="readings = [9.7, 9.8, 9.9]"
    ),
    "a corner that is not whole": job(RING, 'kind = "saw"\nblade = 9.5'),
    "a ring that is not whole, inside sizes": job(
        'form = "ring"\ninside = [312, 202, 70]', 'kind = "saw"\nblade = 9.5'
    ),
    "a set without its shims": job(
        RING, 'kind = "saw"\nblade = 9.8\nouter = 3.2\nchippers = [3.2]', "count = 7"
    ),
    "a tall board on the saw": job(
        'form = "pair"\noutside = [700, 220, 70]', 'kind = "saw"\nblade = 9.5', "count = 7"
    ),
    "a taller board on the saw": job(
        'form = "pair"\noutside = [1300, 220, 70]', 'kind = "saw"\nblade = 9.5', "count = 7"
    ),
    "small boards on the saw": job(
        'form = "ring"\noutside = [140, 70, 60]', 'kind = "saw"\nblade = 9.5'
    ),
    "nothing to cut from": job(
        TRAY, FLANK, 'flank_gap = "auto"',
        more='[stock.other]\nmaterial = "MDF"\nnominal = 9\nsheet = [1220, 610]\n',
    ).replace("[piece]\n", '[piece]\nstock = "ply"\n'),
    "an offcut that is too small": job(
        TRAY, FLANK, 'flank_gap = "auto"',
        more='[sheet.end]\nstock = "ply"\nsize = [500, 300]\n',
    ),
    "walls across the grain": job(
        TRAY, FLANK, 'flank_gap = "auto"',
        readings=_FIVE + "\nsheet = [1220, 300]\nprice = 20",
        more='[panel.front]\ngrain = "z"\n',
    ),
    "walls in too long a sequence": job(
        TRAY, FLANK, 'flank_gap = "auto"', readings=_FIVE + "\nsheet = [1000, 300]\nprice = 20",
        more='[layout]\nmatched = ["front", "right", "back", "left"]\n',
    ),
    "a lock over the edge, and no price": job(
        TRAY, FLANK, 'flank_gap = "auto"', readings=_FIVE + "\nsheet = [1220, 610]",
        more='[lock.front]\nsheet = "ply"\nat = [1000, 20]\n',
    ),
    "a few millimetres too many": job(
        RING, FLANK, 'flank_gap = "auto"', readings=_FIVE + "\nsheet = [1112, 80]\nprice = 9",
        more="[layout]\nmargin = 0\nspacing = 5.2\n",
    ),
    "two passes": job(RING, 'kind = "saw"\nblade = 6.35', "width = 10"),
    "a shelf of books": job(
        'form = "case"\noutside = [900, 300, 400]\nopen = true\nshelves = 1\nuse = "books"', FLANK,
        "width = 14", nominal="12", readings="readings = [11.9, 12.0, 12.1]",
    ),
    "shelves too long for any board": job(
        'form = "case"\noutside = [2300, 300, 400]\nopen = true\nshelves = 1\nuse = "books"',
        FLANK, "width = 20", material="MDF", nominal="18", readings="readings = [18.0, 18.1]",
        more="[load.shelf]\nweight = 600\n",
    ),
    "a drawer of tools": job(
        DRAWER + '\nstock = "ply"', FLANK, "width = 12",
        more='[stock.thin]\nmaterial = "birch plywood"\nnominal = 4\nreadings = [3.6, 3.7, 3.6]\n'
        '[panel.base]\nstock = "thin"\n[load.base]\nuse = "tools"\n',
    ),
    "an anvil in the middle of a shelf": job(
        "", FLANK, more=BARE_SHELF + '[load.shelf]\nweight = 900\nat = "middle"\nbrief = true\n'
        "limit = 1\n",
    ),
    "too heavy for any board": job(
        "", FLANK, more=BARE_SHELF + '[load.shelf]\nweight = "10000 lb"\n',
    ),
    "pushed from the side": job(TRAY, FLANK, "width = 14", more="[load.front]\nweight = 400\n"),
    "a shelf that is glued on": job(
        "", FLANK, more=BARE_SHELF + 'edges = "butt"\n' + BARE_BOTTOM
    ),
    "the same on the laser": job(
        "", 'kind = "laser"\nkerf = 0.15', more=BARE_SHELF + 'edges = "butt"\n' + BARE_BOTTOM
    ),
    "tall and open": job(
        'form = "case"\noutside = [500, 300, 1500]\nopen = true\nback = "none"\nshelves = 3',
        FLANK, "width = 14", nominal="12", readings="readings = [11.9, 12.0, 12.1]",
    ),
    "an open ring that stands": job("", FLANK, "width = 14", more=STANDING),
    "of a wood that no table has": job(
        RING, FLANK, material="apple", nominal="12", readings="readings = [12.0, 12.1]"
    ),
    "a shelf on one side": job(
        "", FLANK, more=BARE_SHELF.replace('[panel.right]\non = "right"\n', "")
    ),
}  # fmt: skip

READINGS = [8.76, 8.81, 8.74, 8.80, 8.79]


def stops(rehearsal: Rehearsal) -> set[tuple[str, str]]:
    return {(f.code, f.place) for f in rehearsal.findings if f.severity is Severity.STOP}


def carried_out(text: str, mend: Mend) -> str:
    if mend.measure:
        figures: dict[str, JobValue] = {"readings": list(READINGS), "misfit": 0.01, "fixed": True}
        value = figures.get(mend.measure[-1], mend.value)
        mend = Mend(mend.sentence, (Edit(mend.measure, value),))
    return mended(text, mend)


CASES = [
    pytest.param(text, finding, id=f"{name}: {finding.code} {finding.place[:30]}")
    for name, text in JOBS.items()
    for finding in read_text(text).findings
    if finding.mend is not None
]


@pytest.mark.parametrize(("text", "finding"), CASES)
def test_applying_a_mend_removes_its_finding(text: str, finding: Finding) -> None:
    assert finding.mend is not None
    after = read_text(carried_out(text, finding.mend))
    places = set(finding.place.replace(" and ", ", ").split(", "))
    left = [
        f
        for f in after.findings
        if f.code == finding.code and places & set(f.place.replace(" and ", ", ").split(", "))
    ]
    assert left == []
    before = {code for code, _ in stops(read_text(text))}
    assert {code for code, _ in stops(after)} <= before


@pytest.mark.parametrize(("text", "finding"), CASES)
def test_every_mend_carries_a_value_and_its_finding_numbers(text: str, finding: Finding) -> None:
    assert text
    assert finding.mend is not None
    assert finding.mend.value is not None
    assert finding.mend.edits or finding.mend.measure
    assert finding.numbers
    assert any(sign.isdigit() for sign in finding.sentence)


def test_the_jobs_show_every_finding_that_a_job_file_can_cause() -> None:
    shown = {finding.code for text in JOBS.values() for finding in read_text(text).findings}
    # No joint of a job can be changed so that these go away: the panels must be placed otherwise.
    placed = {"not-planned", "nothing-meets", "halving-shut", "three-cross"}
    of_a_book = {"scatter-from-book", "book-contradicts"}
    of_a_machine = set(MACHINING)
    # What becomes of an engine or of an accepted layout is no matter of the job's text.
    of_engines = {"second-engine", "engine-ended", "layout-stale"}
    seldom = {"owners-unproved"} | of_engines
    assert shown - of_engines == set(CATALOGUE) - placed - of_a_book - of_a_machine - seldom


def test_every_finding_but_the_harmless_ones_has_a_mend() -> None:
    bare = {
        (name, finding.code)
        for name, text in JOBS.items()
        for finding in read_text(text).findings
        if finding.mend is None
    }
    assert {code for _, code in bare} <= {
        "corners-crush",
        "cup-stays",
        "fingers-uneven",
        "odds-out-of-reach",
        "two-handed",
        "wood-moves",
        # What cannot be mended because it is no fault, or because nothing is printed.
        "back-braces",
        "corner-bears",
        "sag-unreckoned",
        "strength-unknown",
        "second-engine",
    }, bare
