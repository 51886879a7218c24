"""A script that is watched: what is saved is built, what is wrong is told, what hangs is ended."""

from __future__ import annotations

import subprocess
import threading
import time
from typing import TYPE_CHECKING

import pytest

from tests.watching import PIN, Follower
from turnmodel.errors import DesignFaults
from turnmodel.watch.session import SLOW_S, Session

if TYPE_CHECKING:
    from collections.abc import Iterator
    from pathlib import Path

LENGTH = "length: float = 20.0"


@pytest.fixture
def script(tmp_path: Path) -> Path:
    """Give a script that is sound."""
    path = tmp_path / "pin.py"
    path.write_text(PIN)
    return path


@pytest.fixture
def session(script: Path) -> Iterator[Session]:
    """Watch it; when that has ended nothing of it is left."""
    before = set(threading.enumerate())
    with Session(script) as watched:
        yield watched
    assert set(threading.enumerate()) <= before


@pytest.fixture
def page(session: Session) -> Follower:
    """Read along from when it was first built."""
    follower = Follower(session)
    follower.built()
    return follower


def lengths(page: Follower) -> float:
    """Tell the length that is shown."""
    return float(page.value("length"))


def test_the_first_build_tells_everything(page: Follower) -> None:
    """Shape, parameters, weights and findings are there, and nothing is wrong."""
    assert page.now["shape"]["design"] == "pin"
    assert page.now["model"][:4] == b"glTF"
    assert "CW614N" in page.now["shape"]["parts"]
    assert "</" in page.now["findings"]["findings"]
    assert [p.name for p in page.now["parameters"]] == ["length", "turns", "alloy", "long", "d"]
    assert [p.unwritable for p in page.now["parameters"]] == [None] * 4 + ["5 * 1.0: is worked out"]
    assert page.now["troubles"] == ()


def test_a_save_is_built(page: Follower, script: Path) -> None:
    """What is saved is shown, with a new model; what is saved back has the model it had."""
    first = page.now["shape"]["model"]

    script.write_text(PIN.replace(LENGTH, "length: float = 21.0"))
    page.until(lambda _: lengths(page) == 21.0)
    second = page.built()["shape"]["model"]
    script.write_text(PIN)
    page.until(lambda _: lengths(page) == 20.0)

    assert second != first
    assert page.now["shape"]["model"] == first


def test_a_bad_save_is_told_and_the_last_good_object_stays(page: Follower, script: Path) -> None:
    """An error is told with its line, nothing else changes, and the next good save ends it."""
    before = {subject: page.now[subject] for subject in ("shape", "model", "parameters", "findings")}

    script.write_text(PIN.replace("cylinder(d,", "cylindr(d,"))
    (trouble,) = page.until(lambda now: now["troubles"])["troubles"]

    assert (trouble.file, trouble.line) == ("pin.py", 11)
    assert trouble.text == "NameError: name 'cylindr' is not defined"
    assert trouble.mend == "did you mean 'cylinder'?"
    assert all(page.now[subject] is value for subject, value in before.items())

    script.write_text(PIN)
    page.until(lambda now: not now["troubles"])


def test_any_bad_script_is_told(page: Follower, script: Path) -> None:
    """Whatever a script is while it is being written, the page says what is wrong with it."""
    for text, says in (
        ("def design(:", '"def design(:": invalid syntax'),
        ("", "it has no function design()"),
        ("def design(): return 1", "design() returned int: it must return a Design"),
        ("import sys; sys.exit()", "script: it ends the program; let design() return instead"),
        ("\0", "is no text: it holds null bytes"),
    ):
        script.write_text(text)
        page.until(lambda now, says=says: now["troubles"] and now["troubles"][0].text.endswith(says))

    assert lengths(page) == 20.0


def test_ten_saves_in_a_second_end_with_the_last(page: Follower, script: Path) -> None:
    """However fast saves come, the last one is what is shown in the end."""
    for number in range(10):
        script.write_text(PIN.replace(LENGTH, f"length: float = 2{number}.5"))
        time.sleep(0.1)

    page.until(lambda _: lengths(page) == 29.5)
    page.built()
    assert page.now["troubles"] == ()


def test_a_deleted_script_is_told_and_may_come_back(page: Follower, script: Path) -> None:
    """A script that is gone is said to be gone, the object stays, and the script may come back."""
    script.unlink()
    (trouble,) = page.until(lambda now: now["troubles"])["troubles"]
    assert trouble.text.endswith("pin.py: there is no such script")
    assert lengths(page) == 20.0

    script.write_text(PIN.replace(LENGTH, "length: float = 22.0"))
    page.until(lambda now: not now["troubles"] and lengths(page) == 22.0)


