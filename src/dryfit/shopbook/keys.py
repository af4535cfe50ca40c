"""The name under which a cutter's results are kept: route, size and machine."""

from __future__ import annotations

from dryfit.errors import BookError, UnitError
from dryfit.model.cutter import Cutter, Route
from dryfit.units import read_length


def cutter_key(cutter: Cutter, machine: str = "") -> str:
    """The key of a cutter: ``router 3.175 mm``, with the machine's name where it has one.

    Parameters
    ----------
    cutter : Cutter
        What cuts.
    machine : str
        The machine's name.

    Examples
    --------
    >>> cutter_key(Cutter(Route.ROUTER, 3.175))
    'router 3.175 mm'
    >>> cutter_key(Cutter(Route.HAND, 0.0), "bench by the window")
    'hand, bench by the window'
    """
    size = "" if cutter.route is Route.HAND else f" {cutter.size:.6g} mm"
    place = " ".join(machine.split())
    return f"{cutter.route.value}{size}{f', {place}' if place else ''}"


def read_cutter(text: str) -> Cutter:
    """The cutter of a text such as ``router 3.175 mm``, ``laser 0.2 mm``, ``saw 1/8 in``, ``hand``.

    Raises
    ------
    BookError
        If it names no route or has no size.
    """
    word, _, size = " ".join(text.split()).partition(" ")
    routes = [route.value for route in Route]
    if word.casefold() not in routes:
        raise BookError(
            f"{word[:40]!r} is no way to cut; write {', '.join(routes[:-1])} or {routes[-1]} and "
            'the size, such as "router 3.175 mm".'
        )
    route = Route(word.casefold())
    if route is Route.HAND:
        if size:
            raise BookError(f"Work by hand has no size, and {size[:40]!r} was given; write hand.")
        return Cutter(route, 0.0)
    if not size:
        raise BookError(f'A {word} needs 1 size; write it with its unit, such as "{word} 3 mm".')
    try:
        length = read_length(size, "mm")
    except UnitError as error:
        raise BookError(f"The size of the cutter: {error}.") from error
    if length <= 0:
        raise BookError(f"The cutter's size is {length:g} mm; write more than 0.")
    return Cutter(route, length)
