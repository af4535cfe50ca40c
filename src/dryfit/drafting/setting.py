"""The words of a setting card: how saw and jig are set for one batch of corners."""

from __future__ import annotations

from collections import Counter
from typing import TYPE_CHECKING

from dryfit.cutting.jig import OVER_BLADE, THICKEST_GANG, whole_lengths
from dryfit.drafting.card import BenchCard, Sketch, Strip
from dryfit.pages.names import listed, plain_text
from dryfit.units import show_length

if TYPE_CHECKING:
    from collections.abc import Iterator

    from dryfit.cutting.batch import Batch
    from dryfit.cutting.jig import Board, Gang
    from dryfit.cutting.stack import MakeUp
    from dryfit.model.piece import Job

_LEAST = 0.005
"""A length that shows as nothing. [mm]"""

Row = tuple[str, str, str]


def setting_card(batch: Batch, job: Job, cautions: tuple[str, ...]) -> BenchCard:
    """The card of one batch.

    Parameters
    ----------
    batch : Batch
        Its corners.
    job : Job
        Whose they are; lengths are said in its unit.
    cautions : tuple of str
        What can hurt someone.
    """
    words = _Words(batch, job)
    setting = batch.setting
    return BenchCard(
        title=f"Setting card: {plain_text(job.title)}",
        about=words.about(),
        strip=words.strip(),
        rows=tuple(words.rows()),
        steps=tuple(words.steps()),
        cautions=cautions,
        sketch=Sketch(
            setting.pin,
            setting.reaches[0],
            setting.tool.width,
            max(board.depth for board in (*batch.leads, *batch.follows)),
            (
                f"pin, {words.say(setting.pin)} thick at the most",
                f"pin to blade, {words.say(setting.reaches[0])}",
                f"one pass, {words.fine(setting.tool.width)}",
            ),
        ),
    )


