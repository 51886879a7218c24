"""Run a design script and take its design."""

from __future__ import annotations

import inspect
import math
import sys
import traceback
from contextlib import contextmanager
from dataclasses import dataclass
from types import ModuleType
from typing import TYPE_CHECKING, Any

from turnmodel.design.design import Design
from turnmodel.errors import DesignFaults, OptionError, ScriptError, TurnmodelError, Where, nearest

if TYPE_CHECKING:
    from collections.abc import Callable, Iterator, Mapping
    from pathlib import Path

__all__ = ["Script", "load", "read_script"]

_KINDS: Mapping[type, str] = {float: "a number", int: "a whole number", str: "a text", bool: "true or false"}


@dataclass(frozen=True, slots=True, kw_only=True)
class Script:
    """A script that has been run: its function, and the parameters it takes with their defaults."""

    path: Path
    function: Callable[..., Any]
    parameters: Mapping[str, Any]


def load(path: Path, settings: Mapping[str, str] | None = None) -> tuple[Design, dict[str, Any]]:
    """Run a script and build its design with some parameters set.

    Parameters
    ----------
    path : Path
        The script
    settings : mapping, optional
        Parameter's name to its value as text

    Returns
    -------
    tuple of Design and dict
        The design, and every parameter with the value it was built with

    Raises
    ------
    ScriptError
        If the script cannot be run or gives no design
    DesignFaults
        With everything that is wrong with the design
    OptionError
        If a parameter's name or value is wrong
    """
    script = read_script(path)
    values = {**script.parameters, **_settings(script, settings or {})}
    with _told(path), _beside(path):
        made = script.function(**values)
    if not isinstance(made, Design):
        raise ScriptError(
            f"design() returned {type(made).__name__}",
            "it must return a Design",
            Where(str(path), script.function.__code__.co_firstlineno),
        )
    return made, values


def read_script(path: Path) -> Script:
    """Run a script far enough to know its design function.

    Raises
    ------
    ScriptError
        If it cannot be read or run, or has no function ``design`` whose parameters all have defaults
    """
    try:
        text = path.read_text(encoding="utf-8")
    except FileNotFoundError:
        near = nearest(path.name, [p.name for p in path.parent.glob("*.py")] if path.parent.is_dir() else [])
        raise ScriptError(
            str(path), "there is no such script", None, near and f"did you mean {near!r}?"
        ) from None
    except (OSError, UnicodeDecodeError) as error:
        raise ScriptError(str(path), f"cannot be read: {_reason(error)}") from None
    module = ModuleType(path.stem)
    module.__file__ = str(path)
    with _told(path), _beside(path):
        exec(compile(text, str(path), "exec"), module.__dict__)
    function = getattr(module, "design", None)
    if not callable(function):
        names = [name for name, value in vars(module).items() if inspect.isfunction(value)]
        near = nearest("design", names)
        raise ScriptError(
            str(path), "it has no function design()", None,
            f"rename {near}() to design()" if near else "write def design() -> Design: ...",
        )  # fmt: skip
    return Script(path=path, function=function, parameters=_parameters(path, function))


def _parameters(path: Path, function: Callable[..., Any]) -> dict[str, Any]:
    found = {}
    for name, parameter in inspect.signature(function).parameters.items():
        if parameter.default is parameter.empty:
            raise ScriptError(
                f"parameter {name} of design()", "every parameter needs a default",
                Where(str(path), function.__code__.co_firstlineno), f"write {name}: float = ...",
            )  # fmt: skip
        found[name] = parameter.default
    return found


def _settings(script: Script, given: Mapping[str, str]) -> dict[str, Any]:
    """Read settings by the type of each parameter's default."""
    values = {}
    for name, text in given.items():
        if name not in script.parameters:
            near = nearest(name, script.parameters)
            known = ", ".join(script.parameters) or "none"
            raise OptionError(
                f"--set {name}: {script.path.name} has no parameter {name!r}; "
                + (f"did you mean {near!r}?" if near else f"it has: {known}")
            )
        kind = type(script.parameters[name])
        try:
            values[name] = _read(text, kind)
        except ValueError:
            raise OptionError(
                f"--set {name}={text}: must be {_KINDS.get(kind, 'a text')}, such as {script.parameters[name]!r}"
            ) from None
    return values


def _read(text: str, kind: type) -> Any:
    if kind is bool:
        words = {"true": True, "yes": True, "1": True, "false": False, "no": False, "0": False}
        if text.casefold() not in words:
            raise ValueError(text)
        return words[text.casefold()]
    if kind in (int, float):
        value = kind(text)
        if not math.isfinite(value):
            raise ValueError(text)
        return value
    return text


@contextmanager
def _beside(path: Path) -> Iterator[None]:
    """Let a script import what lies beside it."""
    folder = str(path.resolve().parent)
    sys.path.insert(0, folder)
    try:
        yield
    finally:
        sys.path.remove(folder)


@contextmanager
def _told(path: Path) -> Iterator[None]:
    """Turn whatever a script raises into one clear error with its line."""
    try:
        yield
    except (DesignFaults, ScriptError):
        raise
    except SyntaxError as error:
        where = Where(error.filename or str(path), error.lineno or 0)
        raise ScriptError((error.text or "").strip() or "script", f"{error.msg}", where) from None
    except TurnmodelError as error:
        raise ScriptError("", str(error), _line(error, path)) from None
    except RecursionError as error:
        raise ScriptError("script", "it calls itself without end", _line(error, path)) from None
    except SystemExit as error:
        raise ScriptError("script", "it ends the program; a design returns", _line(error, path)) from None
    except Exception as error:
        raise ScriptError(type(error).__name__, _reason(error), _line(error, path)) from None


def _line(error: BaseException, path: Path) -> Where | None:
    """The last line of the script's own that an error came through."""
    frames = traceback.extract_tb(error.__traceback__)
    own = [f for f in frames if f.filename == str(path)]
    return Where(str(path), own[-1].lineno or 0) if own else None


def _reason(error: BaseException) -> str:
    return str(error).partition("\n")[0] or type(error).__name__
