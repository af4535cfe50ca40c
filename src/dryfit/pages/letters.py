"""The letters of paper: which font has a sign, how wide a text is, where it is broken or shortened.

Two voices (see :class:`dryfit.pages.page.Voice`) and what stands in where they lack a sign. All
fonts come from packages that carry them with their licence, the SIL Open Font License 1.1; the
letters of East and South Asia and pictographs are large and an extra.
"""

from __future__ import annotations

import io
import unicodedata
from dataclasses import dataclass
from functools import cache, lru_cache
from importlib import import_module
from importlib.util import find_spec
from math import cos, sin
from pathlib import Path
from types import MappingProxyType
from typing import TYPE_CHECKING

from dryfit.pages.hand import CAPITAL
from dryfit.pages.page import Anchor, Voice

if TYPE_CHECKING:
    from collections.abc import Iterable, Iterator, Mapping

    from dryfit.pages.page import Text

ELLIPSIS = "…"
UNKNOWN = "□"
"""What is printed for a sign that no installed font has."""

EXTRA = 'pip install "dryfit[scripts]"'
"""How the large scripts are installed."""

_FIRA = "pymupdf_fonts.FiraGO_Regular"
_FIRA_BOLD = "pymupdf_fonts.FiraGO_Bold"
_SERIF = "font_source_serif_pro:files/SourceSerifPro-Regular.ttf"
_SERIF_BOLD = "font_source_serif_pro:files/SourceSerifPro-Semibold.ttf"
_SYMBOLS = "pymupdf_fonts.NotoSansSymbols2_Regular"
_CJK = "noto_cjk_sans_jp_regular:NotoSansCJKjp-Regular.otf"
_SCRIPTS = (
    "Emoji", "SansArmenian", "SansBengali", "SansEthiopic", "SansGujarati", "SansGurmukhi",
    "SansKannada", "SansKhmer", "SansLao", "SansMalayalam", "SansMyanmar", "SansOriya",
    "SansSinhala", "SansSymbols", "SansTamil", "SansTelugu", "SansHebrew", "SansArabic",
    "SansThai", "SansGeorgian", "SansDevanagari",
)  # fmt: skip

_FIRST: Mapping[Voice, tuple[str, ...]] = MappingProxyType(
    {
        Voice.TECHNICAL: (_FIRA,),
        Voice.STRONG: (_FIRA_BOLD, _FIRA),
        Voice.SENTENCE: (_SERIF, _FIRA),
        Voice.HEADING: (_SERIF_BOLD, _FIRA_BOLD, _FIRA),
    }
)
_REST = (_SYMBOLS, _CJK, *(f"manimgx_fonts:Noto{name}[wght].ttf" for name in _SCRIPTS))

_INVISIBLE = frozenset(("Cc", "Cf", "Cs", "Co", "Cn"))
_JOINERS = frozenset("\u200c\u200d")
_WIDE = 0x2E80  # from here on, scripts that break between any two signs


@dataclass(frozen=True)
class Font:
    """A font: where it is, and how far each of its signs advances, in sizes of the type. [-]"""

    name: str
    data: bytes
    advances: Mapping[int, float]


def is_installed(name: str) -> bool:
    """Whether the package of a font is there."""
    return find_spec(name.partition(":")[0].partition(".")[0]) is not None


@cache
def font(name: str) -> Font:
    """A font by its name in this module; its package must be installed."""
    from fontTools.ttLib import TTFont

    package, _, file = name.partition(":")
    module = import_module(package)
    if file:
        data = (Path(str(module.__file__)).parent / file).read_bytes()
    else:
        data = bytes(module.fontbuffer)
    read = TTFont(io.BytesIO(data), lazy=True)
    em, metrics = read["head"].unitsPerEm, read["hmtx"].metrics
    advances = {code: metrics[glyph][0] / em for code, glyph in read.getBestCmap().items()}
    return Font(name, data, MappingProxyType(advances))


@lru_cache(maxsize=8192)
def font_for(sign: str, voice: Voice) -> str:
    """The name of the first installed font that has a sign; empty where none has."""
    for name in (*_FIRST[voice], *_REST):
        if is_installed(name) and ord(sign) in font(name).advances:
            return name
    return ""


