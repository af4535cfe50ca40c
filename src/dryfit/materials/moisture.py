"""How moist wood and sheets become in a given air.

Wood follows Eq. 4-5 of the Wood Handbook (FPL-GTR-282; Simpson 1973), which reproduces its Table
4-2; the handbook's second model, Eq. 4-6 (Glass and others 2014), is here to compare. Both are
means: species and boards differ, more so in damp air, and nothing is published above 95 %.
"""

from __future__ import annotations

from bisect import bisect_left
from dataclasses import dataclass
from itertools import pairwise
from math import exp, log1p
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from collections.abc import Callable

FIBRE_SATURATION = 30.0
"""Moisture content above which wood no longer swells (Wood Handbook, ch. 4). [%]"""

DAMPEST = 95.0
"""The dampest air for which anything is published. [%]"""

ROOM = 20.0
"""Temperature of a room where nobody says. [°C]"""

_KELVIN = 273.15
_CRITICAL = 647.1

# EWPAA, Facts about particleboard and MDF, p. 37: the middle of each range. From 0 on a straight
# line, and beyond 90 % as between 75 and 90 (common practice, no source).
_PANEL = ((0.0, 0.0), (30.0, 7.0), (45.0, 8.0), (65.0, 10.0), (75.0, 11.0), (90.0, 15.5))


def wood_moisture(humidity: float, temperature: float = ROOM) -> float:
    """Equilibrium moisture content of wood, Eq. 4-5. [%]

    Parameters
    ----------
    humidity : float
        Relative humidity of the air, 0 to 95. [%]
    temperature : float
        Temperature; the printed table runs from -1 to 132. [°C]

    Raises
    ------
    ValueError
        If the humidity is negative or 100 and more.

    References
    ----------
    .. [1] Wood Handbook, FPL-GTR-282 (2021), Eq. 4-5, p. 4-3.

    Examples
    --------
    >>> wood_moisture(50.0, 20.0)
    9.271
    >>> wood_moisture(0.0)
    0.0
    """
    h, t = _share(humidity), temperature
    w = 349 + 1.29 * t + 0.0135 * t**2
    k = 0.805 + 0.000736 * t - 0.00000273 * t**2
    k1 = 6.27 - 0.00938 * t - 0.000303 * t**2
    k2 = 1.91 + 0.0407 * t - 0.000293 * t**2
    kh = k * h
    first = kh / (1 - kh)
    second = (k1 * kh + 2 * k1 * k2 * kh**2) / (1 + k1 * kh + k1 * k2 * kh**2)
    return 1800 / w * (first + second)


def wood_moisture_2014(humidity: float, temperature: float = ROOM) -> float:
    """Equilibrium moisture content of wood by the handbook's second model, Eq. 4-6. [%]

    Parameters
    ----------
    humidity : float
        Relative humidity of the air, 0 to 95. [%]
    temperature : float
        Temperature. [°C]

    Raises
    ------
    ValueError
        If the humidity is negative or 100 and more.

    References
    ----------
    .. [1] Wood Handbook, FPL-GTR-282 (2021), Eq. 4-6; Glass and others 2014.

    Examples
    --------
    >>> wood_moisture_2014(50.0, 20.0)
    9.47
    """
    h, kelvin = _share(humidity), temperature + _KELVIN
    inner = -0.000612 * kelvin * (1 - kelvin / _CRITICAL) ** 2.43 * log1p(-h)
    return float(100 * inner ** (0.0577 * kelvin**0.430))


def humidity_2014(moisture: float, temperature: float = ROOM) -> float:
    """The air in which wood has a moisture content by the second model, Eq. 4-7. [%]

    Parameters
    ----------
    moisture : float
        Moisture content. [%]
    temperature : float
        Temperature. [°C]

    Examples
    --------
    >>> humidity_2014(wood_moisture_2014(65.0))
    65.0
    """
    kelvin = temperature + _KELVIN
    power = (moisture / 100) ** (1 / 0.0577 * kelvin**-0.430)
    return 100 * (1 - exp(power / (-0.000612 * kelvin) * (1 - kelvin / _CRITICAL) ** -2.43))


def panel_moisture(humidity: float) -> float:
    """Moisture content of particleboard and MDF, between the published points. [%]

    Parameters
    ----------
    humidity : float
        Relative humidity of the air. [%]

    Raises
    ------
    ValueError
        If the humidity is negative or 100 and more.

    References
    ----------
    .. [1] EWPAA, Facts about particleboard and MDF, p. 37.

    Examples
    --------
    >>> panel_moisture(65.0)
    10.0
    """
    _share(humidity)
    place = min(max(bisect_left([at for at, _ in _PANEL], humidity), 1), len(_PANEL) - 1)
    (x0, y0), (x1, y1) = list(pairwise(_PANEL))[place - 1]
    return y0 + (y1 - y0) * (humidity - x0) / (x1 - x0)


def humidity_for(moisture: float, temperature: float = ROOM) -> float:
    """The air in which wood has a moisture content by Eq. 4-5, at most 95 %. [%]

    Parameters
    ----------
    moisture : float
        Moisture content. [%]
    temperature : float
        Temperature. [°C]

    Examples
    --------
    >>> humidity_for(wood_moisture(42.0))
    42.0
    """
    return _solved(lambda humidity: wood_moisture(humidity, temperature), moisture)


def _solved(curve: Callable[[float], float], wanted: float) -> float:
    """Where a rising curve of humidity reaches a value, between 0 and the dampest air."""
    low, high = 0.0, DAMPEST
    # Sixty halvings bring the interval below the spacing of the numbers themselves.
    for _ in range(60):
        middle = (low + high) / 2
        low, high = (middle, high) if curve(middle) < wanted else (low, middle)
    return (low + high) / 2


def _share(humidity: float) -> float:
    if not 0 <= humidity < 100:
        raise ValueError(f"a humidity of {humidity:g} % is not between 0 and 100")
    return humidity / 100


@dataclass(frozen=True, slots=True)
class Air:
    """The air that a piece stands in.

    Parameters
    ----------
    humidity : float
        Relative humidity. [%]
    temperature : float
        Temperature. [°C]
    """

    humidity: float
    temperature: float = ROOM

    @classmethod
    def of_wood(cls, moisture: float, temperature: float = ROOM) -> Air:
        """The air that brings wood to a moisture content.

        Parameters
        ----------
        moisture : float
            Moisture content; what no air up to 95 % brings about is taken as 95 %. [%]
        temperature : float
            Temperature. [°C]
        """
        return cls(humidity_for(moisture, temperature), temperature)

    @property
    def wood(self) -> float:
        """Moisture content that wood takes in it. [%]"""
        return wood_moisture(self.humidity, self.temperature)

    @property
    def panel(self) -> float:
        """Moisture content that particleboard and MDF take in it. [%]"""
        return panel_moisture(self.humidity)
