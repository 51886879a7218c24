"""At what pull the threads of a joint strip: shear areas as FED-STD-H28/2B has them."""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import TYPE_CHECKING, Final

from turnmodel.catalog.thread_forms import UNIFIED
from turnmodel.catalog.thread_limits import limits
from turnmodel.errors import BadValue, UnknownName

if TYPE_CHECKING:
    from turnmodel.catalog.materials import Material
    from turnmodel.catalog.thread_limits import ThreadLimits
    from turnmodel.catalog.threads import Thread

__all__ = [
    "Loosest",
    "ShearAreas",
    "full_strength_length",
    "known_limits",
    "loosest",
    "shear_areas",
    "shear_strength",
    "stripping_force",
    "tensile_area",
]


@dataclass(frozen=True, slots=True, kw_only=True)
class Loosest:
    """The sizes of a screw and a hole at which their threads cover each other least.

    Parameters
    ----------
    screw_major_d : float
        Least major diameter of the screw, [mm]
    screw_pitch_d : float
        Least pitch diameter of the screw, [mm]
    hole_pitch_d : float
        Greatest pitch diameter of the hole, [mm]
    hole_minor_d : float
        Greatest minor diameter of the hole, [mm]
    """

    screw_major_d: float
    screw_pitch_d: float
    hole_pitch_d: float
    hole_minor_d: float


@dataclass(frozen=True, slots=True, kw_only=True)
class ShearAreas:
    """What is sheared when a joint strips: the screw's thread, or the hole's, [mm2]."""

    screw: float
    hole: float


def known_limits(thread: Thread, *, external: bool) -> ThreadLimits | None:
    """Give the limits of size of a thread, or None where its form or its class has none here.

    Parameters
    ----------
    thread : Thread
        The thread, of the class in its designation or the usual one
    external : bool
        Whether the limits of the screw are wanted, or of the hole

    Returns
    -------
    ThreadLimits or None
        The limits

    Examples
    --------
    >>> from turnmodel.catalog.threads import thread
    >>> known_limits(thread("2BA"), external=True) is None
    True
    """
    try:
        return limits(thread, external)
    except UnknownName:
        return None


def loosest(screw: Thread, hole: Thread) -> Loosest:
    """Take the worst sizes that the classes of a screw and a hole allow.

    Parameters
    ----------
    screw, hole : Thread
        The two threads, each of the class in its designation or the usual one

    Returns
    -------
    Loosest
        Limits of size; the basic sizes where the form of thread has no limits here

    Examples
    --------
    >>> from turnmodel.catalog.threads import thread
    >>> found = loosest(thread("M10x1.5"), thread("M10x1.5"))
    >>> round(found.screw_major_d, 3), round(found.hole_pitch_d, 3)
    (9.732, 9.206)
    """
    male, female = known_limits(screw, external=True), known_limits(hole, external=False)
    if male is None or female is None:
        return Loosest(
            screw_major_d=screw.major_d,
            screw_pitch_d=screw.pitch_d,
            hole_pitch_d=hole.pitch_d,
            hole_minor_d=hole.minor_d,
        )
    return Loosest(
        screw_major_d=male.major_min or screw.major_d,
        screw_pitch_d=male.pitch_min,
        hole_pitch_d=female.pitch_max,
        hole_minor_d=female.minor_max,
    )


def shear_areas(thread: Thread, length: float, sizes: Loosest) -> ShearAreas:
    r"""Compute the areas in which the threads of a joint shear.

    .. math::
        A_s = \frac{\pi L}{P} K_n \left[ \frac P2 + (E_s - K_n) \tan\frac\alpha2 \right], \qquad
        A_n = \frac{\pi L}{P} D_s \left[ \frac P2 + (D_s - E_n) \tan\frac\alpha2 \right]

    of the screw at the minor diameter :math:`K_n` of the hole, and of the hole at the major diameter
    :math:`D_s` of the screw; :math:`E` are the pitch diameters.

    Parameters
    ----------
    thread : Thread
        Gives pitch :math:`P` and angle :math:`\alpha`
    length : float
        Length :math:`L` at full engagement, [mm]
    sizes : Loosest
        Sizes of the two threads, [mm]

    Returns
    -------
    ShearAreas
        Both areas, [mm2]

    Raises
    ------
    BadValue
        If the length is negative.

    Notes
    -----
    Exact for straight flanks, which reach both cylinders in every 60 degree thread; rounded crests of BA and
    Model Engineer threads are counted as if the flanks went on. Threads of several starts fill the same share
    of a cylinder as single ones of their pitch.

    Examples
    --------
    >>> from turnmodel.catalog.threads import thread
    >>> m6 = thread("M6x1")
    >>> areas = shear_areas(m6, 6.0, loosest(m6, m6))
    >>> round(areas.screw, 1), round(areas.hole, 1)
    (51.9, 73.1)

    References
    ----------
    .. [1] FED-STD-H28/2B, Screw-Thread Standards for Federal Services, length of engagement.
    """
    if not length >= 0:
        raise BadValue("length of engagement", length, "mm", "must not be below 0 mm")
    slope = math.tan(math.radians(thread.form.angle / 2))
    round_ = math.pi * length / thread.pitch
    over = max(sizes.screw_pitch_d - sizes.hole_minor_d, -thread.pitch / 2 / slope)
    under = max(sizes.screw_major_d - sizes.hole_pitch_d, -thread.pitch / 2 / slope)
    return ShearAreas(
        screw=round_ * sizes.hole_minor_d * (thread.pitch / 2 + slope * over),
        hole=round_ * sizes.screw_major_d * (thread.pitch / 2 + slope * under),
    )


