"""Figures of many variants: in order, on several processes, and taken up again after a stop."""

from __future__ import annotations

import json
import os
import signal
import subprocess
import sys
import time
from typing import TYPE_CHECKING

import pytest

from tests.commandline import SOUND
from turnmodel.analysis import variation
from turnmodel.analysis.figures import figure_names, figures, usual_names
from turnmodel.analysis.record import Kept, Record
from turnmodel.analysis.variation import Plan, vary
from turnmodel.design.loading import load
from turnmodel.errors import OptionError, OutputError

if TYPE_CHECKING:
    from collections.abc import Sequence
    from pathlib import Path

NAMES = ("parts.box.mass_g", "states.closed.balance_mm")


@pytest.fixture
def script(tmp_path: Path) -> Path:
    """A sound script with three parameters."""
    path = tmp_path / "box.py"
    path.write_text(SOUND, encoding="utf-8")
    return path


def rooms(*values: float) -> tuple[dict[str, str], ...]:
    """Vary the room of the box."""
    return tuple({"room": repr(value)} for value in values)


def test_figures_are_those_of_the_report(script: Path) -> None:
    """Each figure by its dotted name; a name there is not is answered with the nearest."""
    design, _ = load(script)
    found = figures(design, [*NAMES, "faults", "states.closed.interference_mm3"])

    assert found["states.closed.interference_mm3"] == 0
    assert isinstance(found["faults"], int)
    assert set(usual_names(design)) <= set(figure_names(design))
    with pytest.raises(OptionError) as refused:
        figures(design, ["states.closd.mass_g"])
    assert str(refused.value) == (
        "figure states.closd.mass_g: nib box has no such figure; did you mean 'states.closed.mass_g'?"
    )


def test_mass_and_balance_touch_no_mesh(script: Path) -> None:
    """Weighing variants loads neither the meshes' library nor the rules."""
    program = (
        "import sys\nfrom pathlib import Path\nfrom turnmodel.analysis.variation import Plan, vary\n"
        f"vary(Plan(script=Path({str(script)!r}), variants=({{}},), names={NAMES!r}))\n"
        "print([m for m in ('trimesh', 'manifold3d', 'turnmodel.shape.mesh', 'turnmodel.analysis.rules')"
        " if m in sys.modules])"
    )
    done = subprocess.run([sys.executable, "-c", program], capture_output=True, text=True, check=True)

    assert done.stdout.strip() == "[]"


def test_rows_come_in_the_order_of_the_variants(script: Path) -> None:
    """However many processes work, in whatever order they finish, the rows are the same."""
    variants = rooms(*(20 + 0.1 * k for k in range(30)))
    plan = Plan(script=script, variants=variants, names=NAMES)
    alone, together = vary(plan, workers=1), vary(plan, workers=2)

    assert alone == together
    assert [row.settings for row in alone] == list(variants)
    masses = [row.figures["parts.box.mass_g"] for row in alone]
    assert masses == sorted(masses, key=float, reverse=True)  # type: ignore[arg-type]


def test_a_broken_variant_does_not_stop_the_rest(script: Path) -> None:
    """What cannot be built tells why, and its neighbours their figures."""
    first, broken, last = vary(Plan(script=script, variants=rooms(20, 90, 21), names=NAMES))

    assert broken.broken is not None
    assert "comes out of the far end" in broken.broken
    assert broken.figures == {}
    assert first.broken is None
    assert last.figures["parts.box.mass_g"] is not None


def test_a_variant_that_ends_its_process_is_told(tmp_path: Path) -> None:
    """A script that brings its process down spoils its own row alone."""
    path = tmp_path / "crash.py"
    crash = "    if room == 21.5:\n        import os\n        os._exit(9)\n    box = Part.turned("
    path.write_text(SOUND.replace("    box = Part.turned(", crash, 1), encoding="utf-8")
    rows = vary(
        Plan(script=path, variants=rooms(*(20 + 0.25 * k for k in range(26))), names=NAMES), workers=2
    )

    assert [row.broken for row in rows if row.broken] == ["its process ended while it was computed"]
    assert rows[6].broken


