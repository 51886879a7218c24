"""The lay of a surface: the fine lines that its making left, drawn by the renderer as it shades.

The lines are computed where a surface is seen, from its place in the part's own frame, so they cost no
triangles. They are never finer than the picture can show: a line is a few pixels wide at the least.
"""

from __future__ import annotations

from dataclasses import dataclass
from typing import TYPE_CHECKING, Any, Final, Literal

if TYPE_CHECKING:
    import numpy as np
    from numpy.typing import NDArray

__all__ = ["LAY_CODE", "LAY_NAMES", "Lay", "Lines", "laid"]

Lines = Literal["plain", "rings", "along", "layers", "knurl"]
"""No lines; rings of the feed; lines along the part; layers of a print; the ridges of a diamond knurl."""

_NUMBER: Final[dict[Lines, float]] = {"plain": 0.0, "rings": 1.0, "along": 2.0, "layers": 3.0, "knurl": 4.0}

_FINEST_MM: Final[dict[Lines, float]] = {
    "plain": 1.0, "rings": 0.1, "along": 0.06, "layers": 0.2, "knurl": 0.5,
}  # fmt: skip
"""Width of one line [mm]; house choice, a layer 0.2 mm as printers commonly lay it."""

_FINEST_PX: Final = 2.6
"""Width of one line in the picture [px] below which lines would crawl and flicker; house choice."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Lay:
    """Lines on a model, and the frame they follow, in the camera's frame.

    ``origin`` [mm], ``axis`` and ``across``, unit vectors, are those of the part; ``radius`` its greatest
    [mm]; ``round`` whether it is turned; ``pitch`` that of a knurl [mm].
    """

    lines: Lines
    origin: NDArray[np.float64]
    axis: NDArray[np.float64]
    across: NDArray[np.float64]
    radius: float
    round: bool = True
    pitch: float = 0.0


LAY_NAMES: Final = ("//VTK::Normal::Dec", "//VTK::Normal::Impl")
"""Places in the renderer's program where the code is put behind what stands there."""

_DECLARED: Final = """
float layHash(float x) { float h = fract(x * 0.1031); h *= h + 33.33; return fract(2.0 * h * h); }
float layNoise(float x)
{
  float i = floor(x), f = fract(x);
  return 2.0 * mix(layHash(i), layHash(i + 1.0), f * f * (3.0 - 2.0 * f)) - 1.0;
}
float layFeed(float x) { return 0.6 * layNoise(x) + 0.4 * layNoise(x / 3.7 + 31.0); }
float layWave(float x) { return abs(2.0 * fract(x) - 1.0); }
float laySlope(float x, float soft) { return clamp(sin(6.2831853 * x) / soft, -1.0, 1.0); }
"""

# An end face and a flat would each reflect one point of the room. A faced end is treated as dished by the
# feed, a flat as crowned along its part: both then show a gradient, as they do before a lens that is near.
_SHADED: Final = """
{
  vec3 layP = vertexVC.xyz - layOrigin;
  float layZ = dot(layP, layAxis);
  vec3 layR = layP - layZ * layAxis;
  float layD = length(layR);
  vec3 layOut = layR / max(layD, 1e-4);
  vec3 layN = normalVCVSOutput;
  float layFacing = dot(layN, layAxis);
  float layEnd = layRound * smoothstep(0.93, 0.985, abs(layFacing));
  vec3 layWay = normalize(mix(layAxis - layFacing * layN + 1e-4 * layOut, layOut, layEnd));
  vec3 layBent = 0.36 * layEnd * clamp(layD / layRadius, 0.0, 1.0) * layOut
    + (1.0 - layRound) * 0.16 * layZ / layRadius * layAxis;
  float layTone = 0.0;
  if (layKind == 1.0)
  {
    float g = layEnd < 1.0 ? layFeed(layZ / layWidth) : 0.0;
    if (layEnd > 0.0) { g = mix(g, layFeed(layD / layWidth), layEnd); }
    layBent += mix(0.03, 0.15, layEnd) * g * layWay;
    layTone = 0.05 * g;
  }
  else if (layKind == 2.0)
  {
    vec3 layOver = cross(layAxis, layOut);
    float layAngle = atan(dot(layR, cross(layAxis, layAcross)), dot(layR, layAcross));
    float s = mix(dot(layP, layAcross), layAngle * layRadius, layRound);
    float cell = floor(layZ / (40.0 * layWidth) + 7.0 * layHash(floor(s / layWidth)));
    float g = (1.0 - 0.8 * layEnd) * layNoise(s / layWidth + 17.0 * mod(cell, 13.0));
    layBent += 0.07 * g * mix(layAcross, layOver, layRound);
    layTone = 0.09 * g;
  }
  else if (layKind == 3.0)
  {
    float h = layZ / layWidth;
    layBent += 0.35 * (1.0 - layEnd) * sin(6.2831853 * h) * layAxis;
    layTone = -0.16 * (1.0 - layEnd) * pow(0.5 + 0.5 * cos(6.2831853 * h), 4.0);
  }
  else if (layKind == 4.0)
  {
    vec3 layOver = cross(layAxis, layOut);
    float layAngle = atan(dot(layR, cross(layAxis, layAcross)), dot(layR, layAcross));
    float n = max(8.0, floor(6.2831853 * layRadius / layWidth + 0.5));
    float u = layAngle * n / 6.2831853, v = layZ / layWidth;
    float a = 0.5 * (u + v), b = 0.5 * (u - v);
    float low = min(layWave(a), layWave(b));
    float onA = smoothstep(-0.06, 0.06, layWave(b) - layWave(a));
    float da = laySlope(a, 0.35), db = laySlope(b, 0.35);
    layBent += 0.62 * (mix(db, da, onA) * layOver + mix(-db, da, onA) * layAxis);
    layTone = -0.42 * (1.0 - smoothstep(0.0, 0.42, low));
  }
  normalVCVSOutput = normalize(layN + layBent);
  diffuseColor *= 1.0 + layTone;
}
"""

_WHITE_RIM: Final = "vec3 Fr = max(vec3(1 - roughness), F0) - F0;"
_OWN_RIM: Final = "vec3 Fr = max(mix(vec3(1 - roughness), F90, metallic), F0) - F0;"
"""At grazing incidence the renderer lets a metal go white, brass mauve; it keeps the tint of its edge."""

LAY_CODE: Final = (_DECLARED, _SHADED)
"""What is put there, in the order of `LAY_NAMES`."""


def laid(actor: Any, lay: Lay, scale: float) -> None:
    """Draw lines on an actor of the renderer, for a picture of this scale [px/mm]."""
    shader = actor.GetShaderProperty()
    shader.ClearAllFragmentShaderReplacements()
    for place, code in zip(LAY_NAMES, LAY_CODE, strict=True):
        shader.AddFragmentShaderReplacement(place, True, f"{place}\n{code}", False)
    shader.AddFragmentShaderReplacement(_WHITE_RIM, False, _OWN_RIM, True)
    width = lay.pitch or max(_FINEST_MM[lay.lines], _FINEST_PX / scale)
    given = shader.GetFragmentCustomUniforms()
    for name, vector in (("layOrigin", lay.origin), ("layAxis", lay.axis), ("layAcross", lay.across)):
        given.SetUniform3f(name, [float(v) for v in vector])
    for name, number in (
        ("layRadius", lay.radius),
        ("layRound", float(lay.round)),
        ("layKind", _NUMBER[lay.lines]),
        ("layWidth", width),
    ):
        given.SetUniformf(name, number)
