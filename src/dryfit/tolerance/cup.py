"""What clamps leave of a cup."""

from __future__ import annotations


def left_of_cup(
    cup: float, *, span: float, width: float, thickness: float, modulus: float, force: float
) -> float:
    """What stays of a cup when a force presses on its middle. [mm]

    A strip on two supports yields by F L³ / (48 E I), I = b t³ / 12 (beam theory). What it would
    yield beyond flat, it does not.

    Parameters
    ----------
    cup : float
        Departure from flat over the span. [mm]
    span, width, thickness : float
        Of the strip: across the cup, along it, and through it. [mm]
    modulus : float
        Of elasticity, across the cup. [N/mm²]
    force : float
        Of the clamps. [N]
    """
    yields = force * span**3 / (48 * modulus * width * thickness**3 / 12)
    return max(0.0, abs(cup) - yields)
