"""Every row of every data file has a source, and names are found whatever their case and spaces."""

from __future__ import annotations

import pytest

from turnmodel.catalog.materials import materials
from turnmodel.catalog.refills import refill, refill_names
from turnmodel.catalog.table import DATA, find, rows, source_of
from turnmodel.errors import UnknownName
from turnmodel.source import Source

FILES = sorted(path.stem for path in DATA.glob("*.csv"))


def test_there_are_data_files():
    """The package carries its data."""
    assert {"metric", "unified", "iso965_pitch", "drill_numbers"} <= set(FILES)


@pytest.mark.parametrize("name", FILES)
def test_every_row_has_a_source(name):
    """Each file loads, and each row of it names its work, place and basis."""
    assert all(isinstance(source_of(row), Source) for row in rows(name))


@pytest.mark.parametrize("name", FILES)
def test_no_row_is_twice(name):
    """No two rows of a file say the same."""
    table = [tuple(row.values()) for row in rows(name)]
    assert len(set(table)) == len(table)


BROKEN = {
    "name,work,place,basis\nx,,table 1,read\n": "t.csv, line 2: a source names its work and the place in it",
    "name,work,place,basis\nx,ISO 1,table 1,hearsay\n": "t.csv, line 2: 'hearsay' is not a valid Basis",
    "name\nx\n": "t.csv, line 2: 'work'",
    "name,work,place,basis\nx,ISO 1,table 1\n": "t.csv, line 2: cells and columns do not match",
    "name,work,place,basis\nx,ISO 1,table 1,read,more\n": "t.csv, line 2: cells and columns do not match",
}


@pytest.mark.parametrize("text", BROKEN)
def test_a_row_without_a_source_does_not_load(text, tmp_path):
    """A blank, unknown or missing source is refused with file and line."""
    (tmp_path / "t.csv").write_text(text, encoding="utf-8")
    with pytest.raises(ValueError, match=r"t\.csv, line 2") as refusal:
        rows("t", tmp_path)
    assert str(refusal.value) == BROKEN[text]


@pytest.mark.parametrize("given", ["C36000", "c36000", " C 36000 "])
def test_names_are_found_whatever_case_and_spaces(given):
    """Case and spaces do not count in a name."""
    assert find("material", given, {"C36000": 1}) == 1


def test_an_unknown_name_is_met_with_the_nearest():
    """The message proposes the nearest name."""
    with pytest.raises(UnknownName, match=r"no material named 'C3600'; did you mean 'C36000'\?"):
        find("material", "C3600", {"C36000": 1, "acetal": 2})


def test_every_figure_of_a_material_has_a_source():
    """A figure is there exactly where its source is."""
    for m in materials():
        for figure in ("yield", "tensile", "speed"):
            low, high = getattr(m, f"{figure}_low"), getattr(m, f"{figure}_high")
            source = getattr(m, f"{figure}_source")
            assert (low is None) == (high is None) == (source is None), (m.name, figure)
            assert low is None or 0 < low <= high, (m.name, figure)


def test_every_refill_is_a_solid_of_revolution():
    """Steps have length and diameters above zero, and the stations lie on the refill in order."""
    for name in refill_names():
        found = refill(f"{name} 110 mm")
        assert all(step.length > 0 and step.start_d > 0 and step.end_d > 0 for step in found.envelope)
        stations = [at for _, at in found.stations]
        assert stations == sorted(stations)
        assert (stations[0], stations[-1]) == (0, pytest.approx(found.length))
