"""The page's server answers this machine's own page, and nobody else."""

from __future__ import annotations

import http.client
import json
import socket
import threading
import time
from typing import TYPE_CHECKING, Any

import pytest

from tests.watching import PATIENCE_S, PIN, Follower
from turnmodel.errors import OutputError
from turnmodel.watch.server import HOST, served
from turnmodel.watch.session import Session

if TYPE_CHECKING:
    from collections.abc import Iterator
    from pathlib import Path


class Page:
    """Asks as a page would, or as somebody else."""

    def __init__(self, address: str, script: Path) -> None:
        self.port = int(address.rsplit(":", 1)[1].partition("/")[0])
        self.root = "/" + address.split("/", 3)[3]
        self.script = script

    def ask(
        self, path: str, body: Any = None, method: str | None = None, **headers: str
    ) -> tuple[int, bytes, http.client.HTTPMessage]:
        """Send one request and read the whole answer."""
        connection = http.client.HTTPConnection(HOST, self.port, timeout=PATIENCE_S)
        sent = {"Host": f"{HOST}:{self.port}", **{k.replace("_", "-"): v for k, v in headers.items()}}
        if body is not None:
            sent.setdefault("Content-Type", "application/json")
        data = body if isinstance(body, bytes | None) else json.dumps(body).encode()
        connection.request(method or ("GET" if body is None else "POST"), path, data, sent)
        answer = connection.getresponse()
        try:
            return answer.status, answer.read(), answer.headers
        finally:
            connection.close()


@pytest.fixture(scope="module")
def page(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Page]:
    """Serve one session for all these tests."""
    script = tmp_path_factory.mktemp("design") / "pin.py"
    script.write_text(PIN)
    (script.parent / "secret.txt").write_text("secret")
    with Session(script) as session, served(session) as address:
        Follower(session).built()
        yield Page(address, script)


def test_the_address_is_this_machine_with_a_token(page: Page) -> None:
    """The server listens on the loopback address alone, and its page has a token of at least 128 bits."""
    assert len(page.root.strip("/")) >= 128 / 6  # a letter of the token carries 6 bits
    assert HOST == "127.0.0.1"
    with socket.socket() as other:
        other.settimeout(1)
        assert other.connect_ex(("127.0.0.2", page.port)) != 0


@pytest.mark.parametrize(
    ("path", "kind"),
    [
        ("", "text/html"),
        ("live.js", "text/javascript"),
        ("live.css", "text/css"),
        ("model.glb", "model/gltf-binary"),
        ("model.glb?0123", "model/gltf-binary"),
    ],
)
def test_what_the_page_is_made_of_is_served(page: Page, path: str, kind: str) -> None:
    """The page and its parts are there, are not kept, and may be used by nobody else."""
    status, content, headers = page.ask(page.root + path)

    assert status == 200
    assert content
    assert headers.get_content_type() == kind
    assert headers["Cache-Control"] == "no-store"
    assert headers["X-Content-Type-Options"] == "nosniff"
    assert headers["Referrer-Policy"] == "no-referrer"  # the token is in the address
    assert headers["Cross-Origin-Resource-Policy"] == "same-origin"
    policy = headers["Content-Security-Policy"]
    assert policy.startswith("default-src 'none'")
    assert "unsafe" not in policy
    assert "frame-ancestors 'none'" in policy


@pytest.mark.parametrize(
    "host",
    ["evil.example", "evil.example:{port}", "127.0.0.1", "127.0.0.1:1", "localhost.evil.example:{port}", ""],
)
def test_other_hosts_names_are_refused(page: Page, host: str) -> None:
    """A name that was made to lead to this address is not answered, with the right token or not."""
    status, content, _ = page.ask(page.root, Host=host.format(port=page.port))

    assert status == 421  # misdirected request, RFC 9110, 15.5.20
    assert content == b"this server is not called that\n"


def test_this_machine_may_be_called_localhost(page: Page) -> None:
    """The page may be opened under the other name of this machine."""
    assert page.ask(page.root, Host=f"localhost:{page.port}")[0] == 200


@pytest.mark.parametrize(
    "path", ["/", "", "/live.js", "/x/", "/{token}", "/{short}/", "/{token}x/", "//", "/é/"]
)
def test_a_missing_or_wrong_token_is_refused(page: Page, path: str) -> None:
    """Without its token nothing is served, not even whether there is something."""
    token = page.root.strip("/")
    asked = path.format(token=token, short=token[:-1]) or "/"

    status, content, _ = page.ask(asked.encode().decode("latin-1") if asked.isascii() else "/%C3%A9/")

    assert status == 403
    assert content == b"this address lacks its token; open the one that was printed\n"


@pytest.mark.parametrize(
    "path",
    [
        "../pin.py",
        "pin.py",
        "secret.txt",
        "..%2fsecret.txt",
        "%2e%2e/secret.txt",
        "....//secret.txt",
        "/etc/passwd",
        "//etc/passwd",
        "assets/live.js",
        "live.js/",
        "live.js/../../secret.txt",
        "model.glb/..",
        "file:///etc/passwd",
        "set",
    ],
)
def test_no_file_outside_is_served(page: Page, path: str) -> None:
    """What is served is a list, and no path leads out of it."""
    status, content, _ = page.ask(page.root + path)

    assert status == 404
    assert content == b"there is no such thing here\n"


