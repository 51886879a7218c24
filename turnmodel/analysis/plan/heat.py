"""Hardening, tempering and blueing of carbon steel, by the colours that it shows."""

from __future__ import annotations

from typing import TYPE_CHECKING, Final

from turnmodel.analysis.plan.cautions import CAUTIONS
from turnmodel.analysis.plan.steps import Step, Verb
from turnmodel.catalog.finishes import finish, temper_colours

if TYPE_CHECKING:
    from turnmodel.catalog.materials import Material

__all__ = ["SPRING", "blued", "blueing_heat", "hardenable", "hardened"]

_CARBON: Final = ("1095", "O1", "silver steel")
"""How the names begin of steels that harden when they are quenched; datasheets of spring and tool steels."""

SPRING: Final = 296.0
"""Heat [°C] to which a spring is let down where its finish names none: dark blue; common practice."""


def hardenable(metal: Material) -> bool:
    """Tell whether a material hardens when it is quenched.

    Parameters
    ----------
    metal : Material
        The material

    Returns
    -------
    bool
        Whether it does

    Examples
    --------
    >>> from turnmodel.catalog.materials import material
    >>> hardenable(material("silver steel")), hardenable(material("303"))
    (True, False)
    """
    return metal.name.startswith(_CARBON)


def blueing_heat(name: str | None) -> float | None:
    """Give the heat [°C] of a blued finish; None of any other."""
    return finish(name).heat if name else None


def hardened(heat: float) -> tuple[Step, ...]:
    """Harden a strip and let it down.

    Parameters
    ----------
    heat : float
        Heat that it is let down to, [°C]

    Returns
    -------
    tuple of Step
        Harden, then temper

    Notes
    -----
    780 to 800 °C for 1095 [1]_; O1 takes the same red.

    References
    ----------
    .. [1] Spring-steel datasheets: harden 1095 at 1440 to 1475 degF, oil.
    """
    return (
        Step(
            verb=Verb.HEAT,
            text="to an even cherry red, 780 to 800 °C, then edge first into oil; a file now skids on it",
            cautions=(CAUTIONS["quench"],),
        ),
        Step(
            verb=Verb.HEAT,
            text=f"rubbed bright, on brass or in sand, slowly to {_colour(heat)}; then into the oil again",
        ),
    )


def blued(heat: float) -> Step:
    """Blue what is bright, or blue again what was tempered as it was bought, to a heat [°C]."""
    text = f"rubbed bright and clean of grease, on brass or in sand, slowly to {_colour(heat)} and no further"
    return Step(verb=Verb.HEAT, text=text)


def _colour(heat: float) -> str:
    """Write the temper colour nearest to a heat, with the heats at which works see it."""
    near = min(temper_colours(), key=lambda colour: abs(colour.heat - heat))
    return f"{near.name} ({min(near.heats):.0f} to {max(near.heats):.0f} °C: works differ)"
