"""The page's server: on this machine's own address only, for whoever has the token.

It serves what is listed here and no file. A page of another site cannot reach it: it does not know the
token, and a name of its own that leads to this address is not answered.
"""

from __future__ import annotations

import json
import secrets
import socket
import sys
import threading
from contextlib import contextmanager, suppress
from dataclasses import asdict
from http import HTTPStatus
from http.server import BaseHTTPRequestHandler, ThreadingHTTPServer
from typing import TYPE_CHECKING, Any, Final

from turnmodel.errors import OutputError, TurnmodelError
from turnmodel.watch.live import live_page, live_script, live_style
from turnmodel.watch.troubles import troubles

if TYPE_CHECKING:
    from collections.abc import Iterator

    from turnmodel.watch.session import Session

__all__ = ["HOST", "served"]

HOST: Final = "127.0.0.1"
"""The loopback address: no other machine reaches it."""

_HEARTBEAT_S: Final = 15.0
"""So often a page that has gone is noticed, [s]; house choice."""

_PATIENCE_S: Final = 10.0
"""So long a page may take to ask or to listen, [s]; house choice."""

_PLAIN_PORT: Final = 80
"""The port that an address leaves out, [-] (RFC 9110, 4.2.1)."""

_POLL_S: Final = 0.05
"""So soon the server notices that it is to stop, [s]; house choice."""

_MOST_BYTES: Final = 1 << 16
"""The longest request, [-]; house choice: a thousand settings."""

_POLICY: Final = (
    "default-src 'none'; script-src 'self'; style-src 'self'; img-src data:; connect-src 'self'; "
    "base-uri 'none'; form-action 'none'; frame-ancestors 'none'"
)
_HEADERS: Final = {
    "Cache-Control": "no-store",
    "Content-Security-Policy": _POLICY,
    "Cross-Origin-Resource-Policy": "same-origin",
    "Referrer-Policy": "no-referrer",
    "X-Content-Type-Options": "nosniff",
}

_SUBJECTS: Final = ("build", "findings", "parameters", "shape", "troubles")
"""What is told as it happens; the model itself is fetched."""


@contextmanager
def served(session: Session, port: int = 0) -> Iterator[str]:
    """Serve a session's page for as long as the block lasts.

    Parameters
    ----------
    session : Session
        What is shown
    port : int
        Number of the port, 0 for any that is free, [-]

    Yields
    ------
    str
        Address of the page, its token in it

    Raises
    ------
    OutputError
        If the port cannot be had
    """
    token = secrets.token_urlsafe(24)
    try:
        server = _Server(port, session, token)
    except (OSError, OverflowError) as error:
        reason = getattr(error, "strerror", None) or error
        raise OutputError(f"cannot serve at {HOST}:{port}: {reason}; choose another --port") from None
    thread = threading.Thread(target=server.serve_forever, args=(_POLL_S,), name="watch: server")
    thread.start()
    try:
        yield f"http://{HOST}:{server.server_port}/{token}/"
    finally:
        session.board.close()
        server.shutdown()
        thread.join()
        server.hang_up()
        server.server_close()


class _Server(ThreadingHTTPServer):
    """Threads that are all waited for at the end, and the connections they hold."""

    daemon_threads = False
    block_on_close = True
    allow_reuse_address = True

    def __init__(self, port: int, session: Session, token: str) -> None:
        self.session, self.token = session, token
        self._held: set[socket.socket] = set()
        self._lock = threading.Lock()
        super().__init__((HOST, port), _Handler)

    @property
    def names(self) -> frozenset[str]:
        """The names by which this server may be called."""
        port = "" if self.server_port == _PLAIN_PORT else f":{self.server_port}"
        return frozenset(f"{host}{port}" for host in (HOST, "localhost"))

    def process_request(self, request: Any, client_address: Any) -> None:
        with self._lock:
            self._held.add(request)
        super().process_request(request, client_address)

    def shutdown_request(self, request: Any) -> None:
        with self._lock:
            self._held.discard(request)
        super().shutdown_request(request)

    def hang_up(self) -> None:
        """Break the connections that are still held, so that no thread waits for one."""
        with self._lock:
            for request in self._held:
                with suppress(OSError):
                    request.shutdown(socket.SHUT_RDWR)

    def handle_error(self, request: Any, client_address: Any) -> None:
        """Let a page go that went away; anything else is a fault of ours, and told."""
        if not isinstance(sys.exception(), OSError):
            super().handle_error(request, client_address)


class _Refused(Exception):
    """A request that is not answered, and why."""

    def __init__(self, status: HTTPStatus, why: str) -> None:
        self.status, self.why = status, why
        super().__init__(status, why)


