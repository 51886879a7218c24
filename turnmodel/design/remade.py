"""The same design with some of its parts replaced."""

from __future__ import annotations

from dataclasses import replace
from typing import TYPE_CHECKING

from turnmodel.design.design import Design
from turnmodel.design.joint import Joint, Screw, State

if TYPE_CHECKING:
    from collections.abc import Mapping

    from turnmodel.design.part import Part

__all__ = ["remade"]


def remade(design: Design, parts: Mapping[str, Part]) -> Design:
    """Give a design with some parts replaced, posed anew.

    Parameters
    ----------
    design : Design
        The design
    parts : mapping
        Part's name to the part that takes its place

    Returns
    -------
    Design
        The same joints and states

    Raises
    ------
    DesignFaults
        If a part cannot be built, or the parts cannot be put together any more
    """

    def put(joint: Joint) -> Joint:
        if isinstance(joint, Screw) and joint.into is not None and joint.into.name in parts:
            return replace(joint, into=parts[joint.into.name])
        return joint

    made = Design(
        design.name,
        parts=[parts.get(part.name, part) for part in design.parts],
        joints=[put(joint) for joint in design.joints],
        states={
            name: State(
                joints=tuple(put(joint) for joint in state.joints),
                aside=tuple(parts.get(part.name, part) for part in state.aside),
                where=state.where,
            )
            for name, state in design.states.items()
        },
        limits=design.limits,
        accept=design.accept,
        gaps=design.gaps,
        users=design.users,
    )
    object.__setattr__(made, "where", design.where)  # it is still the script's
    return made
