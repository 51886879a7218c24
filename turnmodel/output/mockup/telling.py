"""What is said of a mock-up: a page to keep beside the printer, and the same as one object of JSON."""

from __future__ import annotations

from typing import TYPE_CHECKING, Any

from turnmodel.output.mockup.ballast import TARGET_MM
from turnmodel.output.mockup.prepared import thread_room

if TYPE_CHECKING:
    from collections.abc import Iterator

    from turnmodel.catalog.toolbox import OwnedSlug
    from turnmodel.output.mockup.ballast import Felt
    from turnmodel.output.mockup.plate import Roof
    from turnmodel.output.mockup.pockets import Pocket
    from turnmodel.output.mockup.printing import Prepared
    from turnmodel.output.mockup.threads import Cut

__all__ = ["as_json", "ballast_told", "felt_told", "page", "roof_told", "thread_told", "warned"]


def page(made: Prepared) -> str:
    """Write the page that goes with the files.

    Parameters
    ----------
    made : Prepared
        The mock-up made ready

    Returns
    -------
    str
        Markdown
    """
    return "\n".join(_lines(made)) + "\n"


def _lines(made: Prepared) -> Iterator[str]:
    mock, printer = made.mockup, made.mockup.printer
    yield f"# {mock.metal.name}: mock-up in {printer.material}"
    yield ""
    yield (
        f"For a {printer.process} printer with lines of {printer.line:g} mm and layers of {printer.layer:g} "
        f"mm. Holes are drawn {printer.hole:g} mm over their size, outsides that fit {printer.shaft:g} mm "
        f"under it; what slides has {printer.slide:g} mm beyond that. Print solid, at 100 %."
    )
    yield from ("", "## Parts", "")
    for part in made.standing:
        x, y, z = part.size
        yield (
            f"- **{part.name}** stands on its {part.on}: {x:.1f} x {y:.1f} x {z:.1f} mm, {part.flat:.0f} mm2 "
            f"on the plate, {part.facets} facets round, at most {part.off:.4f} mm off the circle"
        )
        yield from (f"  - support: {roof_told(roof)}" for roof in part.roofs)
    if mock.threads:
        yield from ("", "## Threads", "")
        yield from (f"- {thread_told(cut, made)}" for cut in mock.threads)
    if mock.fits:
        yield from (
            "",
            "## Fits",
            "",
            "| in | goes | how | room in metal | room in the files |",
            "|---|---|---|---|---|",
        )
        rows = (
            f"| {fit.hole} | {fit.shaft} | {fit.kind} | {fit.designed:.3f} | {fit.printed:.3f} |"
            for fit in mock.fits
        )
        yield from dict.fromkeys(rows)
        yield from ("", "Room in mm on diameter.")
    yield from ("", "## Feel", "", "| state | | mass g | balance mm |", "|---|---|---|---|")
    for felt in made.felt:
        yield f"| {felt.state} | metal | {felt.metal_mass:.2f} | {felt.metal_balance:.2f} |"
        yield f"| | mock-up | {felt.mass:.2f} | {felt.balance:.2f} |"
    yield ""
    yield from (f"{felt_told(felt)}  " for felt in made.felt)
    if lines := ballast_told(made):
        yield from ("", "## Ballast", "")
        yield from (f"- {line}" for line in lines)
    if lines := warned(made):
        yield from ("", "## To know", "")
        yield from (f"- {line}" for line in lines)


def warned(made: Prepared) -> list[str]:
    """List what is thin, what clashes, what is too large, and whatever else is to be known."""
    mock = made.mockup
    least = f"under the least of {mock.printer.wall:g} mm"
    return [
        *(f"{w.part}: a wall of {w.wall:.2f} mm at {w.station:.1f} mm, {least}" for w in mock.thin),
        *(f"{c.state}: {' and '.join(c.parts)} fill the same {c.volume:.3g} mm3" for c in mock.clashes),
        *(f"{name} is larger than the bed" for name in made.too_large),
        *(
            f"{s.name} stands {s.size[2]:.0f} mm high on {s.flat:.0f} mm2: print it with a brim, or lying"
            for s in made.standing
            if not s.steady
        ),
        *mock.notes,
    ]


def thread_told(cut: Cut, made: Prepared) -> str:
    """Tell how a thread is printed, and its room."""
    room = thread_room(cut, made.mockup.printer)
    if room is None:
        return str(cut)
    return f"{cut}; {room.pitch_d:.2f} mm on pitch diameter, {room.normal:.3f} mm square to each flank"


def roof_told(roof: Roof) -> str:
    """Tell of a roof."""
    if roof.inner_d < 0.01:
        return f"a roof of {roof.outer_d:.1f} mm across at {roof.station:.1f} mm from the front"
    across = f"{roof.inner_d:.1f} to {roof.outer_d:.1f} mm diameter"
    return f"a roof from {across} at {roof.station:.1f} mm from the front"


