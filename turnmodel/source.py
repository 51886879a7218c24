"""Where a figure comes from, and how far to trust it."""

from __future__ import annotations

from dataclasses import dataclass
from enum import StrEnum

__all__ = ["Basis", "Source"]


class Basis(StrEnum):
    """How a figure came into the program."""

    READ = "read"
    """Read in the work named, or in a reprint or excerpt of it."""
    COMPUTED = "computed"
    """Computed from the formula of the work named."""
    MEMORY = "from memory"
    """Recalled, not seen in print while this was written."""
    PRACTICE = "common practice"
    """A rule of the trade without one author."""
    HOUSE = "house choice"
    """Chosen by this program."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Source:
    """The work and the place in it that a figure, a limit or a rule rests on.

    Parameters
    ----------
    work : str
        Standard with its edition, handbook, or the words 'common practice' or 'house choice'
    place : str
        Clause, table, page or formula; for a house choice, the reason
    basis : Basis
        How the figure came here

    Examples
    --------
    >>> print(Source(work="ISO 965-1:1998", place="table 2", basis=Basis.READ))
    ISO 965-1:1998, table 2
    >>> Source(work="", place="table 2", basis=Basis.READ)
    Traceback (most recent call last):
    ...
    ValueError: a source names its work and the place in it
    """

    work: str
    place: str
    basis: Basis = Basis.READ

    def __post_init__(self) -> None:
        if not self.work.strip() or not self.place.strip():
            raise ValueError("a source names its work and the place in it")

    def __str__(self) -> str:
        text = f"{self.work}, {self.place}"
        return text if self.basis is Basis.READ or self.basis == self.work else f"{text} ({self.basis})"
