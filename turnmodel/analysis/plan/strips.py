"""The cut sheet of a strip part: cut, drilled, filed, bent, and heated where it must be."""

from __future__ import annotations

from typing import TYPE_CHECKING, Final

from turnmodel.analysis.plan.cautions import CAUTIONS, material_cautions
from turnmodel.analysis.plan.heat import SPRING, blued, blueing_heat, hardenable, hardened
from turnmodel.analysis.plan.job import at_hand, drill_tool, size_name
from turnmodel.analysis.plan.lengths import Lengths, Unit
from turnmodel.analysis.plan.speeds import turns
from turnmodel.analysis.plan.steps import Bench, Blank, Plan, Step, Verb
from turnmodel.analysis.plan.trying import tried
from turnmodel.analysis.practice import LEAST_BEND
from turnmodel.analysis.weight import part_weight
from turnmodel.catalog.drills import nearest_drills
from turnmodel.catalog.materials import material
from turnmodel.design.ledger import mm
from turnmodel.design.part import StripPart, built
from turnmodel.geometry.strip import Strip, stretches, width_at

if TYPE_CHECKING:
    from turnmodel.analysis.plan.trying import Trial
    from turnmodel.catalog.materials import Material
    from turnmodel.catalog.toolbox import Toolbox

__all__ = ["strip_plan"]

_TRIM: Final = 1.0
"""Left round the outline [mm] for the file; house choice."""

_TO_HOLD: Final = 15.0
"""Strip [mm] beyond the outline to clamp it by; house choice."""


def strip_plan(part: StripPart, tools: Toolbox, unit: Unit, trials: tuple[Trial, ...]) -> Plan:
    """Plan how a strip part is made.

    Parameters
    ----------
    part : StripPart
        The part
    tools : Toolbox
        The tools
    unit : {"mm", "in"}
        Unit of the texts
    trials : tuple of Trial
        What is tried on it

    Returns
    -------
    Plan
        Two groups of steps: flat, and bent
    """
    made = built(part)
    assert isinstance(made, Strip)
    say, metal = Lengths(unit), material(part.material)
    wide = max(width_at(made, made.length * k / 64) for k in range(65))
    hard = "hard" in metal.name or "blue" in metal.name
    blank = Blank(
        stock=f"{metal.name} {say(made.thickness)} thick, {say.rough(wide + 2 * _TRIM)} or wider",
        diameter=wide + 2 * _TRIM,
        takes=made.length + 2 * _TRIM,
        held=_TO_HOLD,
        sawn=True,
    )
    flat = _flat(part, made, tools, say, metal, wide, hard)
    bent = _bent(part, made, say, metal, hard)
    plan = Plan(
        part=part,
        blank=blank,
        settings=(),
        bench=(Bench(title="flat", steps=flat), Bench(title="bent", steps=bent)),
        unit=unit,
    )
    return tried(plan, trials)


def _flat(
    part: StripPart, made: Strip, tools: Toolbox, say: Lengths, metal: Material, wide: float, hard: bool
) -> tuple[Step, ...]:
    """Cut, drill and file it while it is flat: holes first, while there is strip to clamp."""
    lines = "the paper outline glued on, true size; check its line with a rule"
    steps = [Step(verb=Verb.MARK, text=lines, tools=(at_hand("paper template"),))]
    for name, (along, diameter) in zip(part.holes, made.holes, strict=True):
        drill = next((d for d in nearest_drills(diameter) if d is not None), None)
        size = (
            drill.name if drill is not None and abs(drill.diameter - diameter) < 1e-4 else size_name(diameter)
        )
        carbide = "carbide, or soften that spot first" if hard else "a sharp drill"
        steps.append(
            Step(
                verb=Verb.DRILL,
                text=f"{size} for {name}, {say(along)} from the end, on the middle line; {carbide}",
                feature=name,
                tools=(drill_tool(tools, size, diameter, 0.0),),
                turns=turns(metal, diameter, tools.lathe.speeds, "drill"),
                cautions=(CAUTIONS["cross drill"],),
            )
        )
    how = "with a cutting disc" if hard else "with snips or a saw"
    steps.append(
        Step(
            verb=Verb.CUT,
            text=f"{say(made.length)} long and up to {say(wide)} wide, {say.rough(_TRIM)} outside the line, "
            f"{how}",
            tools=(at_hand("cutting disc" if hard else "snips"),),
            cautions=(CAUTIONS["strip"],),
        )
    )
    corner = mm(part.corner)
    rounded = f", ends R{say(corner)}" if corner else ""
    steps.append(
        Step(
            verb=Verb.FILE,
            text=f"to the line{rounded}; draw-file both edges along their length and stone them: springs "
            "break at a nick",
            tools=(at_hand("file"), at_hand("stone")),
        )
    )
    return tuple(steps)


def _bent(part: StripPart, made: Strip, say: Lengths, metal: Material, hard: bool) -> tuple[Step, ...]:
    """Bend it, from the end that is held; heat it where it must be."""
    steps = []
    for bend in stretches(made):
        if not bend.turn:
            continue
        inside = 1 / abs(bend.curvature) - made.thickness / 2
        turn = abs(bend.turn) * 57.29577951308232
        tight = inside < LEAST_BEND * made.thickness * (1 - 1e-9)
        risk = "; so tight a bend cracks hard strip: soften it there first" if hard and tight else ""
        back = ". Past it, for it springs back: bend, try, bend again" if hard else ""
        way = "up" if bend.turn > 0 else "down"
        steps.append(
            Step(
                verb=Verb.BEND,
                text=f"{turn:.3g}° {way}, R{say(inside)} inside, from {say(bend.start)} to {say(bend.end)} "
                f"along it{back}{risk}",
                tools=(at_hand("rod", f"under ⌀{say(2 * inside)}"),),
            )
        )
    heat = blueing_heat(part.finish)
    if hardenable(metal) and not hard:
        steps += hardened(heat or SPRING)
    elif heat:
        steps.append(blued(heat))
    grams = part_weight(part).mass
    finish = f"{part.finish}; " if part.finish else ""
    steps.append(
        Step(
            verb=Verb.FINISH,
            text=f"{finish}it should weigh {grams:.2f} g",
            cautions=material_cautions(metal, finished=True),
        )
    )
    return tuple(steps)