def felt_told(felt: Felt) -> str:
    """Tell how far a state is off the metal."""
    lead = "as the metal does" if abs(felt.off) <= TARGET_MM else f"{abs(felt.off):.1f} mm too far to the "
    if abs(felt.off) > TARGET_MM:
        lead += "back" if felt.off > 0 else "front"
    share = 100 * felt.mass / felt.metal_mass
    return f"{felt.state}: balances {lead}; {felt.lighter:.1f} g lighter, {share:.0f} % of the metal's mass"


def ballast_told(made: Prepared) -> list[str]:
    """List what goes into the pockets, and what of the slugs helps nothing, and why."""
    found = [_pocket_told(pocket) for pocket in made.ballast.pockets]
    wall = made.mockup.printer.wall
    for idle in made.ballast.idle:
        why = "brings it no nearer" if idle.fits else f"no part has room for it behind walls of {wall:g} mm"
        found.append(f"{_slug_told(idle.slug)} is left out: {why}")
    return found


def _slug_told(slug: OwnedSlug) -> str:
    hole = f", hole {slug.hole_d:g} mm" if slug.hole_d else ""
    return f"{slug.material} {slug.diameter:g} x {slug.length:g} mm{hole}"


def _pocket_told(pocket: Pocket) -> str:
    """Tell what goes into a pocket."""
    slot, slug = pocket.slot, pocket.slot.slug
    where = "on the axis" if slot.around == 1 else f"{slot.around} on a circle of {slot.circle_d:.2f} mm"
    end = "back" if slot.from_back else "front"
    slugs = f"{slot.each} of {slug.material} {slug.diameter:g} x {slug.length:g} mm"
    return (
        f"{slot.part}, from the {end}, {where}: pockets of {slot.diameter:.2f} mm, {pocket.depth:.2f} mm "
        f"deep from that end; in each {slugs}, then a plug of {pocket.plug_length:.2f} mm"
    )


def as_json(made: Prepared) -> dict[str, Any]:
    """Lay a mock-up out as the one object that ``--json`` prints, numbers not rounded."""
    mock = made.mockup
    return {
        "design": mock.metal.name,
        "process": mock.printer.process,
        "material": mock.printer.material,
        "parts": {
            part.name: {
                "stands_on": part.on,
                "size_mm": list(part.size),
                "flat_mm2": part.flat,
                "facets": part.facets,
                "sagitta_mm": part.off,
                "overhang": [
                    {"station_mm": r.station, "inner_d_mm": r.inner_d, "outer_d_mm": r.outer_d}
                    for r in part.roofs
                ],
            }
            for part in made.standing
        },
        "plates": [[part.name for part in plate.parts] for plate in made.plates],
        "too_large": list(made.too_large),
        "threads": [
            {
                "designation": cut.designation,
                "way": "plain" if cut.thread is None else "as designed" if cut.as_designed else "coarser",
                "pitch_mm": cut.thread.pitch if cut.thread else None,
                "major_d_mm": cut.thread.major_d if cut.thread else None,
                "reason": cut.reason,
            }
            for cut in mock.threads
        ],
        "fits": [
            {
                "hole": f.hole,
                "shaft": f.shaft,
                "kind": str(f.kind),
                "metal_mm": f.designed,
                "file_mm": f.printed,
            }
            for f in mock.fits
        ],
        "states": {
            f.state: {
                "metal_mass_g": f.metal_mass,
                "metal_balance_mm": f.metal_balance,
                "mass_g": f.mass,
                "balance_mm": f.balance,
            }
            for f in made.felt
        },
        "ballast": [
            {
                "part": p.slot.part,
                "from": "back" if p.slot.from_back else "front",
                "pockets": p.slot.around,
                "circle_d_mm": p.slot.circle_d,
                "diameter_mm": p.slot.diameter,
                "depth_mm": p.depth,
                "slugs_each": p.slot.each,
                "slug": {
                    "material": p.slot.slug.material,
                    "diameter_mm": p.slot.slug.diameter,
                    "length_mm": p.slot.slug.length,
                },
                "plug_mm": p.plug_length,
            }
            for p in made.ballast.pockets
        ],
        "ballast_left_out": [
            {"material": i.slug.material, "diameter_mm": i.slug.diameter, "fits": i.fits}
            for i in made.ballast.idle
        ],
        "thin_walls": [{"part": w.part, "wall_mm": w.wall, "station_mm": w.station} for w in mock.thin],
        "clashes": [{"state": c.state, "parts": list(c.parts), "volume_mm3": c.volume} for c in mock.clashes],
        "notes": list(mock.notes),
    }
