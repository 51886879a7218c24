"""Run a design script and take its design."""

from __future__ import annotations

import inspect
import math
import sys
from contextlib import contextmanager, redirect_stdout
from dataclasses import dataclass
from types import ModuleType
from typing import TYPE_CHECKING, Any

from turnmodel.design.as_cut import as_cut, as_cut_file
from turnmodel.design.design import Design
from turnmodel.design.mistake import mistake
from turnmodel.errors import DesignFaults, OptionError, ScriptError, Where, nearest

if TYPE_CHECKING:
    from collections.abc import Callable, Iterator, Mapping
    from pathlib import Path

__all__ = ["Script", "design_of", "load", "read_script"]

_KINDS: Mapping[type, str] = {float: "a number", int: "a whole number", str: "a text", bool: "true or false"}


@dataclass(frozen=True, slots=True, kw_only=True)
class Script:
    """A script that has been run: its module, its function, and its parameters with their defaults."""

    path: Path
    module: ModuleType
    function: Callable[..., Any]
    parameters: Mapping[str, Any]


def load(
    path: Path, settings: Mapping[str, str] | None = None, *, drawn: bool = False
) -> tuple[Design, dict[str, Any]]:
    """Run a script and build its design with some parameters set.

    Parameters
    ----------
    path : Path
        The script
    settings : mapping, optional
        Parameter's name to its value as text
    drawn : bool
        Whether parts stay as they are drawn, whatever the file of measured sizes beside the script tells

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
    return design_of(read_script(path), settings, drawn=drawn)


def design_of(
    script: Script, settings: Mapping[str, str] | None = None, *, drawn: bool = False
) -> tuple[Design, dict[str, Any]]:
    """Build the design of a script that has been read, as `load` does of one that has not."""
    values = {**script.parameters, **_settings(script, settings or {})}
    with _running(script.module, script.path):
        made = script.function(**values)
    if not isinstance(made, Design):
        raise ScriptError(
            "design() returned " + ("nothing" if made is None else type(made).__name__),
            "it must return a Design", _first_line(script.path, script.function),
            "end it with return Design(...)",
        )  # fmt: skip
    return made if drawn else as_cut(made, as_cut_file(script.path)), values


def read_script(path: Path) -> Script:
    """Run a script far enough to know its design function.

    Raises
    ------
    ScriptError
        If it cannot be read or run, or has no function ``design`` whose parameters all have defaults
    """
    text = _text(path)
    # A name of its own: a script may be called as a library is.
    module = ModuleType(f"script of {path.stem}")
    module.__file__ = str(path)
    with _running(module, path):
        exec(compile(text, str(path), "exec", dont_inherit=True), module.__dict__)
    function = getattr(module, "design", None)
    if not inspect.isfunction(function):
        names = [name for name, value in vars(module).items() if inspect.isfunction(value)]
        near = nearest("design", names)
        raise ScriptError(
            str(path), "it has no function design()", None,
            f"rename {near}() to design()" if near else "write def design() -> Design: ...",
        )  # fmt: skip
    return Script(path=path, module=module, function=function, parameters=_parameters(path, function))


def _text(path: Path) -> str:
    """Read a script's text."""
    try:
        text = path.read_text(encoding="utf-8")
    except FileNotFoundError:
        near = nearest(path.name, [p.name for p in path.parent.glob("*.py")] if path.parent.is_dir() else [])
        raise ScriptError(
            str(path), "there is no such script", None, near and f"did you mean {near!r}?"
        ) from None
    except IsADirectoryError:
        raise ScriptError(str(path), "is a folder", None, "name the script in it") from None
    except UnicodeDecodeError:
        raise ScriptError(str(path), "is no text in UTF-8", None, "save it as UTF-8") from None
    except OSError as error:
        raise ScriptError(str(path), f"cannot be read: {error.strerror or error}") from None
    if "\0" in text:
        raise ScriptError(str(path), "is no text: it holds null bytes")
    return text


def _first_line(path: Path, function: Callable[..., Any]) -> Where:
    """Find where a function begins."""
    return Where(str(path), inspect.unwrap(function).__code__.co_firstlineno)


def _parameters(path: Path, function: Callable[..., Any]) -> dict[str, Any]:
    found = {}
    for name, parameter in inspect.signature(function).parameters.items():
        if parameter.default is parameter.empty:
            raise ScriptError(
                f"parameter {name} of design()", "every parameter needs a default",
                _first_line(path, function), f"write {name}: float = ...",
            )  # fmt: skip
        # A whole number as the default of a float is a float.
        as_float = parameter.annotation in (float, "float") and type(parameter.default) is int
        found[name] = float(parameter.default) if as_float else parameter.default
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
            known = f"{_KINDS[kind]}, such as {script.parameters[name]!r}"
            raise OptionError(f"--set {name}={text}: must be {known}") from None
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
def _running(module: ModuleType, path: Path) -> Iterator[None]:
    """Let a script import what lies beside it, keep what it prints off the output, tell what it raises."""
    folder = str(path.resolve().parent)
    sys.path.insert(0, folder)
    sys.modules[module.__name__] = module
    try:
        with redirect_stdout(sys.stderr):
            yield
    except (DesignFaults, ScriptError):
        raise
    except (Exception, SystemExit) as error:
        raise mistake(error, path, vars(module)) from None
    finally:
        sys.path.remove(folder)
        sys.modules.pop(module.__name__, None)
