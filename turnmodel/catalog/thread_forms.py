"""The shape of one pitch of a thread.

The pitch line of a thread is the cylinder of its pitch diameter; with the height of the sharp V,
``H = P / (2 tan(angle / 2))``, the apexes of the V stand H/2 outside and inside it. Each end of a ridge or a
groove is the V cut off by a flat, or rounded by an arc tangent to both flanks.
"""

from __future__ import annotations

import math
from dataclasses import dataclass, replace
from typing import Final

from turnmodel.source import Basis, Source

__all__ = ["BA", "FORMS", "ISO_METRIC", "UNIFIED", "WHITWORTH", "ThreadForm", "Truncation"]


@dataclass(frozen=True, slots=True, kw_only=True)
class Truncation:
    """How one end of a thread's V is cut off: by a flat, or by an arc tangent to both flanks.

    Parameters
    ----------
    flat : float or None
        Distance of the flat from the pitch line, as a fraction of the pitch, [-]
    radius : float or None
        Radius of the arc, as a fraction of the pitch, [-]

    Raises
    ------
    ValueError
        Unless exactly one of the two is given.
    """

    flat: float | None = None
    radius: float | None = None

    def __post_init__(self) -> None:
        if (self.flat is None) == (self.radius is None):
            raise ValueError("a truncation is either a flat or an arc")

    def reach(self, angle: float) -> float:
        r"""Tell how far the extreme of this end stands from the pitch line, as a fraction of the pitch.

        .. math:: \frac H2 - R \left( \frac 1 {\sin(\alpha/2)} - 1 \right)

        Parameters
        ----------
        angle : float
            Included angle of the thread, [degrees]

        Returns
        -------
        float
            Distance over pitch, [-]

        Examples
        --------
        >>> round(Truncation(radius=0.137329).reach(55.0), 6)
        0.320164
        """
        if self.flat is not None:
            return self.flat
        assert self.radius is not None
        half = math.radians(angle / 2)
        return 0.25 / math.tan(half) - self.radius * (1 / math.sin(half) - 1)


@dataclass(frozen=True, slots=True, kw_only=True)
class ThreadForm:
    """The shape of one pitch: the angle of the V and how its four ends are cut off.

    Parameters
    ----------
    name : str
        Name of the form
    angle : float
        Included angle, [degrees]
    external_crest, external_root, internal_crest, internal_root : Truncation
        Ends of the screw's ridge and groove, and of the nut's
    source : Source
        Where the form is laid down
    """

    name: str
    angle: float
    external_crest: Truncation
    external_root: Truncation
    internal_crest: Truncation
    internal_root: Truncation
    source: Source

    @property
    def sharp_height(self) -> float:
        """Height H of the sharp V, as a fraction of the pitch [-]."""
        return 0.5 / math.tan(math.radians(self.angle / 2))


def _rounded(name: str, angle: float, radius: float, source: Source) -> ThreadForm:
    """Make a form whose crests and roots are all rounded alike."""
    end = Truncation(radius=radius)
    return ThreadForm(
        name=name,
        angle=angle,
        external_crest=end,
        external_root=end,
        internal_crest=end,
        internal_root=end,
        source=source,
    )


_H60: Final = math.sqrt(3) / 2
ISO_METRIC: Final = ThreadForm(
    name="ISO metric 60",
    angle=60.0,
    external_crest=Truncation(flat=3 / 8 * _H60),
    external_root=Truncation(radius=_H60 / 6),
    internal_crest=Truncation(flat=_H60 / 4),
    internal_root=Truncation(flat=3 / 8 * _H60),
    source=Source(
        work="ISO 68-1:1998", place="basic profile; root rounded H/6 as in ISO 898-1", basis=Basis.MEMORY
    ),
)
UNIFIED: Final = replace(
    ISO_METRIC,
    name="Unified 60",
    external_root=Truncation(radius=_H60 / 8),
    source=Source(
        work="ASME B1.1", place="basic profile; UNR root at its least radius 0.108 P", basis=Basis.MEMORY
    ),
)
WHITWORTH: Final = _rounded(
    "Whitworth 55",
    55.0,
    0.137329,
    Source(work="Model-engineer thread notes", place="Whitworth form: depth 0.640327 P, radius 0.137329 P"),
)
BA: Final = _rounded(
    "BA 47.5",
    47.5,
    0.1808346,
    Source(work="BS 93", place="profile as given on a public page: depth 0.6 P, radius 0.1808346 P"),
)
FORMS: Final = (ISO_METRIC, UNIFIED, WHITWORTH, BA)
"""The thread forms known here."""