def test_a_module_beside_the_script_is_followed(page: Follower, script: Path) -> None:
    """A module it imports is built from when it is saved, even one that was missing or wrong at first."""
    sizes = script.parent / "sizes.py"
    script.write_text(
        PIN.replace("EDGE = 0.2", "from sizes import LONG").replace(LENGTH, "length: float = LONG")
    )
    page.until(lambda now: now["troubles"])
    assert page.now["troubles"][0].text.startswith("ModuleNotFoundError")

    sizes.write_text("LONG = 24.0 mm")
    page.until(lambda now: now["troubles"] and "sizes.py" in str(now["troubles"][0].file))
    script.write_text(PIN.replace("EDGE = 0.2", "from sizes import LONG\nEDGE = 0.2").replace("20.0", "LONG"))
    sizes.write_text("LONG = 24.0")
    page.until(lambda now: not now["troubles"] and lengths(page) == 24.0)
    sizes.write_text("LONG = 25.0")
    page.until(lambda _: lengths(page) == 25.0)


def test_the_file_of_tools_is_followed(page: Follower, script: Path) -> None:
    """A file of tools that is made beside the script is used from then on, and its faults are told."""
    tools = script.parent / "tools.toml"

    tools.write_text("drills = 7")
    page.until(lambda now: now["troubles"])
    assert page.now["troubles"][0].file == "tools.toml"
    tools.write_text('drills = ["5 mm"]\n')
    page.until(lambda now: not now["troubles"])


def test_parameters_are_set_and_given_back(page: Follower, session: Session) -> None:
    """A parameter that is set is built with that value, and with the script's own when it is given back."""
    session.set({"length": "23.5", "turns": "4", "long": "true"})
    page.until(lambda _: (lengths(page), page.value("turns"), page.value("long")) == (23.5, 4, True))
    page.built()

    session.set({"length": "24"})
    page.until(lambda _: lengths(page) == 24.0)
    assert page.value("turns") == 4

    session.reset()
    page.until(lambda _: (lengths(page), page.value("turns"), page.value("long")) == (20.0, 2, False))


def test_a_value_that_fails_is_told_and_the_object_stays(page: Follower, session: Session) -> None:
    """A value by which nothing can be built is told of; another value ends that."""
    session.set({"length": "-3"})
    page.until(lambda now: now["troubles"])
    assert "length -3 mm: must be more than 0 mm" in page.now["troubles"][0].text
    assert lengths(page) == 20.0

    session.set({"length": "12"})
    page.until(lambda now: not now["troubles"] and lengths(page) == 12.0)


def test_a_set_parameter_outlives_a_save(page: Follower, session: Session, script: Path) -> None:
    """What is set stays set over a save; a parameter that the script no longer has is passed over."""
    session.set({"length": "23.5", "turns": "4"})
    page.until(lambda _: lengths(page) == 23.5)

    script.write_text(PIN.replace("turns: int = 2, ", "").replace(LENGTH, "length: float = 30.0"))
    page.until(lambda now: now["parameters"][0].default == 30.0)

    assert lengths(page) == 23.5
    assert [p.name for p in page.now["parameters"]] == ["length", "alloy", "long", "d"]
    assert page.now["troubles"] == ()


def test_what_is_set_is_written_into_the_script(page: Follower, session: Session, script: Path) -> None:
    """Writing changes the defaults of what differs, and gives those parameters back to the script."""
    session.set({"length": "23.5", "alloy": "303"})
    page.until(lambda _: lengths(page) == 23.5)

    assert session.write() == ("length", "alloy")

    written = PIN.replace(LENGTH, "length: float = 23.5").replace('"CW614N"', '"303"')
    assert script.read_text() == written
    page.until(lambda now: now["parameters"][0].default == 23.5)
    assert lengths(page) == 23.5
    page.until(lambda now: now["build"] == {"state": "done", "set": False})


def test_a_default_that_is_worked_out_keeps_the_script_as_it_is(
    page: Follower, session: Session, script: Path
) -> None:
    """Where one of the values cannot be written none is, and the script keeps its bytes."""
    session.set({"length": "23.5", "d": "4"})
    page.until(lambda _: lengths(page) == 23.5)

    with pytest.raises(DesignFaults, match=r"parameter d: 5 \* 1\.0: is worked out; change it by hand"):
        session.write()

    assert script.read_text() == PIN


