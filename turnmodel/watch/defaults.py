"""Write values into a script as the defaults of its design function, and leave every other byte as it is."""

from __future__ import annotations

import ast
import codecs
import stat
from typing import TYPE_CHECKING, Any

from turnmodel.errors import DesignFaults, Fault, ScriptError, Where
from turnmodel.shape.files import written_whole

if TYPE_CHECKING:
    from collections.abc import Mapping
    from pathlib import Path

__all__ = ["unwritable", "with_defaults", "write_defaults"]

Literal = bool | int | float | str


def write_defaults(script: Path, values: Mapping[str, Literal]) -> None:
    """Write values into a script's file as the defaults of its parameters.

    Parameters
    ----------
    script : Path
        The script
    values : mapping
        Parameter's name to its new default, in the unit that the script gives it, [-]

    Raises
    ------
    ScriptError
        If the script cannot be read as Python
    DesignFaults
        With every default that is no plain literal; nothing is written then
    OutputError
        If the file cannot be written
    """
    real = script.resolve()  # a link stays one
    try:
        source, mode = real.read_bytes(), real.stat().st_mode
    except OSError as error:
        raise ScriptError(str(script), f"cannot be read: {error.strerror or error}") from None
    new = with_defaults(source, values, str(script))
    if new != source:
        with written_whole(real) as draft:
            draft.write_bytes(new)
        real.chmod(stat.S_IMODE(mode))


def with_defaults(source: bytes, values: Mapping[str, Literal], name: str = "script") -> bytes:
    r"""Replace the defaults of ``design()`` in a script's bytes.

    Parameters
    ----------
    source : bytes
        The script, in UTF-8
    values : mapping
        Parameter's name to its new default, in the unit that the script gives it, [-]
    name : str
        The script's name, for messages

    Returns
    -------
    bytes
        The script with those defaults; every other byte is as it was

    Raises
    ------
    ScriptError
        If it cannot be read as Python
    DesignFaults
        With every default that is no plain literal

    Examples
    --------
    >>> with_defaults(b"def design(wall: float = 0.9,  # mm\n):  pass", {"wall": 1.25})
    b'def design(wall: float = 1.25,  # mm\n):  pass'
    >>> with_defaults(b"def design(wall=2 * T): pass", {"wall": 1.0})
    Traceback (most recent call last):
    ...
    turnmodel.errors.DesignFaults: script:1: parameter wall: 2 * T: is worked out; change it by hand
    """
    tree = _parsed(source, name)
    nodes = _defaults(tree)
    refused = [
        _refusal(parameter, nodes.get(parameter), source, name)
        for parameter in values
        if not _plain(nodes.get(parameter))
    ]
    if refused:
        raise DesignFaults(refused)
    wanted = {nodes[parameter]: value for parameter, value in values.items()}
    changed = {node: value for node, value in wanted.items() if not _same(ast.literal_eval(node), value)}
    starts = _line_starts(source)
    new = source
    for node in sorted(changed, key=lambda node: (node.lineno, node.col_offset), reverse=True):
        begin, end = _span(node, starts)
        new = new[:begin] + _written(changed[node], source[begin:end].decode()).encode() + new[end:]
    after = _defaults(_parsed(new, name))
    assert all(_same(ast.literal_eval(after[parameter]), value) for parameter, value in values.items())
    return new


def unwritable(source: bytes, parameters: Mapping[str, Any], name: str = "script") -> dict[str, str]:
    """Tell which parameters' defaults cannot be written over, and why.

    Parameters
    ----------
    source : bytes
        The script, in UTF-8
    parameters : mapping
        Every parameter with its default
    name : str
        The script's name, for messages

    Returns
    -------
    dict
        Parameter's name to the reason

    Examples
    --------
    >>> unwritable(b"def design(wall=2 * T, turns=3): pass", {"wall": 1.0, "turns": 3})
    {'wall': '2 * T: is worked out'}
    """
    nodes = _defaults(_parsed(source, name))
    for parameter, default in parameters.items():
        node = nodes.get(parameter)
        if node is not None and _plain(node) and not _same(ast.literal_eval(node), default):
            del nodes[parameter]  # another function took the place of this one
    faults = {p: _refusal(p, nodes.get(p), source, name) for p in parameters if not _plain(nodes.get(p))}
    return {parameter: f"{fault.given}: {fault.rule}" for parameter, fault in faults.items()}


