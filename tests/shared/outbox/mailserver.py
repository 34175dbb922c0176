"""A mail server of our own on this machine, for tests: it takes letters, refuses addresses, or falls silent."""

import socketserver
import threading
from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass, field


@dataclass
class Post:
    """What arrived, and how the server is told to behave."""

    port: int = 0
    letters: list[str] = field(default_factory=list)
    refuse: set[str] = field(default_factory=set)
    is_down: bool = False


class _Line(socketserver.StreamRequestHandler):
    post: Post

    def say(self, words: str) -> None:
        self.wfile.write(words.encode() + b"\r\n")

    def handle(self) -> None:
        if self.post.is_down:
            self.say("421 closed for today")
            return
        self.say("220 post.example")
        while line := self.rfile.readline().decode().strip():
            command = line.upper()
            if command.startswith("RCPT TO") and any(address in line for address in self.post.refuse):
                self.say("550 no such person")
            elif command.startswith("DATA"):
                self.say("354 go on")
                self.post.letters.append(self.letter())
                self.say("250 kept")
            elif command.startswith("QUIT"):
                self.say("221 bye")
                return
            else:
                self.say("250 post.example")

    def letter(self) -> str:
        lines = []
        while (line := self.rfile.readline().decode().rstrip("\r\n")) != ".":
            lines.append(line)
        return "\n".join(lines)


@contextmanager
def open_post() -> Iterator[Post]:
    post = Post()
    line = type("Line", (_Line,), {"post": post})
    with socketserver.ThreadingTCPServer(("127.0.0.1", 0), line) as server:
        server.daemon_threads = True
        post.port = server.server_address[1]
        threading.Thread(target=server.serve_forever, daemon=True).start()
        yield post
        server.shutdown()
