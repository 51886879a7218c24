"""What was measured on a part once it was cut."""

from __future__ import annotations

from dataclasses import dataclass

__all__ = ["Measured"]


@dataclass(frozen=True, slots=True, kw_only=True)
class Measured:
    """One measured size or mass.

    Parameters
    ----------
    feature : str or None
        Title of the feature; None for the part as a whole
    name : str
        What was measured: a dimension, "station", "length" or "mass"
    value : float
        What was found, [mm], a mass in [g]
    drawn : float or None
        What the drawing gives, [mm]; None for a mass
    uncertainty : float
        By how much the instrument may be off, in the unit of the value, [mm]
    """

    feature: str | None
    name: str
    value: float
    drawn: float | None
    uncertainty: float

    @property
    def unit(self) -> str:
        """Unit of the value."""
        return "g" if self.name == "mass" else "mm"

    def __str__(self) -> str:
        what = self.name.replace("_", " ")
        subject = f"{self.feature}, {what}" if self.feature else what
        text = (
            f"{subject} {self.value:.4g} {self.unit}"
            if self.drawn is None
            else f"{subject} {self.value:.3f} mm"
        )
        return (
            text if self.drawn is None else f"{text}, drawn {self.drawn:.3f} ({self.value - self.drawn:+.3f})"
        )