def test_a_script_that_runs_for_ever_may_be_stopped(page: Follower, session: Session, script: Path) -> None:
    """It is said to be slow; stopped, that is told, the object stays, and the next save is built."""
    script.write_text(PIN + "\nwhile True:\n    pass\n")
    page.until(lambda now: now["build"]["state"] == "slow")

    session.stop()

    (trouble,) = page.until(lambda now: now["troubles"])["troubles"]
    assert trouble.text == "pin.py was stopped"
    assert trouble.mend == "save it to run it again"
    assert lengths(page) == 20.0
    script.write_text(PIN.replace(LENGTH, "length: float = 26.0"))
    page.until(lambda _: lengths(page) == 26.0)


def test_a_newer_save_replaces_a_script_that_runs_for_ever(page: Follower, script: Path) -> None:
    """Whoever mends a loop and saves need not stop it first."""
    script.write_text(PIN + "\nwhile True:\n    pass\n")
    page.until(lambda now: now["build"]["state"] == "building")

    script.write_text(PIN.replace(LENGTH, "length: float = 27.0"))

    page.until(lambda _: lengths(page) == 27.0)
    assert page.now["troubles"] == ()


def test_a_build_has_a_limit(script: Path) -> None:
    """A script that runs longer than its limit is ended, and that is told."""
    limit = SLOW_S + 0.5
    script.write_text(PIN.replace("    return Design", "    while True: pass\n    return Design"))
    with Session(script, limit=limit) as session:
        page = Follower(session)
        (trouble,) = page.until(lambda now: now.get("troubles"))["troubles"]

    assert trouble.text == f"pin.py ran longer than {limit:g} s and was stopped"


def test_a_script_that_ends_its_process_is_told(page: Follower, script: Path) -> None:
    """A script that takes the builder down with it is told of, and the next save is built."""
    script.write_text(PIN + "\nimport os\nos._exit(3)\n")
    (trouble,) = page.until(lambda now: now["troubles"])["troubles"]
    assert trouble.text == "pin.py ended the program that ran it"

    script.write_text(PIN)
    page.until(lambda now: not now["troubles"])


def test_what_a_script_prints_harms_nothing(page: Follower, script: Path) -> None:
    """A script may print, by any way there is."""
    noise = "import os, subprocess, sys\nprint('a')\nos.write(1, b'b')\nsubprocess.run(['echo', 'c'])\n"
    script.write_text(noise + PIN.replace(LENGTH, "length: float = 28.0"))

    page.until(lambda _: lengths(page) == 28.0)


def test_what_a_script_reads_or_where_it_goes_harms_nothing(page: Follower, script: Path) -> None:
    """A script that asks its user is told that nobody answers; one that changes its folder is found again."""
    script.write_text("input()\n" + PIN)
    (trouble,) = page.until(lambda now: now["troubles"])["troubles"]
    assert trouble.text == "EOFError: EOF when reading a line"

    for length in (29.0, 30.0):
        script.write_text(f"import os\nos.chdir('/')\n{PIN.replace(LENGTH, f'length: float = {length}')}")
        page.until(lambda _, length=length: lengths(page) == length)


def test_noise_among_the_answers_ends_the_builder_and_not_the_page(page: Follower, script: Path) -> None:
    """A script that writes where the answers go is told of, and the next save is built."""
    script.write_text(
        "import os\nfor fd in range(3, 64):\n    try: os.write(fd, b'noise' * 99)\n    except OSError: pass\n"
        + PIN
    )
    page.until(lambda now: now["troubles"] or now["shape"]["number"] > 1)

    script.write_text(PIN.replace(LENGTH, "length: float = 31.0"))
    page.until(lambda _: lengths(page) == 31.0)


def test_settings_to_begin_with_are_held_to_the_script(script: Path) -> None:
    """A setting that comes with the command and that the script has no parameter for is told of."""
    with Session(script, settings={"lenght": "3"}) as session:
        page = Follower(session)
        (trouble,) = page.until(lambda now: now.get("troubles"))["troubles"]

    assert trouble.text == "--set lenght: pin.py has no parameter 'lenght'; did you mean 'length'?"


def test_stopping_leaves_no_process(script: Path) -> None:
    """When watching ends the builder is gone, even one that runs for ever, and so is what it began."""
    flag = script.parent / "child"
    began = (
        f"import subprocess, sys\nchild = subprocess.Popen([sys.executable, '-c', {'while True: pass'!r}])\n"
    )
    told = f"open({str(flag)!r}, 'w').write(str(child.pid))\n"
    script.write_text(began + told + PIN + "\nwhile True:\n    pass\n")
    with Session(script) as session:
        page = Follower(session)
        page.until(lambda _: flag.exists() and flag.read_text())
        builder = session._builder
        assert builder is not None

    assert builder._process.poll() is not None
    state = subprocess.run(
        ["ps", "-o", "stat=", "-p", flag.read_text()], capture_output=True, text=True, check=False
    )
    assert state.stdout.strip()[:1] in ("", "Z")
