"""The rules of the house that no linter knows: names, unit tags, length of files, and what is loaded when."""

from __future__ import annotations

import ast
import json
import re
import subprocess
import sys
from pathlib import Path

import pytest

ROOT = Path(__file__).parents[2]
PACKAGE = ROOT / "turnmodel"
MODULES = sorted(PACKAGE.rglob("*.py"))
TESTS = sorted((ROOT / "tests").rglob("*.py"))
DESIGNS = sorted((ROOT / "designs").glob("*.py"))

MOST_LINES = 400
"""House choice: a file that is longer has two subjects."""

UNIT_TAGS = """
-  %  mm  mm2  mm3  mm4  mm5  in  degrees  rad  g  kg  g/mm  g/cm3  g.mm2  N  N/mm  N.mm  MPa  GPa
m/min  mm/min  mm/rev  1/min  s  ms  px  px/mm  dpi  K  °C
"""
"""The unit tags there are; `[-]` is a number without one."""

UNITS = frozenset(UNIT_TAGS.split())

HEAVY = ("OCP", "cadquery", "casadi", "ezdxf", "matplotlib", "pyvista", "trimesh", "vtk", "vtkmodules")
"""What drawing, weighing and checking must not pay for: half a second and more each."""

NUMERIC = re.compile(r"\b(floats?|ints?|ndarray|NDArray|array|numbers?)\b")
TAG = re.compile(r"\[([^\[\]\s`'\"]{1,8})\](?!_)")
ENTRY = re.compile(r"^(\*{0,2}\w+(?:, \w+)*) : (.+)$")

Documented = ast.FunctionDef | ast.AsyncFunctionDef | ast.ClassDef


def label(path: Path) -> str:
    """Name a file by its place in the project."""
    return path.relative_to(ROOT).as_posix()


def exported(tree: ast.Module) -> list[str] | None:
    """Read `__all__`, or None where there is none."""
    for node in tree.body:
        if isinstance(node, ast.Assign | ast.AnnAssign) and "__all__" in bound(node):
            return list(ast.literal_eval(node.value or ast.List()))
    return None


def bound(node: ast.AST) -> set[str]:
    """List the names that a statement binds."""
    match node:
        case ast.FunctionDef() | ast.ClassDef():
            return {node.name}
        case ast.Assign():
            return {
                name.id for target in node.targets for name in ast.walk(target) if isinstance(name, ast.Name)
            }
        case ast.AnnAssign(target=ast.Name(id=name)):
            return {name}
        case ast.Import() | ast.ImportFrom():
            return {alias.asname or alias.name for alias in node.names}
    return set()


def rank(name: str) -> tuple[int, str]:
    """Order names as ruff's RUF022 does: constants, classes, the rest."""
    return (0 if name.isupper() else 1 if name[:1].isupper() else 2, name)


def tags(text: str) -> set[str]:
    """Find the unit tags in a text."""
    return set(TAG.findall(text)) & UNITS


def sections(docstring: str) -> dict[str, list[str]]:
    """Split a numpydoc docstring into the lines of its sections."""
    found: dict[str, list[str]] = {"": []}
    lines, current = docstring.splitlines(), ""
    for n, line in enumerate(lines):
        if n + 1 < len(lines) and line.strip() and re.fullmatch(r"-{3,}", lines[n + 1].strip()):
            current = line.strip()
            found[current] = []
        elif not (re.fullmatch(r"-{3,}", line.strip()) and not found[current]):
            found[current].append(line)
    return found


def entries(lines: list[str]) -> dict[str, tuple[str, str]]:
    """Read the parameters of a section: name to type and description."""
    found: dict[str, tuple[str, str]] = {}
    names: list[str] = []
    for line in lines:
        if match := ENTRY.match(line):
            names = match[1].replace("*", "").split(", ")
            found.update(dict.fromkeys(names, (match[2], "")))
        else:
            found.update({name: (found[name][0], f"{found[name][1]} {line.strip()}") for name in names})
    return found


