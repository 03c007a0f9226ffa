"""A mail server in a thread that speaks as much of RFC 5321 as a client needs to hand a letter over."""

from __future__ import annotations

import socketserver
import threading
from dataclasses import dataclass, field


@dataclass
class Taken:
    """One letter as it came over the wire."""

    sender: str = ""
    readers: list[str] = field(default_factory=list)
    content: bytes = b""


class MailServer(socketserver.ThreadingTCPServer):
    """``with MailServer() as server``: on ``server.port``, letters in ``server.taken``; refuses whom it is told to."""

    allow_reuse_address = True
    daemon_threads = True

    def __init__(self, refuse: dict[str, bytes] | None = None) -> None:
        super().__init__(("127.0.0.1", 0), _Talk)
        self.taken: list[Taken] = []
        self.refuse = refuse or {}
        self.port: int = self.server_address[1]

    def __enter__(self) -> MailServer:
        threading.Thread(target=self.serve_forever, kwargs={"poll_interval": 0.02}, daemon=True).start()
        return self

    def __exit__(self, *_: object) -> None:
        self.shutdown()
        self.server_close()


class _Talk(socketserver.StreamRequestHandler):
    def handle(self) -> None:
        server, letter = self.server, Taken()
        assert isinstance(server, MailServer)
        self._say(b"220 mail.example ready")
        for line in self.rfile:
            verb, _, rest = line.decode().strip().partition(" ")
            address = rest.partition(":")[2].partition("<")[2].partition(">")[0]
            match verb.upper():
                case "EHLO" | "HELO":
                    self._say(b"250 mail.example")
                case "MAIL":
                    letter = Taken(sender=address)
                    self._say(b"250 OK")
                case "RCPT":
                    letter.readers.append(address)
                    self._say(server.refuse.get(address, b"250 OK"))
                case "DATA":
                    self._say(b"354 go on")
                    letter.content = self._content()
                    server.taken.append(letter)
                    self._say(b"250 taken")
                case "RSET":
                    self._say(b"250 OK")
                case "QUIT":
                    self._say(b"221 bye")
                    return
                case _:
                    self._say(b"502 not known here")

    def _content(self) -> bytes:
        """Until the line with a single dot; a dot that began a line was doubled (RFC 5321, 4.5.2)."""
        lines = []
        for line in self.rfile:
            if line == b".\r\n":
                break
            lines.append(line[1:] if line.startswith(b".") else line)
        return b"".join(lines)

    def _say(self, line: bytes) -> None:
        self.wfile.write(line + b"\r\n")
