"""The command that follows a script: it serves, and it ends when it is told to."""

from __future__ import annotations

import http.client
import os
import re
import signal
import subprocess
import sys
from typing import TYPE_CHECKING

import pytest

from tests.commandline import Ended, run
from tests.watching import PATIENCE_S, PIN

if TYPE_CHECKING:
    from pathlib import Path


@pytest.mark.skipif(sys.platform == "win32", reason="signals of POSIX")
def test_ctrl_c_ends_it_and_leaves_nothing(tmp_path: Path) -> None:
    """It prints the page's address, serves it, and on Ctrl-C ends, its port closed and its builder gone."""
    (tmp_path / "pin.py").write_text(PIN)
    started = subprocess.Popen(
        [sys.executable, "-m", "turnmodel", "watch", "pin.py"],
        cwd=tmp_path,
        stdout=subprocess.PIPE,
        stderr=subprocess.PIPE,
        text=True,
    )
    with started:
        assert started.stdout is not None
        first = started.stdout.readline()
        found = re.fullmatch(r"pin\.py is shown at http://127\.0\.0\.1:(\d+)(/[\w-]{32}/)\n", first)
        assert found
        port = int(found[1])
        connection = http.client.HTTPConnection("127.0.0.1", port, timeout=PATIENCE_S)
        connection.request("GET", f"{found[2]}news")
        stream = connection.getresponse()
        while b'"shape"' not in stream.readline():
            pass
        children = subprocess.run(
            ["ps", "-o", "pid=", "--ppid", str(started.pid)], capture_output=True, text=True, check=True
        ).stdout.split()
        assert len(children) == 1

        started.send_signal(signal.SIGINT)

        assert started.wait(PATIENCE_S) == 0
        assert started.stdout.read() == "Ctrl-C ends it\n"
        assert started.stderr is not None
        assert started.stderr.read() == ""
    connection.close()
    with pytest.raises(ProcessLookupError):
        os.kill(int(children[0]), 0)
    with pytest.raises(ConnectionRefusedError):
        http.client.HTTPConnection("127.0.0.1", port).connect()


def test_a_script_that_is_not_there_is_refused(tmp_path: Path) -> None:
    """A script that is not there, or a folder, is refused before anything is served."""
    (tmp_path / "pin.py").write_text(PIN)

    assert run("watch", "pim.py", folder=tmp_path) == Ended(
        status=2, out="", err="pim.py: there is no such script; did you mean 'pin.py'?\n"
    )
    assert run("watch", ".", folder=tmp_path).err == ".: is a folder; name the script in it\n"
