"""Every tolerance of the geometry, named once. Lengths are in mm."""

from __future__ import annotations

SAME = 1e-9
"""Two coordinates nearer than this are one. [mm]"""

DECIMALS = 9
"""Decimals to which coordinates placed in a common frame are rounded. [mm]"""

ONE_PLACE = 3.5e-9
"""Faces along one axis that follow one another nearer than this are in one place; between whole
steps of the rounding, and far enough above `SAME` that what is left apart is so beyond doubt. [mm]
"""

PARALLEL = 1e-9
"""Two unit vectors whose cross product is shorter than this are parallel. [-]"""

JUMP = 1e-6
"""Two covers of neighbouring lines that differ by more are not one wall. [mm]"""

CHORD = 1e-3
"""Sagitta of the chords of a dense copy that decides topology. [mm]"""

PICTURE_CHORD = 0.02
"""Sagitta of the chords in a picture. [mm]"""

EDGE = 1e-6
"""Outer edges of two panels that lie nearer than this are one edge. [mm]"""

SQUEEZE = 1e-3
"""Common volume of two solids, computed in binary numbers, that still counts as contact. [mm³]"""

TOUCH = 0.01
"""Deepest penetration of two parts that still counts as touching. [mm]"""

WEB = 0.5
"""A strip of wood beside a mortise that is narrower than this does not stay. [mm]"""

COINCIDENT = 1e-8
"""Pieces between the same two points that stray less than this are one piece. [mm]"""

SLIVER = 4e-9
"""Regions narrower than this are no regions. [mm]"""

PAGE = 1e-5
"""Lengths on a page and depths behind it that differ by less are one. [mm]"""

CONTACT = 1e-3
"""Bodies that share less than this only touch. [mm³]"""

MODEL_CHORD = 0.01
"""Sagitta of the chords in a model for people who draw on. [mm]"""