def numbers(node: Documented) -> list[str]:
    """List the parameters or fields that are annotated as numbers, and not told on the line below."""
    if isinstance(node, ast.ClassDef):
        after = [*node.body[1:], ast.Pass()]
        pairs = [
            (item.target.id, item.annotation)
            for item, told in zip(node.body, after, strict=True)
            if isinstance(item, ast.AnnAssign)
            and isinstance(item.target, ast.Name)
            and not (isinstance(told, ast.Expr) and tags(ast.unparse(told)))
        ]
    else:
        given = node.args
        pairs = [(arg.arg, arg.annotation) for arg in (*given.posonlyargs, *given.args, *given.kwonlyargs)]
    return [
        name
        for name, annotation in pairs
        if annotation is not None
        and not name.startswith("_")
        and NUMERIC.search(ast.unparse(annotation))
        and "Callable" not in ast.unparse(annotation)
    ]


def untagged(node: Documented) -> list[str]:
    """List the numbers of a function or a record whose docstring does not say their unit."""
    docstring = ast.get_docstring(node) or ""
    parts = sections(docstring)
    said = entries(parts.get("Parameters", []) + parts.get("Attributes", []))
    if not said:
        return [] if tags(docstring) else numbers(node)
    silent = [name for name in numbers(node) if name not in said]
    return silent + [
        name for name, (kind, text) in said.items() if NUMERIC.search(kind) and not tags(f"{kind} {text}")
    ]


def public(tree: ast.Module) -> list[Documented]:
    """List the public functions and classes of a module, and the public methods of the classes."""
    names = exported(tree) or []
    top = [node for node in tree.body if isinstance(node, Documented) and node.name in names]
    inside = [
        item
        for node in top
        if isinstance(node, ast.ClassDef)
        for item in node.body
        if isinstance(item, ast.FunctionDef) and not item.name.startswith("_")
    ]
    return [*top, *inside]


def heavy_after(program: str, *words: str) -> list[str]:
    """Run a program in a process of its own and list the heavy libraries that it loaded."""
    tail = (
        f"\nimport json, sys\nprint(json.dumps([m for m in {HEAVY!r} if m in sys.modules]), file=sys.stderr)"
    )
    done = subprocess.run(
        [sys.executable, "-c", program + tail, *words],
        cwd=ROOT,
        capture_output=True,
        text=True,
        check=False,
    )
    assert done.returncode == 0, done.stderr
    return list(json.loads(done.stderr.splitlines()[-1]))


@pytest.mark.parametrize("path", MODULES, ids=label)
def test_a_module_lists_its_public_names(path: Path) -> None:
    """Every module with code in it has a sorted `__all__`, and defines what is in it."""
    tree = ast.parse(path.read_text(encoding="utf-8"))
    code = [node for node in tree.body if not isinstance(node, ast.Expr)]
    if path.name == "__main__.py" or all(name.startswith("__") for name in set().union(*map(bound, code))):
        return
    names = exported(tree)

    assert names is not None, "no __all__"
    assert names == sorted(names, key=rank)
    known = set().union(*map(bound, ast.walk(tree)))
    assert "__getattr__" in known or set(names) <= known


@pytest.mark.parametrize("path", MODULES, ids=label)
def test_every_number_says_its_unit(path: Path) -> None:
    """A numeric parameter of a public docstring carries a unit tag: [mm], or [-] where it has none."""
    silent = {
        node.name: missing
        for node in public(ast.parse(path.read_text(encoding="utf-8")))
        if (missing := untagged(node))
    }

    assert not silent


HALF_TOLD = """
def f(d: float, n: int):
  '''Cut.

  Parameters
  ----------
  d : float
    Wide, [mm]
  '''
"""


