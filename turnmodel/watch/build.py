"""Build a design for its page: shape and weights first, findings after."""

from __future__ import annotations

import sys
import traceback
from dataclasses import dataclass
from pathlib import Path
from typing import TYPE_CHECKING

from turnmodel.analysis.report import as_json, report
from turnmodel.catalog.tools import FILE_NAME, find_tools
from turnmodel.design.loading import design_of, read_script
from turnmodel.errors import DesignFaults, ScriptError, ToolFaults, TurnmodelError
from turnmodel.watch.defaults import unwritable
from turnmodel.watch.exchange import Answer, Findings, Order, Shape, Wrong
from turnmodel.watch.imports import forget
from turnmodel.watch.scene import findings_shown, model_shown, stage_shown, weights_shown
from turnmodel.watch.sliders import parameters
from turnmodel.watch.troubles import troubles

if TYPE_CHECKING:
    from collections.abc import Callable, Iterator, Mapping
    from collections.abc import Set as AbstractSet

    from turnmodel.catalog.toolbox import Toolbox
    from turnmodel.design.loading import Script

__all__ = ["Bench"]


@dataclass(frozen=True, slots=True, kw_only=True)
class _Read:
    """A script that was read, the tools, and why some of its defaults cannot be written over."""

    script: Script
    tools: Toolbox
    unwritable: Mapping[str, str]


class Bench:
    """Builds one script again and again; what is as it was is not computed again.

    Parameters
    ----------
    script : Path
        The script
    tools : Path or None
        The file of tools, where one was named
    sought : set of Path
        The script's own modules, which grow as they are imported
    """

    def __init__(self, script: Path, tools: Path | None, sought: AbstractSet[Path]) -> None:
        self._script = script
        self._tools = tools
        self._sought = sought
        self._rests_on = {script, tools or script.parent / FILE_NAME}
        self._read: _Read | None = None

    def answers(self, order: Order, overtaken: Callable[[], bool]) -> Iterator[Answer]:
        """Build what is ordered.

        Parameters
        ----------
        order : Order
            What is to be built
        overtaken : callable
            Tells whether a newer order waits; the findings give way to it

        Yields
        ------
        Answer
            The shape, then the findings; or what is wrong
        """
        try:
            read = self._script_read(order)
            known = read.script.parameters
            given = {n: text for n, text in order.settings.items() if order.strict or n in known}
            design, values = design_of(read.script, given)
            states, parts = weights_shown(design)
            yield Shape(
                number=order.number,
                files=self._files,
                design=design.name,
                parameters=parameters(known, values, read.unwritable),
                model=model_shown(design),
                stage=stage_shown(design),
                states=states,
                parts=parts,
            )
            if not overtaken():
                line, found = findings_shown(as_json(report(design, values, tools=read.tools)))
                yield Findings(number=order.number, files=self._files, summary=line, findings=found)
        except Exception as error:
            if not isinstance(error, TurnmodelError):
                traceback.print_exc(file=sys.stderr)
            self._rests_on |= _places(error)
            yield Wrong(number=order.number, files=self._files, troubles=troubles(error))

    @property
    def _files(self) -> frozenset[Path]:
        return frozenset({*self._rests_on, *self._sought})

    def _script_read(self, order: Order) -> _Read:
        """Read the script where that was asked for or has not been done."""
        if self._read is None or order.again:
            self._read = None
            forget(self._script.parent)
            script = read_script(self._script)
            tools = find_tools(self._script, self._tools)
            if (own := Path(tools.origin)).is_file():
                self._rests_on.add(own)
            fixed = unwritable(self._script.read_bytes(), script.parameters, str(self._script))
            self._read = _Read(script=script, tools=tools, unwritable=fixed)
        return self._read


def _places(error: Exception) -> set[Path]:
    """List the files that an error points to."""
    match error:
        case DesignFaults() | ToolFaults():
            faults = error.faults
        case ScriptError():
            faults = (error.fault,)
        case _:
            return set()
    return {Path(fault.where.file) for fault in faults if fault.where}
