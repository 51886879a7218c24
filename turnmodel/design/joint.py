"""Joints: how one part is put on another, face on face."""

from __future__ import annotations

from dataclasses import dataclass, field
from typing import TYPE_CHECKING, ClassVar

from turnmodel.design.ledger import Measure, angle, mm, not_negative, number, positive, turns
from turnmodel.design.part import Part
from turnmodel.design.script import script_place

if TYPE_CHECKING:
    from collections.abc import Sequence

    from turnmodel.design.face import Face
    from turnmodel.errors import Where

__all__ = ["Joint", "Press", "Screw", "Seat", "Spring", "State", "press", "screw", "seat", "spring", "state"]


@dataclass(frozen=True, slots=True)
class Joint:
    """A face of one part brought to a face of another.

    Parameters
    ----------
    moving, fixed : Face
        The two faces that meet; either part may be the one that stands already
    turn : float, optional
        Turn of the moving part about the joint's axis, [degrees]
    """

    word: ClassVar[str] = "joint"

    moving: Face
    fixed: Face
    turn: float = angle(0.0)
    where: Where | None = field(default_factory=script_place, kw_only=True, repr=False, compare=False)

    @property
    def apart(self) -> float:
        """How far the faces stand apart when the joint is made, [mm]."""
        return 0.0

    @property
    def closed(self) -> bool:
        """Whether the two faces meet."""
        return self.apart == 0

    def __str__(self) -> str:
        return f"{self.word} of {self.moving.part} on {self.fixed.part}"


@dataclass(frozen=True, slots=True)
class Seat(Joint):
    """Face on face, held by what surrounds it.

    Parameters
    ----------
    moving, fixed : Face
        The two faces that meet
    turn : float, optional
        Turn of the moving part about the joint's axis, [degrees]
    gap : float or str, optional
        How far they stand apart, [mm]
    """

    word: ClassVar[str] = "seat"

    gap: Measure = number(0.0)

    @property
    def apart(self) -> float:
        """How far the faces stand apart when the joint is made, [mm]."""
        return mm(self.gap)


@dataclass(frozen=True, slots=True)
class Screw(Joint):
    """Screwed until the two faces meet; the turn follows from the thread's lead.

    Parameters
    ----------
    moving, fixed : Face
        The two faces that stop the screw
    turns_open : float, optional
        By how many turns it is left unscrewed, [-]
    into : Part, optional
        The part that holds the other thread, where it is not the one it stops on
    """

    word: ClassVar[str] = "screw"

    turns_open: float = turns(0.0)
    into: Part | None = field(default=None, kw_only=True)

    @property
    def closed(self) -> bool:
        """Whether it is screwed home."""
        return self.turns_open == 0


@dataclass(frozen=True, slots=True)
class Press(Joint):
    """Pressed in or on until the two faces meet.

    Parameters
    ----------
    moving, fixed : Face
        The two faces that meet
    turn : float, optional
        Turn of the moving part about the joint's axis, [degrees]
    allowance : float or str
        By how much the inner diameter is the larger, [mm]
    """

    word: ClassVar[str] = "press"

    allowance: Measure = not_negative(0.0)


@dataclass(frozen=True, slots=True)
class Spring(Joint):
    """Held apart by a spring, which takes up what the other joints leave.

    Parameters
    ----------
    moving, fixed : Face
        The two faces that the spring presses on
    turn : float, optional
        Turn of the moving part about the joint's axis, [degrees]
    length : float or str, optional
        Its length as fitted where nothing else places a part; elsewhere the length that is wanted, [mm]
    free : float or str, optional
        Its length when nothing presses it, [mm]
    solid : float or str, optional
        Its length with its coils pressed together, [mm]
    rate : float, optional
        Force for each millimetre that it is shortened, [N/mm]
    """

    word: ClassVar[str] = "spring"

    length: Measure | None = positive(None)
    free: Measure | None = positive(None)
    rate: float | None = positive(None, unit="N/mm")
    solid: Measure | None = positive(None)

    @property
    def apart(self) -> float:
        """How far the faces are to stand apart, [mm]; 0 where that is not said."""
        return 0.0 if self.length is None else mm(self.length)

    @property
    def closed(self) -> bool:
        """Whether the two faces meet, which a spring keeps them from."""
        return False


@dataclass(frozen=True, slots=True)
class State:
    """A state of an object: the joints made in it besides the standing ones, and what is laid aside.

    Parameters
    ----------
    joints : tuple of Joint
        Joints made in this state only
    aside : tuple of Part
        Parts laid aside, with everything that is joined to them alone
    """

    joints: tuple[Joint, ...] = ()
    aside: tuple[Part, ...] = ()
    where: Where | None = field(default_factory=script_place, kw_only=True, repr=False, compare=False)


def state(*joints: Joint, aside: Part | Sequence[Part] = ()) -> State:
    """Describe a state of the object.

    Parameters
    ----------
    *joints : Joint
        Joints made in this state besides the design's own
    aside : Part or sequence of Part, optional
        Parts that are laid aside, with what is joined to them alone

    Returns
    -------
    State
        The description; what is wrong with it is told when the design is built
    """
    return State(tuple(joints), (aside,) if isinstance(aside, Part | str) else tuple(aside))


seat = Seat
screw = Screw
press = Press
spring = Spring