class _Handler(BaseHTTPRequestHandler):
    """Answers one request."""

    server: _Server
    timeout = _PATIENCE_S
    server_version, sys_version = "turnmodel", ""

    def do_GET(self) -> None:
        """Give the page, what it is made of, and the news."""
        self._answer(self._get)

    def do_POST(self) -> None:
        """Do what the page asks for."""
        self._answer(self._post)

    def _answer(self, method: Any) -> None:
        try:
            method(self._asked())
        except _Refused as refused:
            self._send(refused.status, "text/plain; charset=utf-8", f"{refused.why}\n".encode())

    def _asked(self) -> str:
        """Hold a request to this server's own name and its token, and give what is asked for."""
        if self.headers.get("Host") not in self.server.names:
            raise _Refused(HTTPStatus.MISDIRECTED_REQUEST, "this server is not called that")
        origin = self.headers.get("Origin")
        if origin is not None and origin.removeprefix("http://") not in self.server.names:
            raise _Refused(HTTPStatus.FORBIDDEN, "another site's page may not ask")
        path = self.path.partition("?")[0]
        token, slash, asked = path.removeprefix("/").partition("/")
        if not (slash and secrets.compare_digest(token.encode(), self.server.token.encode())):
            raise _Refused(
                HTTPStatus.FORBIDDEN, "this address lacks its token; open the one that was printed"
            )
        return asked

    def _get(self, asked: str) -> None:
        match asked:
            case "":
                self._send(HTTPStatus.OK, "text/html; charset=utf-8", live_page())
            case "live.js":
                self._send(HTTPStatus.OK, "text/javascript; charset=utf-8", live_script())
            case "live.css":
                self._send(HTTPStatus.OK, "text/css; charset=utf-8", live_style())
            case "model.glb":
                model: bytes | None = self.server.session.board.read("model")
                if model is None:
                    raise _Refused(HTTPStatus.NOT_FOUND, "there is no model yet")
                self._send(HTTPStatus.OK, "model/gltf-binary", model)
            case "news":
                self._tell_news()
            case _:
                raise _Refused(HTTPStatus.NOT_FOUND, "there is no such thing here")

    def _post(self, asked: str) -> None:
        session, body = self.server.session, self._body()
        match asked, body:
            case "set", {**settings} if all(isinstance(text, str) for text in settings.values()):
                session.set({str(name): str(text) for name, text in settings.items()})
            case "reset", {}:
                session.reset()
            case "stop", {}:
                session.stop()
            case "write", {}:
                self._write(session)
                return
            case (("set" | "reset" | "stop" | "write"), _):
                raise _Refused(HTTPStatus.BAD_REQUEST, "names and texts are expected")
            case _:
                raise _Refused(HTTPStatus.NOT_FOUND, "there is no such thing here")
        self._send_json({})

    def _write(self, session: Session) -> None:
        """Write into the script, or say why that is not done."""
        try:
            self._send_json({"written": session.write()})
        except TurnmodelError as error:
            self._send_json({"refused": troubles(error)})

    def _body(self) -> Any:
        """Read the JSON object that comes with a request."""
        if self.headers.get_content_type() != "application/json":
            raise _Refused(HTTPStatus.UNSUPPORTED_MEDIA_TYPE, "JSON is expected")
        length = self.headers.get("Content-Length", "")
        if not length.isdecimal() or int(length) > _MOST_BYTES:
            raise _Refused(HTTPStatus.REQUEST_ENTITY_TOO_LARGE, f"at most {_MOST_BYTES} bytes are read")
        try:
            return json.loads(self.rfile.read(int(length)))
        except ValueError:
            raise _Refused(HTTPStatus.BAD_REQUEST, "this is no JSON") from None

    def _tell_news(self) -> None:
        """Tell what is new for as long as the page listens; first everything there is."""
        self._head(HTTPStatus.OK, "text/event-stream")
        number = 0
        while (news := self.server.session.board.since(number, _HEARTBEAT_S)) is not None:
            number, said = news
            told = {subject: value for subject, value in said.items() if subject in _SUBJECTS}
            self.wfile.write(f"data: {_json(told)}\n\n".encode() if told else b":\n\n")
            self.wfile.flush()

    def _send_json(self, value: Any) -> None:
        self._send(HTTPStatus.OK, "application/json", _json(value).encode())

    def _send(self, status: HTTPStatus, kind: str, content: bytes) -> None:
        self._head(status, kind, len(content))
        self.wfile.write(content)

    def _head(self, status: HTTPStatus, kind: str, length: int | None = None) -> None:
        self.send_response(status)
        self.send_header("Content-Type", kind)
        if length is not None:
            self.send_header("Content-Length", str(length))
        for name, value in _HEADERS.items():
            self.send_header(name, value)
        self.end_headers()

    def log_message(self, *_: Any) -> None:
        """Keep quiet: the terminal is the script's."""


def _json(value: Any) -> str:
    """Write values as JSON, records as objects."""
    return json.dumps(value, default=asdict)