def tensile_area(thread: Thread) -> float:
    r"""Compute the section of a screw that bears its pull.

    .. math::
        A_t = \frac\pi4 \left( \frac{d_2 + d_3}{2} \right)^2 \text{(metric)}, \qquad
        A_t = 0.7854 \, (D - 0.9743 \, P)^2 \text{(Unified)}

    Parameters
    ----------
    thread : Thread
        The thread

    Returns
    -------
    float
        Stress area of a solid screw, [mm2]

    Notes
    -----
    Other forms are taken as the metric one, with their own pitch and root diameters.

    Examples
    --------
    >>> from turnmodel.catalog.threads import thread
    >>> round(tensile_area(thread("M10x1.5")), 2), round(tensile_area(thread("1/4-20 UNC")) / 25.4**2, 5)
    (57.99, 0.03182)

    References
    ----------
    .. [1] ISO 898-1, Mechanical properties of fasteners, stress area.
    .. [2] Machinery's Handbook, tensile stress area of screw threads.
    """
    if thread.form == UNIFIED:
        return math.pi / 4 * (thread.major_d - 0.9743 * thread.pitch) ** 2
    return math.pi / 4 * ((thread.pitch_d + thread.root_d) / 2) ** 2


def full_strength_length(
    thread: Thread, sizes: Loosest, section: float, strength_ratio: float = 1.0
) -> float:
    r"""Compute the length of engagement at which a screw breaks before a thread strips.

    .. math:: L = \frac{2 A_t}{A_s / L} \, \max\left( 1, \frac{A_s \sigma_s}{A_n \sigma_n} \right)

    Parameters
    ----------
    thread : Thread
        The thread
    sizes : Loosest
        Sizes of the two threads, [mm]
    section : float
        Section of the screw that bears the pull :math:`A_t`, [mm2]
    strength_ratio : float
        Tensile strength of the screw over that of the hole, :math:`\sigma_s / \sigma_n`, [-]

    Returns
    -------
    float
        Length at full engagement, [mm]

    Notes
    -----
    Shear strength is taken as half the tensile strength, from which the 2 comes.

    Examples
    --------
    >>> from turnmodel.catalog.threads import thread
    >>> t = thread("1/4-20 UNC")
    >>> round(full_strength_length(t, loosest(t, t), tensile_area(t)) / 25.4, 3)
    0.174

    References
    ----------
    .. [1] FED-STD-H28/2B, Screw-Thread Standards for Federal Services, length of engagement.
    """
    areas = shear_areas(thread, 1.0, sizes)
    return 2 * section / areas.screw * max(1.0, areas.screw * strength_ratio / areas.hole)


_SHEAR_OF_TENSILE: Final = 0.5
_SHEAR_OF_YIELD: Final = 1 / math.sqrt(3)


def shear_strength(material: Material) -> float | None:
    """Estimate the shear strength of a material: half its tensile strength, else 0.577 of its yield.

    Parameters
    ----------
    material : Material
        The material, its weakest temper counted

    Returns
    -------
    float or None
        Shear strength, [MPa]; None where no strength of it is known

    Notes
    -----
    Half the tensile strength is what the length of engagement in FED-STD-H28 rests on; 0.577 is von Mises's.

    Examples
    --------
    >>> from turnmodel.catalog.materials import material
    >>> shear_strength(material("CW614N"))
    200.0
    """
    if material.tensile_low is not None:
        return _SHEAR_OF_TENSILE * material.tensile_low
    return None if material.yield_low is None else _SHEAR_OF_YIELD * material.yield_low


def stripping_force(areas: ShearAreas, screw_shear: float, hole_shear: float) -> float:
    """Compute the pull at which the first of two threads strips.

    Parameters
    ----------
    areas : ShearAreas
        What is sheared, [mm2]
    screw_shear, hole_shear : float
        Shear strengths of the two materials, [MPa]

    Returns
    -------
    float
        Pull along the axis, [N]

    Examples
    --------
    >>> stripping_force(ShearAreas(screw=50.0, hole=70.0), 200.0, 130.0)
    9100.0
    """
    return min(areas.screw * screw_shear, areas.hole * hole_shear)
