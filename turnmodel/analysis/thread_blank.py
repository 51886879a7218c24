"""To which diameter a bar is turned before a thread is cut on it."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING, Final

from turnmodel.analysis.stripping import known_limits
from turnmodel.catalog import threads
from turnmodel.design.ledger import mm

if TYPE_CHECKING:
    from turnmodel.catalog.thread_limits import ThreadLimits
    from turnmodel.design.features.threaded import ExternalThread

__all__ = ["ThreadBlank", "thread_blank"]

_SHARE_UNDER: Final = 0.15
"""By how many pitches a bar is turned under the major diameter of a form without limits [-], so that the die
cuts freely: the middle of a maker's advice for M2 to M3; house choice for every other form."""


@dataclass(frozen=True, slots=True, kw_only=True)
class ThreadBlank:
    """What a bar is turned to before it is threaded.

    Parameters
    ----------
    diameter : float
        Diameter, [mm]
    limits : ThreadLimits or None
        Limits of the class that it is the middle of; None where it is written, or no class is on record
    """

    diameter: float
    limits: ThreadLimits | None

    @property
    def span(self) -> tuple[float, float] | None:
        """Least and greatest diameter, [mm]; None where no class is on record."""
        if self.limits is None or self.limits.major_max is None:
            return None
        return self.limits.major_min, self.limits.major_max


def thread_blank(feature: ExternalThread) -> ThreadBlank:
    r"""Tell to which diameter a bar is turned before a die or a single point cuts its thread.

    .. math:: d_0 = (d_{min} + d_{max}) / 2, \quad \text{else} \quad d_0 = d - 0.15 P

    Parameters
    ----------
    feature : ExternalThread
        The thread

    Returns
    -------
    ThreadBlank
        The diameter that the script writes; else the middle of the limits of the major diameter; else, where
        no class is on record, somewhat under the basic one

    Examples
    --------
    >>> from turnmodel.design.features.threaded import thread
    >>> thread_blank(thread("M8x0.75", 5)).diameter
    7.908
    >>> thread_blank(thread("2BA", 5)).diameter, thread_blank(thread("M8", 5, diameter=7.8)).diameter
    (4.5785, 7.8)
    """
    size = threads.thread(feature.size)
    if feature.diameter is not None:
        return ThreadBlank(diameter=mm(feature.diameter), limits=None)
    found = known_limits(size, external=True)
    if found is None or found.major_max is None:
        return ThreadBlank(diameter=round(size.major_d - _SHARE_UNDER * size.pitch, 4), limits=None)
    return ThreadBlank(diameter=round((found.major_min + found.major_max) / 2, 4), limits=found)
