"""The same figures for many variants of a design: on all cores, in order, resumable."""

from __future__ import annotations

import hashlib
import multiprocessing
import os
import signal
import sys
import threading
from concurrent.futures import FIRST_COMPLETED, Future, ProcessPoolExecutor, wait
from concurrent.futures.process import BrokenProcessPool
from dataclasses import dataclass, replace
from functools import lru_cache
from pathlib import Path
from typing import TYPE_CHECKING, Final

import turnmodel
from turnmodel.analysis.figures import figures
from turnmodel.analysis.record import Kept, Record
from turnmodel.catalog.tools import find_tools
from turnmodel.design.as_cut import as_cut_file
from turnmodel.design.loading import Script, design_of, read_script
from turnmodel.errors import TurnmodelError

if TYPE_CHECKING:
    from collections.abc import Callable, Mapping, Sequence

    from turnmodel.design.design import Design

__all__ = ["Plan", "Row", "vary"]

_ALONE: Final = 24
"""So few variants are computed in this process: others would take longer to begin than to finish."""

_AT_ONCE: Final = 25
"""The most variants that are handed out together: what is lost when the work is stopped."""


@dataclass(frozen=True, slots=True, kw_only=True)
class Plan:
    """What is to be computed: a script, its variants, their figures; the file of tools where one is named."""

    script: Path
    variants: tuple[Mapping[str, str], ...]
    names: tuple[str, ...]
    tools: Path | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class Row:
    """A variant: its settings, and its figures by name [-] or why it cannot be built."""

    settings: Mapping[str, str]
    figures: Mapping[str, float | None]
    broken: str | None


def vary(
    plan: Plan,
    *,
    record: Record | None = None,
    workers: int | None = None,
    tell: Callable[[str], None] | None = None,
) -> tuple[Row, ...]:
    """Compute the figures of every variant.

    Parameters
    ----------
    plan : Plan
        What is to be computed
    record : Record, optional
        Where finished variants are kept; those that are there already are not computed again
    workers : int, optional
        How many processes work at once; left out, one for each core, [-]
    tell : callable, optional
        Told of the progress

    Returns
    -------
    tuple of Row
        In the order of the variants, whatever the order in which they were finished
    """
    stamp = _stamp(plan)
    kept = record.read(stamp) if record else {}
    done: dict[int, Kept] = {}
    alike: dict[tuple[tuple[str, str], ...], list[int]] = {}
    for k, variant in enumerate(plan.variants):
        key = tuple(sorted(variant.items()))
        if key in kept:
            done[k] = kept[key]
        else:
            alike.setdefault(key, []).append(k)

    def finish(chunk: Sequence[int], found: Sequence[Kept]) -> None:
        if record:
            record.add(stamp, [(plan.variants[k], one) for k, one in zip(chunk, found, strict=True)])
        for k, one in zip(chunk, found, strict=True):
            done.update(dict.fromkeys(alike[tuple(sorted(plan.variants[k].items()))], one))
        if tell:
            tell(f"{len(done)} of {len(plan.variants)} variants")

    due = [places[0] for places in alike.values()]
    count = workers or _cores()
    if len(due) <= _ALONE or count == 1:
        for k in due:
            finish([k], _computed(plan, [plan.variants[k]]))
    else:
        _handed_out(plan, due, count, finish)
    return tuple(
        Row(settings=variant, figures=done[k].figures, broken=done[k].broken)
        for k, variant in enumerate(plan.variants)
    )


def _cores() -> int:
    """Cores that this process may use."""
    allowed = getattr(os, "sched_getaffinity", None)
    return len(allowed(0)) if allowed else os.cpu_count() or 1


