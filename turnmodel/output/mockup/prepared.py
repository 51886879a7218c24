"""The mock-up of an object: the same parts and joints, each surface moved by its printer's allowance."""

from __future__ import annotations

from dataclasses import dataclass, replace
from itertools import permutations
from typing import TYPE_CHECKING, Final

from turnmodel.analysis.interference import meetings
from turnmodel.analysis.walls import thread_wall
from turnmodel.design.design import Design
from turnmodel.design.features.across import CrossTap
from turnmodel.design.joint import Joint, Screw, Seat, State
from turnmodel.design.ledger import mm
from turnmodel.design.part import BoughtPart, Part, ShapedPart, StripPart, built
from turnmodel.design.turned import Turned
from turnmodel.geometry.engagement import FlankClearance, flank_clearance, matching
from turnmodel.geometry.tolerance import CONTACT_MM3
from turnmodel.output.mockup.fits import Fit, Kind, allowances, fits
from turnmodel.output.mockup.seats import seated_as
from turnmodel.output.mockup.single import printed, stand_in
from turnmodel.output.mockup.threads import Cut, cuts, plain_recut, recut, shifted_thread
from turnmodel.output.mockup.walls import ThinWall, thickened, thin_walls
from turnmodel.shape.allowance import runs

if TYPE_CHECKING:
    from collections.abc import Callable, Iterable, Iterator, Mapping, Sequence

    from turnmodel.catalog.printer import Printer
    from turnmodel.catalog.threads import Thread
    from turnmodel.geometry.body import ThreadSpan
    from turnmodel.output.mockup.threads import Way
    from turnmodel.output.mockup.walls import Side
    from turnmodel.shape.allowance import Recut, Run

__all__ = ["Clash", "Mockup", "mockup", "rejoined", "thread_room"]


@dataclass(frozen=True, slots=True, kw_only=True)
class Clash:
    """Two parts of a mock-up that fill the same place in a state, and the volume that they share [mm3]."""

    state: str
    parts: tuple[str, str]
    volume: float


@dataclass(frozen=True, slots=True, kw_only=True)
class Mockup:
    """A mock-up, ready to be printed.

    Parameters
    ----------
    metal : Design
        The object as designed
    design : Design
        The same object of printed parts, its bought parts as they are
    printer : Printer
        The printer
    fits : tuple of Fit
        What fits into what
    threads : tuple of Cut
        How each thread is printed
    clashes : tuple of Clash
        Parts that run into each other now and do not in metal
    notes : tuple of str
        What else was done or could not be
    """

    metal: Design
    design: Design
    printer: Printer
    fits: tuple[Fit, ...]
    threads: tuple[Cut, ...]
    clashes: tuple[Clash, ...]
    notes: tuple[str, ...]

    @property
    def thin(self) -> tuple[ThinWall, ...]:
        """Walls thinner than the printer's least."""
        return thin_walls(self.printed, self.printer)

    @property
    def printed(self) -> tuple[Part, ...]:
        """The parts that are printed."""
        return tuple(part for part in self.design.parts if not isinstance(part, BoughtPart))


def mockup(design: Design, printer: Printer, *, way: Way = "coarse", thicken: Side | None = None) -> Mockup:
    """Make the mock-up of an object.

    Parameters
    ----------
    design : Design
        The object as designed
    printer : Printer
        The printer
    way : {"fine", "coarse", "plain"}
        How threads are printed that are too fine for it
    thicken : {"in", "out"}, optional
        Which way walls are made thicker that are too thin for it

    Returns
    -------
    Mockup
        Its parts keep every station; its joints and states are the object's own

    Notes
    -----
    A coarser pitch is kept where it leaves the printer's least wall on every part and lets everything through
    that passes; else the next is tried, and plain bores last.
    """
    offered = {name: list(cuts(thread, printer, way)) for name, thread in _threads(design).items()}
    known = _clashes(design)
    while True:
        chosen = {name: ways[0] for name, ways in offered.items()}
        made = _made(design, printer, chosen, {})
        refused = _spoilt(made, offered, printer)
        if not refused:
            clashes = _clashes(made.design, known)
            refused = {name for clash in clashes for name in _shared_names(design, clash.parts)}
            refused = {name for name in refused if len(offered[name]) > 1}
            if not refused:
                made = replace(made, clashes=clashes)
                return made if thicken is None else _thickened(made, thicken, known)
        for name in refused:
            offered[name].pop(0)


