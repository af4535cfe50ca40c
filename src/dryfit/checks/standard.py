"""Caliper readings against the standard that a sheet is sold by."""

from __future__ import annotations

from typing import TYPE_CHECKING

from dryfit.checks.catalogue import finding
from dryfit.checks.subject import listed
from dryfit.findings import Edit, Mend, Severity

if TYPE_CHECKING:
    from collections.abc import Iterator

    from dryfit.checks.subject import Subject
    from dryfit.findings import Finding
    from dryfit.materials.thickness import Limits
    from dryfit.model.stock import Stock

_SIZES = (2, 3, 4, 5, 6, 6.5, 8, 9, 10, 12, 15, 16, 18, 19, 21, 22, 24, 25, 27, 30, 40)
_INCHES = tuple(25.4 * k / 32 for k in (4, 6, 8, 11, 12, 15, 16, 19, 20, 23, 24, 26, 32))


def check_standard(subject: Subject) -> Iterator[Finding]:
    """Sheets whose mean thickness lies outside what their standard allows."""
    stocks: dict[Stock, list[str]] = {}
    for panel in subject.job.piece.panels:
        stocks.setdefault(panel.stock, []).append(panel.name)
    for stock, names in stocks.items():
        limits = stock.limits
        if limits is None or not stock.readings or limits.admit(stock.thickness):
            continue
        yield _outside(subject, stock, names, limits)


def _outside(subject: Subject, stock: Stock, names: list[str], limits: Limits) -> Finding:
    say, mean = subject.say, stock.thickness
    return finding(
        "thickness-outside-standard",
        Severity.LOOK,
        stock.name,
        f"{stock.name} ({listed(names)}) is sold as {say(stock.nominal)} and reads {say(mean)}; "
        f"{limits.standard} allows {limits.finish} {stock.material.name} {say(limits.least)} to "
        f"{say(limits.most)}. Is it that sheet, and was the caliper zeroed?",
        numbers={
            "nominal_mm": stock.nominal,
            "mean_mm": mean,
            "least_mm": limits.least,
            "most_mm": limits.most,
        },
        mend=_mend(subject, stock),
    )


def _mend(subject: Subject, stock: Stock) -> Mend:
    """Another finish that allows it, else the nearest size that does, else the mean itself."""
    mean, path = stock.thickness, ("stock", stock.name)
    for other in stock.material.limits(stock.nominal):
        if other.admit(mean):
            return Mend(
                f"If it is {other.finish}, say so: {other.standard} allows that.",
                (Edit((*path, "finish"), other.finish),),
                value=round(mean, 4),
            )
    inch = subject.job.unit in ("in", "ft")
    sizes = _INCHES if inch else _SIZES
    fitting = [size for size in sizes if _admits(stock, size)]
    nominal = min(fitting, key=lambda size: abs(size - mean), default=round(mean, 1))
    return Mend(
        f"Call it what it is, {subject.say(nominal)}, or measure again.",
        (
            Edit((*path, "nominal"), subject.value(nominal)),
            Edit((*path, "finish"), stock.finish if _keeps(stock, nominal) else None),
        )
        if stock.finish
        else (Edit((*path, "nominal"), subject.value(nominal)),),
        value=round(nominal, 4),
    )


def _admits(stock: Stock, nominal: float) -> bool:
    found = stock.material.limits(nominal)
    usual = next((each for each in found if stock.finish in ("", each.finish)), None)
    return usual is not None and usual.admit(stock.thickness)


def _keeps(stock: Stock, nominal: float) -> bool:
    return any(each.finish == stock.finish for each in stock.material.limits(nominal))