def test_another_sites_page_may_not_ask(page: Page) -> None:
    """A request that a browser says comes from elsewhere is refused; the page's own is not."""
    other = page.ask(page.root + "reset", {}, Origin="http://evil.example")
    null = page.ask(page.root + "reset", {}, Origin="null")
    own = page.ask(page.root + "reset", {}, Origin=f"http://{HOST}:{page.port}")

    assert (other[0], null[0], own[0]) == (403, 403, 200)


@pytest.mark.parametrize(
    ("path", "body", "headers", "status"),
    [
        ("set", b"{", {}, 400),
        ("set", b"\xff", {}, 400),
        ("set", [], {}, 400),
        ("set", {"length": 3}, {}, 400),
        ("write", 1, {}, 400),
        ("set", {"length": "3"}, {"Content_Type": "text/plain"}, 415),
        ("set", b" " * (1 << 17), {}, 413),
        ("set", b"{}", {"Content_Length": "-1"}, 413),
        ("news", {}, {}, 404),
        ("", {}, {}, 404),
    ],
)
def test_a_wrong_request_is_refused(
    page: Page, path: str, body: Any, headers: dict[str, str], status: int
) -> None:
    """What is no JSON object of texts, too long or of another kind is refused with a word."""
    assert page.ask(page.root + path, body, **headers)[0] == status


@pytest.mark.parametrize("method", ["PUT", "DELETE", "OPTIONS", "HEAD", "PATCH", "TRACE"])
def test_no_other_method_is_answered(page: Page, method: str) -> None:
    """Only what the page does is done."""
    assert page.ask(page.root, method=method)[0] == 501


def test_the_news_are_told_and_what_is_asked_for_is_done(page: Page) -> None:
    """The stream tells everything first, then what is new; a default that is written stands in the script."""
    connection = http.client.HTTPConnection(HOST, page.port, timeout=PATIENCE_S)
    connection.request("GET", page.root + "news", headers={"Host": f"{HOST}:{page.port}"})
    stream = connection.getresponse()
    now: dict[str, Any] = {}

    def hear() -> None:
        line = stream.readline()
        if line.startswith(b"data: "):
            now.update(json.loads(line.removeprefix(b"data: ")))

    hear()
    assert stream.headers.get_content_type() == "text/event-stream"
    assert set(now) == {"build", "findings", "parameters", "shape", "troubles"}

    page.ask(page.root + "set", {"length": "21.5"})
    while now["parameters"][0]["value"] != 21.5:
        hear()
    written = json.loads(page.ask(page.root + "write", {})[1])
    page.ask(page.root + "set", {"d": "4.5"})
    while now["parameters"][4]["value"] != 4.5:
        hear()
    refused = json.loads(page.ask(page.root + "write", {})[1])
    page.ask(page.root + "reset", {})
    while now["parameters"][4]["value"] != 5.0:
        hear()
    connection.close()

    assert written == {"written": ["length"]}
    assert page.script.read_text() == PIN.replace("length: float = 20.0", "length: float = 21.5")
    assert refused["refused"][0]["text"] == "parameter d: 5 * 1.0: is worked out"


def test_stopping_leaves_nothing(tmp_path: Path) -> None:
    """At the end no thread is left and the port is closed, whoever still listens, dawdles or is silent."""
    script = tmp_path / "pin.py"
    script.write_text(PIN)
    before = set(threading.enumerate())
    with Session(script) as session, served(session) as address:
        page = Page(address, script)
        silent = socket.create_connection((HOST, page.port))
        dawdling = socket.create_connection((HOST, page.port))
        dawdling.sendall(b"GET / HTTP/1.1\r\nHost")
        listening = socket.create_connection((HOST, page.port))
        listening.sendall(f"GET {page.root}news HTTP/1.1\r\nHost: {HOST}:{page.port}\r\n\r\n".encode())
        assert listening.recv(1000).startswith(b"HTTP/1.0 200")
        began = time.monotonic()
    ended = time.monotonic()

    assert ended - began < 5.0  # a held connection would be waited for 10 s
    assert set(threading.enumerate()) <= before
    with pytest.raises(ConnectionRefusedError):
        socket.create_connection((HOST, page.port))
    for connection in (silent, dawdling, listening):
        connection.close()


def test_a_port_that_is_taken_is_told(page: Page, tmp_path: Path) -> None:
    """A port that somebody else has is refused with a word."""
    script = tmp_path / "pin.py"
    script.write_text(PIN)
    with (
        Session(script) as session,
        pytest.raises(
            OutputError, match=rf"cannot serve at 127\.0\.0\.1:{page.port}: .*; choose another --port"
        ),
        served(session, page.port),
    ):
        pass