def _thickened(made: Mockup, side: Side, known: tuple[Clash, ...]) -> Mockup:
    """Move surfaces until no wall is thin, as far as that goes, and never into another part."""
    chosen = {cut.designation: cut for cut in made.threads}
    more: dict[str, dict[Run, float]] = {}
    refused: list[str] = []
    for _ in range(_ROUNDS):
        thin = tuple(wall for wall in made.thin if wall.part not in refused)
        extra, notes = thickened(made.metal, thin, made.fits, made.printer, side)
        if not extra:
            break
        tried = {
            name: {
                run: more.get(name, {}).get(run, 0.0) + extra.get(name, {}).get(run, 0.0)
                for run in {**more.get(name, {}), **extra.get(name, {})}
            }
            for name in {**more, **extra}
        }
        redone = _made(made.metal, made.printer, chosen, tried)
        clashes = _clashes(redone.design, known)
        if len(clashes) > len(made.clashes):
            refused += [name for clash in clashes for name in clash.parts]
            continue
        made, more = replace(redone, clashes=clashes), tried
    _, notes = thickened(made.metal, made.thin, made.fits, made.printer, side)
    notes += tuple(f"{name}: it stays thin, for it would run into its neighbour" for name in refused)
    return replace(made, notes=(*made.notes, *dict.fromkeys(notes)))


_ROUNDS: Final = 8
"""Rounds in which walls are made thicker: a sloping one needs a few."""


def thread_room(cut: Cut, printer: Printer) -> FlankClearance | None:
    """Tell the room between the flanks of a thread as printed; None where its bores are plain."""
    if cut.thread is None:
        return None
    male = shifted_thread(cut.thread, printer, external=True)
    female = shifted_thread(cut.thread, printer, external=False)
    return flank_clearance(cut.thread, male.pitch_d, female.pitch_d)


def _threads(design: Design) -> dict[str, Thread]:
    """List the threads of an object by their designations."""
    found: dict[str, Thread] = {}
    for part in design.parts:
        made = built(part)
        if isinstance(made, Turned) and not isinstance(part, BoughtPart):
            for span in made.body.threads:
                found.setdefault(span.thread.designation, span.thread)
            for cut in made.across:
                if isinstance(cut.feature, CrossTap):
                    found.setdefault(cut.feature.thread.designation, cut.feature.thread)
    return found


def _made(
    design: Design,
    printer: Printer,
    chosen: Mapping[str, Cut],
    more: Mapping[str, Mapping[Run, float]],
) -> Mockup:
    """Make the mock-up with its threads as chosen, and some runs moved by more than their allowance."""
    found = fits(design, printer)
    recuts = {
        part.name: _recuts(design, part, made, printer, chosen)
        for part in design.parts
        if isinstance(made := built(part), Turned) and not isinstance(part, BoughtPart)
    }
    moved = allowances(design, printer, found, recuts)
    for name, own in more.items():
        for run, by in own.items():
            moved[name][run] = moved[name].get(run, 0.0) + by
    seats = {(f.part, f.name) for j in design.every_joint for f in (j.moving, j.fixed)}
    notes: list[str] = []
    parts: dict[str, Part] = {}
    for part in design.parts:
        made = built(part)
        if isinstance(part, BoughtPart):
            parts[part.name] = part
        elif isinstance(part, StripPart):
            thicker = stand_in(part, printer)
            parts[part.name] = thicker
            notes.append(
                f"{part.name}: a stiffer stand-in of the spring, {mm(thicker.thickness):g} mm thick for "
                f"{mm(part.thickness):g} mm and as wide all along, to be printed on its edge"
            )
        elif isinstance(made, Turned):
            marks = {name for owner, name in seats if owner == part.name}
            shape = printed(made, printer, moved[part.name], recuts[part.name], chosen, marks)
            parts[part.name] = ShapedPart(name=part.name, material=printer.material, shape=shape)
    redone = rejoined(design, parts, lambda joint: _joint(joint, chosen, design, parts))
    return Mockup(
        metal=design,
        design=redone,
        printer=printer,
        fits=(*found, *_plain_fits(design, printer, chosen)),
        threads=tuple(chosen.values()),
        clashes=(),
        notes=tuple(notes),
    )


def rejoined(
    design: Design, parts: Mapping[str, Part], joined: Callable[[Joint], Joint] | None = None
) -> Design:
    """Build a design anew from other parts of the same names.

    Parameters
    ----------
    design : Design
        The design
    parts : mapping
        Name to the part that stands in its place; one left out stays
    joined : callable, optional
        Gives the joint that stands in a joint's place

    Returns
    -------
    Design
        The same joints and states, of the other parts
    """
    own = {part.name: parts.get(part.name, part) for part in design.parts}

    def renewed(joint: Joint) -> Joint:
        made = joined(joint) if joined else joint
        if isinstance(made, Screw) and made.into is not None:
            return replace(made, into=own[made.into.name])
        return made

    return Design(
        design.name,
        parts=tuple(own.values()),
        joints=[renewed(joint) for joint in design.joints],
        states={
            name: State(
                tuple(renewed(joint) for joint in state.joints),
                tuple(own[part.name] for part in state.aside),
            )
            for name, state in design.states.items()
        },
    )


