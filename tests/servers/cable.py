"""A cable between browser and server that a test can pull, for all that the browser runs, service workers too."""

from __future__ import annotations

import socket
import threading
from contextlib import suppress

CHUNK = 65536


class Cable:
    """Forwards connections from a port of its own to the server's, while it is plugged in."""

    def __init__(self, host: str, port: int) -> None:
        self._server = (host, port)
        self._open: set[socket.socket] = set()
        self._listener = socket.create_server(("localhost", 0))
        self.url = f"http://localhost:{self._listener.getsockname()[1]}"
        self.is_plugged = True
        threading.Thread(target=self._accept, daemon=True).start()

    def pull(self) -> None:
        """Cut what goes on, and let nothing through."""
        self.is_plugged = False
        for end in tuple(self._open):
            self._close(end)

    def plug(self) -> None:
        """Let connections through again."""
        self.is_plugged = True

    def remove(self) -> None:
        """For good."""
        self.pull()
        self._listener.close()

    def _accept(self) -> None:
        while True:
            try:
                near, _ = self._listener.accept()
            except OSError:  # removed
                return
            if not self.is_plugged:
                near.close()
                continue
            far = socket.create_connection(self._server)
            self._open |= {near, far}
            for source, target in ((near, far), (far, near)):
                threading.Thread(target=self._carry, args=(source, target), daemon=True).start()

    def _carry(self, source: socket.socket, target: socket.socket) -> None:
        with suppress(OSError):
            while data := source.recv(CHUNK):
                target.sendall(data)
        self._close(source)
        self._close(target)

    def _close(self, end: socket.socket) -> None:
        self._open.discard(end)
        with suppress(OSError):
            end.shutdown(socket.SHUT_RDWR)
        end.close()