@pytest.mark.parametrize(
    ("source", "missing"),
    [
        ("def f(d: float): 'Cut d.'", ["d"]),
        ("def f(d: float): 'Cut d [mm].'", []),
        ("def f(d: float): 'Cut d [1]_, of list[float].'", ["d"]),
        ("def f(name: str): 'Cut.'", []),
        ("class A:\n  'Hold.'\n  d: float", ["d"]),
        ("class A:\n  'Hold.'\n  d: float\n  'Wide, [mm].'", []),
        (HALF_TOLD, ["n"]),
        (
            "def f(d, n):\n  '''Cut.\n\n  Parameters\n  ----------\n  d, n : float\n    Wide, [mmm]\n  '''",
            ["d", "n"],
        ),
    ],
)
def test_the_reader_of_unit_tags_sees_a_missing_one(source: str, missing: list[str]) -> None:
    """The reader finds what has no tag, takes a footnote or a type for none, and knows no unit but ours."""
    (node,) = ast.parse(source).body

    assert untagged(node) == missing


@pytest.mark.parametrize("path", MODULES, ids=label)
def test_a_file_has_one_subject(path: Path) -> None:
    """No file of the program is too long to have one subject."""
    assert len(path.read_text(encoding="utf-8").splitlines()) <= MOST_LINES


@pytest.mark.parametrize("path", [*MODULES, *TESTS, *DESIGNS], ids=label)
def test_nothing_is_left_to_do_or_bound_to_a_machine(path: Path) -> None:
    """No reminder is left in the code, and no folder of one machine."""
    words = "|".join(("TO" + "DO", "FIX" + "ME", "XX" + "X"))
    pattern = rf"\b(?:{words})\b|[\"' ]/(?:home|root|work|opt|tmp)/"

    assert not re.search(pattern, path.read_text(encoding="utf-8"))


def test_the_light_floors_load_no_heavy_library() -> None:
    """Every module but the doors, the outputs and the command line loads without a kernel or a renderer."""
    names = [
        ".".join(path.relative_to(ROOT).with_suffix("").parts).removesuffix(".__init__")
        for path in MODULES
        if path.name != "__main__.py" and path.relative_to(PACKAGE).parts[0] not in ("cli", "output")
    ]
    kernel = {f"turnmodel.shape.{name}" for name in ("exact", "solid", "step")}
    light = [name for name in names if name not in kernel]

    assert heavy_after(f"import importlib\nfor name in {light!r}: importlib.import_module(name)") == []


def test_the_loaded_libraries_are_seen() -> None:
    """The door to the kernel is seen to load it, so that the check beside this one can fail."""
    assert "cadquery" in heavy_after("import turnmodel.shape.solid")


def command(*words: str) -> list[str]:
    """Run the command line and list the heavy libraries that it loaded."""
    if "main" not in (
        exported(ast.parse((PACKAGE / "cli" / "__init__.py").read_text(encoding="utf-8"))) or []
    ):
        pytest.skip("there is no command line yet")
    program = (
        "import sys\nfrom turnmodel.cli import main\nsys.argv[0] = 'turnmodel'\n"
        "try:\n    main()\nexcept SystemExit as end:\n    assert end.code in (None, 0, 1), end.code"
    )
    return heavy_after(program, *words)


def test_help_loads_no_heavy_library() -> None:
    """The help is there at once."""
    assert command("--help") == []


@pytest.mark.parametrize("verb", ["check", "weigh"])
@pytest.mark.parametrize("path", DESIGNS[:1], ids=label)
def test_checking_and_weighing_load_no_heavy_library(path: Path, verb: str) -> None:
    """A design is checked and weighed on the half-plane, without a kernel or a renderer."""
    assert command(verb, str(path)) == []


def test_ci_runs_what_the_readme_says() -> None:
    """The test command of the README's first section is a line of CI."""
    first = (ROOT / "README.md").read_text(encoding="utf-8").split("\n## ")[1]
    said = re.findall(r"\b(python -m pytest[^`#\n]*[^`#\s])", first)
    run = (ROOT / ".ci" / "run").read_text(encoding="utf-8").splitlines()

    assert said
    assert set(said) <= set(run)
