"""What is known before a design begins: tables whose every row has a source, and the look-ups that read them.

Lengths in millimetres, diameters never radii, density in g/cm3, angles in degrees. The tables are the files
under ``data``; each is read once, when it is first asked for.
"""

from __future__ import annotations

__all__: list[str] = []