def _handed_out(
    plan: Plan, due: Sequence[int], count: int, finish: Callable[[Sequence[int], Sequence[Kept]], None]
) -> None:
    """Compute variants in other processes; one that ends its process is told as broken."""
    size = max(1, min(_AT_ONCE, len(due) // (8 * count)))
    waiting = [list(due[k : k + size]) for k in range(0, len(due), size)]
    broken = _pooled(plan, waiting, count, finish)
    # Whoever ended a process is among those that were not finished: each of them again, alone.
    for k in [k for chunk in broken for k in chunk]:
        if _pooled(plan, [[k]], 1, finish):
            finish([k], [Kept(figures={}, broken="its process ended while it was computed")])


def _pooled(
    plan: Plan,
    chunks: Sequence[list[int]],
    count: int,
    finish: Callable[[Sequence[int], Sequence[Kept]], None],
) -> list[list[int]]:
    """Compute chunks in a pool of processes; those that were not finished where one of them ended."""
    # A new interpreter for each: what threads or libraries left open here is not there.
    context = multiprocessing.get_context("spawn")
    pool = ProcessPoolExecutor(max_workers=count, mp_context=context, initializer=_begun)
    left = list(chunks)
    running: dict[Future[list[Kept]], list[int]] = {}
    try:
        queue = iter(chunks)
        for chunk in queue:
            running[pool.submit(_computed, replace(plan, variants=()), [plan.variants[k] for k in chunk])] = (
                chunk
            )
            if len(running) < 2 * count:
                continue
            _collected(running, left, finish)
        while running:
            _collected(running, left, finish)
    except BrokenProcessPool:
        return left
    finally:
        pool.shutdown(wait=False, cancel_futures=True)
    return []


def _collected(
    running: dict[Future[list[Kept]], list[int]],
    left: list[list[int]],
    finish: Callable[[Sequence[int], Sequence[Kept]], None],
) -> None:
    """Wait until some chunk is finished, and take what is."""
    ready, _ = wait(running, return_when=FIRST_COMPLETED)
    for future in ready:
        chunk = running.pop(future)
        finish(chunk, future.result())
        left.remove(chunk)


def _begun() -> None:
    """Leave the user's interrupt to the process that hands out the work, and end when that is gone."""
    signal.signal(signal.SIGINT, signal.SIG_IGN)
    threading.Thread(target=_outlived, daemon=True).start()


def _outlived() -> None:
    """End with the process that hands out the work: one that was killed tells nobody."""
    parent = multiprocessing.parent_process()
    if parent is not None:
        parent.join()
        os._exit(1)


def _computed(plan: Plan, variants: Sequence[Mapping[str, str]]) -> list[Kept]:
    """Compute the figures of some variants."""
    tools = find_tools(plan.script, plan.tools)
    found = []
    for variant in variants:
        try:
            design = _design(plan.script, variant)
            found.append(Kept(figures=figures(design, plan.names, tools), broken=None))
        except TurnmodelError as error:
            found.append(Kept(figures={}, broken=str(error).partition("\n")[0]))
    return found


def _design(path: Path, settings: Mapping[str, str]) -> Design:
    """Build a variant of a script that is read once."""
    stat = path.stat()
    return design_of(_script(path, stat.st_mtime_ns, stat.st_size), settings)[0]


@lru_cache(maxsize=4)
def _script(path: Path, _changed: int, _size: int) -> Script:
    return read_script(path)


def _stamp(plan: Plan) -> str:
    """Tell apart scripts, what lies beside them, tools, figures and programs by what is in them."""
    read_script(plan.script)  # brings in what it imports
    folder = plan.script.resolve().parent
    beside = {
        Path(file).resolve()
        for module in list(sys.modules.values())
        if (file := getattr(module, "__file__", None)) and Path(file).parent == folder
    }
    program = Path(turnmodel.__file__).parent.rglob("*.py")
    digest = hashlib.sha256()
    cut = as_cut_file(plan.script.resolve())
    for path in sorted({plan.script.resolve(), *beside, *([cut] if cut.is_file() else [])}):
        digest.update(path.read_bytes())
    for path in sorted(program):
        stat = path.stat()
        digest.update(f"{path.name} {stat.st_size} {stat.st_mtime_ns}\n".encode())
    digest.update(repr(find_tools(plan.script, plan.tools)).encode())
    digest.update("\n".join(plan.names).encode())
    return digest.hexdigest()[:16]
