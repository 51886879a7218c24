"""Complete objects that are faulty in one way each: exactly the expected faults, and no false ones."""

from __future__ import annotations

from pathlib import Path

import pytest

from turnmodel.analysis.finding import Severity
from turnmodel.analysis.report import report
from turnmodel.design.loading import design_of, read_script

SCRIPTS = sorted(path for path in Path(__file__).parent.glob("*.py") if not path.stem.startswith("test_"))


def test_there_are_ten_stories():
    """Ten objects or more, each with a story of one line."""
    assert len(SCRIPTS) >= 10
    for path in SCRIPTS:
        assert path.read_text(encoding="utf-8").splitlines()[0].endswith('."""')


@pytest.mark.parametrize("path", SCRIPTS, ids=[path.stem for path in SCRIPTS])
def test_the_fault_is_found_and_no_other(path):
    """The rules that find a fault are those that the script names; each tells what would mend it."""
    script = read_script(path)
    design, parameters = design_of(script)
    faults = [f for f in report(design, parameters).findings if f.severity is Severity.FAULT]

    assert {f.rule for f in faults} == script.module.FAULTS, "\n".join(
        f"{f.rule}: {f.message}" for f in faults
    )
    assert all(f.mend for f in faults)
