"""Frames: how far an open rectangle of panels sways when it is pushed at the top.

Two uprights between two level members, joined stiffly at four corners. Pushed sideways, every
member bends into an S with its middle at rest, each upright takes half the push, and each corner a
moment of F h / 4. From the slopes at the corners the sway is F h² / (24 E) (h / I₁ + b / I₂).
A panel that fills the opening takes the push in shear instead: F h / (G t b).
"""

from __future__ import annotations


def corner_moment(push: float, height: float) -> float:
    """Moment at each corner. [N mm]

    Parameters
    ----------
    push : float
        Sideways at the top. [N]
    height : float
        Of the frame. [mm]
    """
    return push * height / 4


def sway(push: float, sides: tuple[float, float], stiffness: tuple[float, float]) -> float:
    """How far the top goes over, with corners that do not give. [mm]

    Parameters
    ----------
    push : float
        Sideways at the top. [N]
    sides : pair of float
        Height of the frame, and its length. [mm]
    stiffness : pair of float
        E I of an upright, and of a level member. [N mm²]
    """
    height, length = sides
    upright, level = stiffness
    return push * height**2 / 24 * (height / upright + length / level)


def sway_filled(push: float, sides: tuple[float, float], shear_stiffness: float) -> float:
    """How far the top goes over where a panel fills the frame. [mm]

    Parameters
    ----------
    push : float
        Sideways at the top. [N]
    sides : pair of float
        Height of the frame, and its length. [mm]
    shear_stiffness : float
        G t of the panel. [N/mm]
    """
    height, length = sides
    return push * height / (shear_stiffness * length)