def _joint(joint: Joint, chosen: Mapping[str, Cut], design: Design, parts: Mapping[str, Part]) -> Joint:
    """Make a joint between the mock-up's parts; a screw whose threads are plain is pushed home."""
    bought = any(isinstance(parts[face.part], BoughtPart) for face in (joint.moving, joint.fixed))
    if isinstance(joint, Seat) and bought:
        return seated_as(design, parts, joint)
    if not isinstance(joint, Screw):
        return joint
    holder = joint.into.name if joint.into else joint.fixed.part
    names = _shared_names(design, (joint.moving.part, holder))
    if all(chosen[name].thread is None for name in names):
        lead = max(_threads(design)[name].lead for name in names)
        return Seat(joint.moving, joint.fixed, turn=joint.turn, gap=joint.turns_open * lead)
    return joint


def _spans(part: Part) -> tuple[ThreadSpan, ...]:
    made = built(part)
    return made.body.threads if isinstance(made, Turned) else ()


def _cross_taps(part: Part) -> tuple[CrossTap, ...]:
    made = built(part)
    cut = made.across if isinstance(made, Turned) else ()
    return tuple(c.feature for c in cut if isinstance(c.feature, CrossTap))


def _shared_names(design: Design, pair: Iterable[str]) -> set[str]:
    """List the threads that both parts of a pair have."""
    named = [
        {s.thread.designation for s in _spans(design.part(name))}
        | {tap.thread.designation for tap in _cross_taps(design.part(name))}
        for name in pair
    ]
    return set.intersection(*named)


def _recuts(
    design: Design, part: Part, made: Turned, printer: Printer, chosen: Mapping[str, Cut]
) -> dict[ThreadSpan, Recut]:
    """Cut every thread of a part as chosen."""
    found = {}
    for span in made.body.threads:
        cut = chosen[span.thread.designation]
        if cut.thread is not None:
            found[span] = recut(span, made, cut.thread, printer)
        else:
            found[span] = plain_recut(span, made, printer, _bore_d(design, part, span))
    return found


def _plain_fits(design: Design, printer: Printer, chosen: Mapping[str, Cut]) -> Iterator[Fit]:
    """Give the fits of screws and holes that are left plain."""
    threaded = [(part, run) for part in design.parts for run in _threaded(part)]
    for (hole, female), (shaft, male) in permutations(threaded, 2):
        screw, tapped = male.thread, female.thread
        if screw is None or tapped is None or hole is shaft or not matching(screw, tapped):
            continue
        name = screw.thread.designation
        if name == tapped.thread.designation and chosen[name].thread is None:
            yield Fit(
                hole=hole.name, shaft=shaft.name, kind=Kind.FRICTION, designed=0.0,
                printed=printer.hole + printer.shaft, hole_run=female, shaft_run=male,
            )  # fmt: skip


def _threaded(part: Part) -> list[Run]:
    made = built(part)
    if isinstance(part, BoughtPart) or not isinstance(made, Turned):
        return []
    return [run for run in runs(made.body) if run.thread]


def _bore_d(design: Design, part: Part, screw: ThreadSpan) -> float:
    """Diameter of the smallest hole that a screw passes into, else of a hole drilled for it, [mm]."""
    bores = [screw.thread.minor_d]
    found = []
    for other in design.parts:
        if other is not part and not isinstance(other, BoughtPart):
            found += [2 * min(r for _, r in s.floor) for s in _spans(other) if matching(screw, s)
                      and s.thread.designation == screw.thread.designation]  # fmt: skip
            found += [
                tap.diameter for tap in _cross_taps(other)
                if tap.thread.designation == screw.thread.designation
            ]  # fmt: skip
    return min(found or bores)


def _spoilt(made: Mockup, offered: Mapping[str, Sequence[Cut]], printer: Printer) -> set[str]:
    """Name the threads that leave too thin a wall or too few turns, and for which there is another way."""
    found = set()
    for part in made.printed:
        shape = built(part)
        for span in _spans(part):
            name = span.thread.designation
            if len(offered[name]) < 2 or not isinstance(shape, Turned):
                continue
            wall = thread_wall(shape, span, printer.wall)
            thin = wall is not None and wall.distance < printer.wall
            if thin or span.end - span.start < _LEAST_TURNS * span.thread.pitch:
                found.add(name)
    return found


_LEAST_TURNS: Final = 2.5
"""Turns [-] that a coarser thread must have room for, its lead-in among them: house choice."""


def _clashes(design: Design, known: Iterable[Clash] = ()) -> tuple[Clash, ...]:
    """List the parts that run into each other and are not meant to, nor known to."""
    before = {(clash.state, clash.parts) for clash in known}
    return tuple(
        Clash(state=state, parts=pair.parts, volume=pair.overlap)
        for state in design.states
        for pair in meetings(design, state)
        if pair.overlap > CONTACT_MM3 and not pair.meant and (state, pair.parts) not in before
    )
