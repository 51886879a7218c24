"""Say what is wrong with a script's own Python in the script's words."""

from __future__ import annotations

import builtins
import inspect
import re
import traceback
from importlib import import_module
from pathlib import Path
from typing import TYPE_CHECKING, Any, Final

from turnmodel.errors import ScriptError, TurnmodelError, Where, nearest

if TYPE_CHECKING:
    from collections.abc import Iterable

__all__ = ["mistake"]

_PACKAGE: Final = __name__.partition(".")[0]
_OURS: Final = str(Path(__file__).resolve().parents[1])


def mistake(error: BaseException, script: Path, names: Iterable[str]) -> ScriptError:
    """Turn what a script raised into one clear error with its line.

    Parameters
    ----------
    error : BaseException
        What was raised
    script : Path
        The script
    names : iterable of str
        Names that the script knows

    Returns
    -------
    ScriptError
        What was given, the rule it breaks, the line, the nearest right thing

    Examples
    --------
    >>> wrong = NameError("name 'cilinder' is not defined", name="cilinder")
    >>> print(mistake(wrong, Path("pen.py"), ["design"]))
    NameError: name 'cilinder' is not defined; did you mean 'cylinder'?
    """
    frames = traceback.extract_tb(error.__traceback__)
    own = [frame for frame in frames if frame.filename == str(script)]
    where = Where(str(script), own[-1].lineno or 0) if own else None
    match error:
        case TurnmodelError():
            return ScriptError("", str(error), where)
        case SyntaxError():
            where = Where(error.filename or str(script), error.lineno or 0)
            given = f'"{error.text.strip()}"' if error.text and error.text.strip() else "script"
            return ScriptError(given, str(error.msg), where)
        case RecursionError():
            return ScriptError("script", "it calls itself without end", where)
        case SystemExit():
            return ScriptError("script", "it ends the program; let design() return instead", where)
        case TypeError() if call := _call(str(error)):
            return ScriptError(*call[:2], where, call[2])
    mend = _nearest(error, names, script)
    if mend is None and frames and frames[-1].filename.startswith(_OURS):
        mend = "where that line is right, this is a fault of turnmodel: report it with your script"
    return ScriptError(type(error).__name__, _sentence(error), where, mend)


def _sentence(error: BaseException) -> str:
    """Give an error's first line, without the places of files that Python adds."""
    if isinstance(error, KeyError):
        return f"there is no key {error}"
    if isinstance(error, MemoryError):
        return "there is not so much memory"
    text = str(error).partition("\n")[0]
    return re.sub(r" \((?:unknown location|[^()]*\.(?:py|so)[^()]*)\)$", "", text) or type(error).__name__


def _nearest(error: BaseException, names: Iterable[str], script: Path) -> str | None:
    """Find the name that was meant where a name is wrong."""
    near = None
    match error:
        case NameError():
            known = [*names, *import_module(_PACKAGE).__all__, *dir(builtins)]
            near = nearest(error.name or "", known)
        case ModuleNotFoundError():
            near = nearest(error.name or "", [_PACKAGE, *(file.stem for file in script.parent.glob("*.py"))])
        case ImportError() if found := re.match(r"cannot import name '(\w+)'", str(error)):
            near = nearest(found[1], dir(import_module(error.name))) if error.name else None
        case AttributeError():
            near = nearest(error.name or "", [n for n in dir(error.obj) if not n.startswith("_")])
    return f"did you mean {near!r}?" if near else None


_CALL: Final = re.compile(r"(?:(?P<owner>\w+)\.)?(?P<name>\w+)\(\) (?P<what>.*)")


def _call(text: str) -> tuple[str, str, str] | None:
    """Say of a wrong call to one of our own words what it takes; None where it is none of ours."""
    found = _CALL.match(text)
    word, known = _word(found["owner"], found["name"]) if found else (None, None)
    if not found or not word or known is None:
        return None
    taken = [p for name, p in inspect.signature(known).parameters.items() if name not in ("self", "where")]
    needed = [p for p in taken if p.default is p.empty]
    by_place = [p for p in taken if p.kind is not p.KEYWORD_ONLY]
    what = found["what"]
    quoted = re.findall(r"'(\w+)'", what)
    if what.startswith("missing"):
        return f"{word}(...)", f"lacks {' and '.join(quoted)}", _usage(word, needed)
    if "unexpected keyword" in what:
        near = nearest(quoted[0], [p.name for p in taken])
        return (
            f"{word}(...)",
            f"has no {quoted[0]!r}",
            f"did you mean {near!r}?" if near else _usage(word, taken),
        )
    if "multiple values" in what:
        return f"{word}(...)", f"{quoted[0]} is given twice", _usage(word, needed)
    if "positional" in what:
        return f"{word}(...)", "too many values without a name", f"{_usage(word, by_place)}, the rest by name"
    return None


def _usage(word: str, parameters: Iterable[inspect.Parameter]) -> str:
    return f"write {word}({', '.join(map(_written, parameters))})"


def _written(parameter: inspect.Parameter) -> str:
    """Write a parameter as the script would."""
    if parameter.kind is parameter.KEYWORD_ONLY or parameter.default is not parameter.empty:
        return f"{parameter.name}=..."
    return parameter.name


def _word(owner: str | None, name: str) -> tuple[str | None, Any]:
    """Find the word by which a script calls a class, a function or a method of ours."""
    package = import_module(_PACKAGE)
    words = {word: getattr(package, word) for word in package.__all__}
    words |= {f"joint.{word}": getattr(words["joint"], word) for word in words["joint"].__all__}
    wanted = owner if name == "__init__" else name
    for word, thing in sorted(words.items(), key=lambda pair: pair[0].rpartition(".")[2][:1].isupper()):
        if getattr(thing, "__name__", None) == wanted and (name == "__init__" or owner is None):
            return word, thing
    method = getattr(words.get(owner or "", None), name, None)
    return (f"{owner}.{name}", method) if callable(method) else (None, None)