def _parsed(source: bytes, name: str) -> ast.Module:
    """Read a script as Python; a mark of the byte order before it moves the first line."""
    try:
        return ast.parse(source.removeprefix(codecs.BOM_UTF8))
    except SyntaxError as error:
        where = Where(name, error.lineno or 0)
        raise ScriptError((error.text or "").strip(), error.msg, where) from None
    except ValueError as error:
        raise ScriptError(name, str(error)) from None


def _defaults(tree: ast.Module) -> dict[str, ast.expr]:
    """Find the defaults of the design function that a script ends up with, by the parameters' names."""
    found = [n for n in tree.body if isinstance(n, ast.FunctionDef) and n.name == "design"]
    if not found:
        return {}
    given = found[-1].args
    by_place = [*given.posonlyargs, *given.args]
    named = zip(by_place[len(by_place) - len(given.defaults) :], given.defaults, strict=True)
    by_name = zip(given.kwonlyargs, given.kw_defaults, strict=True)
    return {arg.arg: node for arg, node in (*named, *by_name) if node is not None}


def _plain(node: ast.expr | None) -> bool:
    """Whether a default is a number, a text, True or False, written out."""
    match node:
        case ast.Constant(value=bool() | int() | float() | str()):
            return True
        case ast.UnaryOp(op=ast.USub() | ast.UAdd(), operand=ast.Constant(value=int() | float())):
            return True
    return False


def _refusal(parameter: str, node: ast.expr | None, source: bytes, name: str) -> Fault:
    """Say why a default is not written over."""
    subject = f"parameter {parameter}"
    if node is None:
        return Fault(
            feature=subject,
            given="its default",
            rule="does not stand in a plain def design(...) of this file",
            mend="change it by hand",
        )
    return Fault(
        feature=subject,
        given=" ".join((ast.get_source_segment(_text(source), node) or ast.unparse(node)).split()),
        rule="is worked out",
        mend="change it by hand",
        where=Where(name, node.lineno),
    )


def _text(source: bytes) -> str:
    return source.removeprefix(codecs.BOM_UTF8).decode(errors="replace")


def _line_starts(source: bytes) -> list[int]:
    """Give the place of each line's first byte as Python counts them."""
    starts = [len(codecs.BOM_UTF8) if source.startswith(codecs.BOM_UTF8) else 0]
    end = 0
    for line in source.splitlines(keepends=True):
        end += len(line)
        starts.append(end)
    return starts


def _span(node: ast.expr, starts: list[int]) -> tuple[int, int]:
    """Give the bytes of an expression; its columns are counted in bytes already."""
    assert node.end_lineno is not None
    assert node.end_col_offset is not None
    return starts[node.lineno - 1] + node.col_offset, starts[node.end_lineno - 1] + node.end_col_offset


def _written(value: Literal, old: str) -> str:
    """Write a value as the old one was: a whole number without a point, a text in the same quotes."""
    if isinstance(value, float) and value.is_integer() and old.lstrip("+-").isdecimal():
        return str(int(value))
    text = repr(value)
    if isinstance(value, str) and old.endswith('"') and text.startswith("'") and not {'"', "\\"} & {*text}:
        return f'"{text[1:-1]}"'
    return text


def _same(old: object, new: Literal) -> bool:
    """Whether nothing is to be written; True is not 1 here, but 9 is 9.0."""
    return old == new and isinstance(old, bool) == isinstance(new, bool)