class _Words:
    """One batch in the unit of its job."""

    def __init__(self, batch: Batch, job: Job) -> None:
        self.batch, self.job, self.setting = batch, job, batch.setting

    def say(self, length: float, places: int = 2) -> str:
        """A length in the job's unit. [mm]"""
        job = self.job
        return show_length(length, job.unit, places, sixty_fourths=job.sixty_fourths)

    def fine(self, length: float) -> str:
        """A length as a caliper reads it, in hundredths, finer where it is not whole. [mm]"""
        places = 2 if abs(round(length, 2) - length) < _LEAST / 10 else 3
        return show_length(length, self.job.unit, places)

    def about(self) -> str:
        """Which corners, and of what."""
        stocks = Counter(
            plain_text(self.job.piece.panel(board.panel).stock.material.name)
            for board in (*self.batch.leads, *self.batch.follows)
        )
        corners = listed([plain_text(each.joint) for each in self.batch.settings])
        times = f", {self.batch.times} pieces" if self.batch.times > 1 else ""
        what = listed(list(stocks))
        return (
            f"{corners}: {self.setting.count} fingers and sockets in "
            f"{self.say(self.setting.whole)}, {what}{times}."
        )

    def strip(self) -> Strip:
        """The corner, with the lead's flanks as they are cut."""
        setting = self.setting
        flanks = sorted({flank for pair in setting.sockets_of(setting.lead) for flank in pair})
        inside = [flank for flank in flanks if 0 < flank < setting.whole]
        ticks = [(place, self.say(place)) for place in (*inside, setting.whole)]
        return Strip(
            f"lead: {self.names(self.batch.leads)}",
            f"mate: {self.names(self.batch.follows)}",
            setting.whole,
            setting.wood(setting.lead),
            setting.wood(setting.follow),
            tuple(ticks),
        )

    def names(self, boards: tuple[Board, ...]) -> str:
        """The boards by name, each once."""
        return listed(list(dict.fromkeys(plain_text(board.panel) for board in boards)))

    def rows(self) -> Iterator[Row]:
        """What is set, how, and why."""
        setting, tool = self.setting, self.setting.tool
        yield from self._blades()
        if tool.passes > 1:
            reaches = ", then ".join(self.say(each) for each in setting.reaches)
            yield "passes", f"{tool.passes} a socket", f"pin to blade {reaches}"
        yield from self._depths()
        high = max(board.depth for board in (*self.batch.leads, *self.batch.follows))
        yield (
            "backing, exit block",
            f"{self.say(high + OVER_BLADE, 0)} high",
            "at least; the block hides the blade behind the fence up to the travel stop",
        )
        yield "pin to blade", self.say(setting.reaches[-1]), "a finger: pitch less the cut"
        air = self.say(abs(setting.allowance))
        fit = f"2 w less {air} of air" if setting.gap >= 0 else f"2 w and {air} of press"
        yield "pitch", self.say(setting.pitch), fit
        leads = self.batch.gang(self.batch.leads)
        follows = self.batch.gang(self.batch.follows)
        yield "sockets", f"{setting.lead.sockets} and {setting.follow.sockets}", "lead and mate"
        yield "cuts to count", f"{leads.cuts} and {follows.cuts}", self._ganged(leads, follows)
        yield (
            "lead, fingers alike",
            self.say(setting.lead_width),
            f"N pitches and a finger, N = {setting.count // 2}"
            if setting.count % 2
            else f"N pitches, N = {setting.count // 2}",
        )
        yield "boards", f"{self.say(setting.board_width)} wide", self._ripped()
        yield (
            "check half way",
            self.say(setting.check),
            (
                f"after {_some(setting.check_after, 'socket')} of the lead, to within "
                f"{self.say(setting.drift(setting.check_after))}"
            ),
        )
        yield (
            "drift",
            self.say(setting.drift(setting.lead.sockets)),
            "of the last finger at the most, 95 times in 100",
        )
        yield from self._sizes()

    def _blades(self) -> Iterator[Row]:
        """The make-up, or the blade as it is."""
        tool = self.setting.tool
        if tool.make_up is None:
            yield "blade set", self.fine(tool.width), "as the job states it"
        else:
            yield "blade set", self.made_of(tool.make_up), ""
            yield "cuts", self.fine(tool.width), self._missed()

    def _missed(self) -> str:
        """How near the make-up comes."""
        tool = self.setting.tool
        wanted = f"wanted {self.fine(tool.socket)}"
        if tool.passes > 1:
            return f"{wanted}, in {tool.passes} passes"
        if abs(tool.error) < _LEAST:
            return f"{wanted}: as near as can be read"
        side = "wide" if tool.error > 0 else "narrow"
        return f"{wanted}: {self.fine(abs(tool.error))} {side}"

    def made_of(self, made: MakeUp) -> str:
        """What is on the arbor, in words."""
        said = [f"{len(made.outers)} outer of {self.fine(made.outers[0])}"]
        for name, pieces in (("chipper", made.chippers), ("shim", made.shims)):
            for size, number in Counter(pieces).items():
                said.append(f"{_some(number, name)} of {self.fine(size)}")
        return ", ".join(said)

    def _depths(self) -> Iterator[Row]:
        """Height of the blade, for every board that has one of its own."""
        found: dict[str, list[str]] = {}
        for each in self.batch.settings:
            for board, mate in ((each.lead, each.follow), (each.follow, each.lead)):
                found.setdefault(self.say(board.depth), []).append(
                    f"{plain_text(board.panel)} into {plain_text(mate.panel)}"
                )
        usual = max(found, key=lambda depth: len(found[depth]))
        yield "blade height", usual, "mate's thickness, and what stands proud"
        for depth, boards in found.items():
            if depth != usual:
                yield "but", depth, listed(boards)

    def _ganged(self, leads: Gang, follows: Gang) -> str:
        """How many boards go together."""
        if leads.boards == follows.boards == 1:
            return "one board at a time"
        thick = self.say(THICKEST_GANG, 0)
        return (
            f"{leads.boards} leads and {follows.boards} mates in a gang, {thick} thick at the most"
        )

    def _ripped(self) -> str:
        """What is ripped off, and what that makes of the last finger."""
        setting = self.setting
        if not setting.free:
            return "exactly: another joint takes the far edge, so nothing is ripped off"
        more = setting.last_finger
        rip = f"ripped to {self.say(setting.whole)} after"
        if abs(more) < _LEAST:
            return rip
        return f"{rip}: the last finger {self.say(abs(more))} {'wider' if more > 0 else 'less'}"

    def _sizes(self) -> Iterator[Row]:
        """Which sizes of corner come out whole in one pass each."""
        setting = self.setting
        near = whole_lengths(setting, setting.tool.width)
        meant = any(each.count == setting.count for each in near)
        if meant and abs(setting.last_finger) >= _LEAST:
            said = " or ".join(f"{self.say(each.length)} ({each.count})" for each in near)
            yield "whole in one pass", said, ""

    def steps(self) -> Iterator[str]:
        """What to do in turn."""
        setting, datum = self.setting, self.batch.datum
        yield (
            f"The {datum} is the datum edge: it faces the pin at both ends of every board. Stand "
            "the boards on end before a fresh backing, gangs clamped flush there."
        )
        yield from self._trial()
        yield from self._series()
        begin = "datum edge against the pin's face towards the blade, and cut"
        if setting.start > 0:
            begin = (
                f"its first socket begins {self.say(setting.lead.first)} from the {datum}; set it "
                "by a line, and cut"
            )
        yield (
            f"Lead: {begin}. Drop the socket on the pin, bear its far flank on the face towards "
            f"the blade, and cut again: {_some(setting.lead.sockets, 'socket')} at each end."
        )
        yield self._mate()
        yield from self._ends()
        yield (
            f"Half way, measure a lead from the datum edge to the far flank of socket "
            f"{setting.check_after}: {self.say(setting.check)}. Where it is off by more than "
            f"{self.say(setting.drift(setting.check_after))}, look for chips at the pin and begin "
            "another board. What is off alike on every board is the pin's: leave it until the "
            "mates are cut, which share it."
        )
        yield from self._cleared()
        if setting.free:
            yield (
                f"When all ends are cut, rip every board to {self.say(setting.whole)} from its "
                "datum edge."
            )

    def _trial(self) -> Iterator[str]:
        yield (
            "Cut a trial pair of one gang's thickness first: too tight, move the pin nearer to the "
            "blade; too loose, away from it."
        )

    def _series(self) -> Iterator[str]:
        """How a socket wider than the cut is made."""
        setting = self.setting
        if setting.tool.passes > 1:
            yield (
                f"Cut all sockets of a board with pin to blade at {self.say(setting.reaches[0])}, "
                f"then move fence and pin {self.say(setting.tool.step)} nearer to the blade and "
                "cut them all again"
                f"{', and so on' if setting.tool.passes > 2 else ''}; finish the leads before "
                "the mates begin."
            )

    def _mate(self) -> str:
        """How the mate's first socket is placed."""
        setting = self.setting
        if setting.start > 0:
            return (
                f"Mate: its first socket begins {self.say(max(setting.follow.first, 0.0))} from "
                f"the {self.batch.datum}; knife it from the lead, set it by the line, then step "
                f"on: {_some(setting.follow.sockets, 'socket')}."
            )
        slip = ""
        if setting.slip >= _LEAST:
            slip = f", a strip {self.say(setting.slip)} thick between, which evens the air"
        return (
            "Mate: drop a lead's first socket on the pin, its first finger towards the blade, and "
            f"set the mate against it{slip}. Cut: this socket runs out at the edge. Take the lead "
            f"away and step on: {_some(setting.follow.sockets, 'socket')} at each end."
        )

    def _cleared(self) -> Iterator[str]:
        """The last socket of the board that ends on one, where it stops short of the edge."""
        setting = self.setting
        for word, board in (("lead", setting.lead), ("mate", setting.follow)):
            left = setting.left_over(board)
            if left >= _LEAST:
                yield (
                    f"The last socket of every {word} runs out at the far edge: one more cut takes "
                    f"the {self.say(left)} that it leaves there."
                )

    def _ends(self) -> Iterator[str]:
        """What lies before and after the even divisions."""
        setting = self.setting
        leads, follows = self.names(self.batch.leads), self.names(self.batch.follows)
        thirds: list[str] = []
        owners: list[str] = []
        for size, owner, place in zip(
            (setting.start, setting.end),
            setting.owners,
            (f"the {self.batch.datum}", "the other edge"),
            strict=True,
        ):
            if owner is None:
                continue
            said = f"At {place}, {self.say(size)} belong to"
            if owner == setting.lead.panel:
                yield f"{said} {leads}: cut them away from {follows} too."
            elif owner == setting.follow.panel:
                yield f"{said} {follows}: cut them away from {leads} too."
            else:
                thirds.append(f"{self.say(size)} at {place}")
                owners.append(plain_text(owner))
        if thirds:
            yield (
                f"{' and '.join(thirds)} belong to the corners with {listed(owners)}: cut these "
                "before those, while the datum edges are whole."
            )


def _some(number: int, word: str) -> str:
    return f"{number} {word}{'' if number == 1 else 's'}"