def fonts_of(text: str, voice: Voice) -> tuple[str, ...]:
    """The fonts that a text needs, its voice's own first."""
    needed = {font_for(sign, voice) for sign in text} - {""}
    order = (*_FIRST[voice], *_REST)
    return (order[0], *(name for name in order[1:] if name in needed))


def shown(text: str) -> str:
    """A text as paper takes it: on one line, without control and direction signs, in NFC.

    What no installed font has is printed as a square.
    """
    whole = " ".join(unicodedata.normalize("NFC", text).split())
    kept = (s for s in whole if s in _JOINERS or unicodedata.category(s) not in _INVISIBLE)
    return "".join(s if s in _JOINERS or font_for(s, Voice.TECHNICAL) else UNKNOWN for s in kept)


def missing(texts: Iterable[str]) -> bool:
    """Whether any of the texts, as typed, has a sign that no installed font has."""
    signs = {sign for text in texts for sign in unicodedata.normalize("NFC", text)}
    return any(
        not sign.isspace()
        and unicodedata.category(sign) not in _INVISIBLE
        and not font_for(sign, Voice.TECHNICAL)
        for sign in signs
    )


def width(content: str, height: float, voice: Voice = Voice.TECHNICAL) -> float:
    """How wide a line of text is, capitals `height` [mm] high: the sum of its advances. [mm]"""
    total = 0.0
    for sign in content:
        name = font_for(sign, voice)
        total += font(name).advances[ord(sign)] if name else 0.0
    return total * height / CAPITAL


def shortened(content: str, room: float, height: float, voice: Voice = Voice.TECHNICAL) -> str:
    """A text no wider than its room, its end replaced by an ellipsis where it has to be.

    Parameters
    ----------
    content : str
        The text.
    room : float
        How wide it may be. [mm]
    height : float
        Height of a capital letter. [mm]
    voice : Voice
        The letters it is set in.
    """
    if width(content, height, voice) <= room:
        return content
    low, high = 0, len(content)
    while low < high:
        middle = (low + high + 1) // 2
        if width(content[:middle].rstrip() + ELLIPSIS, height, voice) <= room:
            low = middle
        else:
            high = middle - 1
    return content[:low].rstrip() + ELLIPSIS


def wrapped(
    content: str, room: float, height: float, voice: Voice = Voice.TECHNICAL
) -> tuple[str, ...]:
    """A text on lines no wider than its room; a word wider than that is broken.

    Parameters
    ----------
    content : str
        The text.
    room : float
        How wide a line may be. [mm]
    height : float
        Height of a capital letter. [mm]
    voice : Voice
        The letters it is set in.
    """
    lines: list[str] = []
    line = ""
    for word in _words(content):
        if width((line + word).rstrip(), height, voice) <= room:
            line += word
            continue
        if line.strip():
            lines.append(line.rstrip())
        *whole, line = _broken(word, room, height, voice)
        lines += whole
    return (*lines, line.rstrip()) if line.strip() or not lines else tuple(lines)


def _words(content: str) -> Iterator[str]:
    """Where a line may end: after a space or a plus, between signs of scripts without spaces."""
    word = ""
    for sign in content:
        if word and (word[-1] in " +" or ord(sign) >= _WIDE):
            yield word
            word = ""
        word += sign
    if word:
        yield word


def _broken(word: str, room: float, height: float, voice: Voice) -> Iterator[str]:
    """A word in pieces that are no wider than `room`, with at least one sign each."""
    piece = ""
    for sign in word:
        if piece and width((piece + sign).rstrip(), height, voice) > room:
            yield piece
            piece = ""
        piece += sign
    yield piece


DESCENT = 0.42
"""How far letters reach under the line they stand on, in heights of a capital. [-]"""


def text_box(text: Text) -> tuple[float, float, float, float]:
    """The level rectangle round a text, what reaches under its line counted in. [mm]"""
    wide = width(text.content, text.height, text.voice)
    start = {Anchor.START: 0.0, Anchor.MIDDLE: -wide / 2, Anchor.END: -wide}[text.anchor]
    low, high = -DESCENT * text.height, text.height
    c, s = cos(text.angle), sin(text.angle)
    corners = [(u, v) for u in (start, start + wide) for v in (low, high)]
    xs = [text.x + u * c - v * s for u, v in corners]
    ys = [text.y + u * s + v * c for u, v in corners]
    return min(xs), min(ys), max(xs), max(ys)
