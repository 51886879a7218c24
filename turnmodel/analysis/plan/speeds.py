"""How fast the work, or a drill in it, is turned: a range of what the lathe can do."""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING, Final

from turnmodel.catalog.cutting import spindle_speed
from turnmodel.source import Basis, Source

if TYPE_CHECKING:
    from turnmodel.catalog.materials import Material
    from turnmodel.catalog.toolbox import Speeds

__all__ = ["SHARES", "Share", "Turns", "halved", "turns"]


@dataclass(frozen=True, slots=True, kw_only=True)
class Share:
    """Surface speed of an operation over that of turning [-], and what it rests on."""

    share: float
    source: Source


def _practice(share: float, place: str) -> Share:
    return Share(share=share, source=Source(work="common practice", place=place, basis=Basis.PRACTICE))


SHARES: Final = {
    "turn": Share(
        share=1.0, source=Source(work="Cutting-speed tables", place="turning with high-speed steel")
    ),
    "drill": _practice(0.75, "drills, whose chips leave slowly"),
    "bore": _practice(0.75, "boring bars, which spring"),
    "form": _practice(0.5, "parting and forming at half turning speed"),
    "ream": _practice(0.4, "reaming at half drilling speed"),
    "countersink": _practice(0.3, "slow, against chatter"),
    "knurl": _practice(0.25, "slow, with oil"),
}
"""Shares by operation."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Turns:
    """A range of spindle speeds that the lathe has.

    Parameters
    ----------
    low, high : float
        Slowest and fastest to set, [1/min]
    wanted : tuple of float
        What the surface speeds ask for, [1/min]
    """

    low: float
    high: float
    wanted: tuple[float, float]

    def rising_to(self, last: Turns) -> Turns:
        """Give the range from the slowest of these to the fastest of others, as the work gets thinner."""
        return Turns(low=self.low, high=max(last.high, self.low), wanted=(self.wanted[0], last.wanted[1]))

    def __str__(self) -> str:
        low, high = _round(self.low), _round(self.high)
        return f"{high:g}" if low > _CLOSE * high else f"{low:g} to {high:g}"


def turns(material: Material, diameter: float, speeds: Speeds, operation: str = "turn") -> Turns | None:
    """Tell how fast to turn for an operation.

    Parameters
    ----------
    material : Material
        Material that is cut, with its surface speeds
    diameter : float
        Diameter that is cut, or of the drill, [mm]
    speeds : Speeds
        Speeds of the lathe
    operation : str
        One of ``SHARES``

    Returns
    -------
    Turns or None
        The range; the nearest speed where the lathe has none in it, None where no surface speed is on record

    Examples
    --------
    >>> from turnmodel.catalog.materials import material
    >>> from turnmodel.catalog.toolbox import Speeds
    >>> str(turns(material("CW614N"), 12.0, Speeds(steps=(130, 700, 1500, 2500))))
    '1500 to 2500'
    """
    if material.speed_low is None or material.speed_high is None:
        return None
    share = SHARES[operation].share
    low = spindle_speed(material.speed_low * share, diameter)
    high = spindle_speed(material.speed_high * share, diameter)
    return _offered(low, high, speeds)


def halved(usual: Turns, speeds: Speeds) -> Turns:
    """Tell how fast to turn what nothing supports: half of what would be set, as the lathe has it.

    Parameters
    ----------
    usual : Turns
        The usual range, [1/min]
    speeds : Speeds
        Speeds of the lathe

    Returns
    -------
    Turns
        The range

    Examples
    --------
    >>> from turnmodel.catalog.toolbox import Speeds
    >>> usual = Turns(low=1800, high=1800, wanted=(2500, 5000))
    >>> str(halved(usual, Speeds(steps=(150, 400, 900, 1800))))
    '900'
    """
    return _offered(usual.low / 2, usual.high / 2, speeds)


def _offered(low: float, high: float, speeds: Speeds) -> Turns:
    """Find what a lathe has between two speeds, else the nearest under them."""
    first, last = speeds.steps[0], speeds.steps[-1]
    if speeds.stepless:
        return Turns(low=min(max(low, first), last), high=min(max(high, first), last), wanted=(low, high))
    within = [step for step in speeds.steps if low <= step <= high] or [speeds.under(high)]
    return Turns(low=within[0], high=within[-1], wanted=(low, high))


_CLOSE: Final = 0.9
"""Speeds nearer than this to each other [-] are one: no belt or dial tells them apart."""


def _round(speed: float) -> float:
    """Round a speed to two digits, as a dial is set."""
    return float(f"{speed:.2g}") if speed < 1000 else round(speed / 50) * 50.0