def test_finished_variants_are_not_computed_again(
    script: Path, tmp_path: Path, monkeypatch: pytest.MonkeyPatch
) -> None:
    """What the record holds is taken from it, also in another order; a changed script begins anew."""
    record = Record(path=tmp_path / "kept" / "vary.jsonl")
    plan = Plan(script=script, variants=rooms(20, 21, 90), names=NAMES)
    first = vary(plan, record=record)
    computed: list[Sequence[object]] = []
    real = variation._computed

    def counted(plan: Plan, variants: Sequence[dict[str, str]]) -> list[Kept]:
        computed.append(variants)
        return real(plan, variants)

    monkeypatch.setattr(variation, "_computed", counted)

    assert vary(plan, record=record) == first
    assert computed == []
    again = vary(Plan(script=script, variants=rooms(21, 22, 20), names=NAMES), record=record)
    assert computed == [[{"room": "22"}]]
    assert again[2] == first[0]
    script.write_text(SOUND.replace("cylinder(12, 27", "cylinder(12, 27.5"), encoding="utf-8")
    vary(plan, record=record)
    assert len(computed) == 4


def test_equal_variants_are_computed_once(script: Path, tmp_path: Path) -> None:
    """The same settings twice give two rows and one line of the record."""
    record = Record(path=tmp_path / "vary.jsonl")
    one, other = vary(Plan(script=script, variants=rooms(20, 20), names=NAMES), record=record)

    assert one == other
    assert len(record.path.read_text(encoding="utf-8").split()) > 0
    assert record.path.read_text(encoding="utf-8").count('"of"') == 1


def test_a_torn_line_counts_as_not_written(tmp_path: Path) -> None:
    """What a stop left half written is passed over, and closed off by what is written next."""
    record = Record(path=tmp_path / "vary.jsonl")
    kept = Kept(figures={"a": 0.1}, broken=None)
    record.add("s", [({"x": "1"}, kept)])
    with record.path.open("a", encoding="utf-8") as file:
        file.write('{"of": "s", "at": {"x": "2"}, "fig')
    record.add("s", [({"x": "3"}, kept)])

    assert set(record.read("s")) == {(("x", "1"),), (("x", "3"),)}
    assert record.read("other") == {}


def test_a_record_that_cannot_be_written_is_told(tmp_path: Path) -> None:
    """A folder in the record's place is one clear error, read or written."""
    record = Record(path=tmp_path)

    with pytest.raises(OutputError, match="cannot read"):
        record.read("s")
    with pytest.raises(OutputError, match="cannot write"):
        record.add("s", [])


@pytest.mark.skipif(os.name != "posix", reason="kills a process outright")
def test_a_killed_run_goes_on_to_the_same_table(script: Path, tmp_path: Path) -> None:
    """Killed at some moment and started again: the same table byte for byte, no variant recorded twice."""
    words = [
        sys.executable, "-m", "turnmodel", "vary", str(script), "--over", "room=20:26:0.02",
        "--columns", ",".join(NAMES),
    ]  # fmt: skip
    record = tmp_path / "kept.jsonl"
    resumed = [*words, "--record", str(record), "--csv", str(tmp_path / "resumed.csv")]
    running = subprocess.Popen(resumed, stdout=subprocess.DEVNULL, stderr=subprocess.DEVNULL)
    while running.poll() is None and not (record.exists() and record.stat().st_size > 2000):
        time.sleep(0.01)
    running.send_signal(signal.SIGKILL)
    running.wait()
    before = record.read_bytes().count(b'"of"')
    subprocess.run(resumed, check=True, capture_output=True)
    whole = [*words, "--record", str(tmp_path / "new.jsonl"), "--csv", str(tmp_path / "whole.csv")]
    subprocess.run(whole, check=True, capture_output=True)

    assert 0 < before < 301
    assert (tmp_path / "resumed.csv").read_bytes() == (tmp_path / "whole.csv").read_bytes()
    lines = [
        json.loads(line)["at"]["room"] for line in record.read_text(encoding="utf-8").splitlines() if line
    ]
    assert len(lines) == len(set(lines)) == 301
