"""The whole shop on one machine: ``python -m shop.launcher``.

Starts the broker, a worker, the sweep and the web server, and ends them together on Ctrl-C or SIGTERM. With
``REDIS_URL`` or ``DATABASE_URL`` set it uses those servers instead of its own. Where no broker can be had, tasks run in
this process.
"""

from __future__ import annotations

import argparse
import io
import os
import signal
import socket
import sys
from contextlib import ExitStack
from pathlib import Path
from threading import Event, Thread
from typing import NoReturn

from shop.environment import data_folder
from shop.lock import hold
from shop.processes import start_broker, start_worker

DEFAULT_PORT = 8000
PORTS_TRIED = 20
WEB_THREADS = 8


def main(arguments: list[str] | None = None) -> int:
    """Serve until told to end; the exit status."""
    options = _options(arguments)
    os.environ.setdefault("DJANGO_SETTINGS_MODULE", "shop.settings")
    port = _port(options.host, options.port)
    if port is None:
        return 1
    for name in ("SIGINT", "SIGTERM", "SIGHUP"):
        if hasattr(signal, name):
            signal.signal(getattr(signal, name), _end)
    with ExitStack() as running:
        return _serve(running, options.host, port, options.demo)


def _options(arguments: list[str] | None) -> argparse.Namespace:
    parser = argparse.ArgumentParser(prog="python -m shop.launcher", description="Run the whole shop on this machine.")
    parser.add_argument(
        "--demo", action="store_true", help="put an invented shop into the database, unless it is there"
    )
    parser.add_argument("--host", default="127.0.0.1", help="address to listen on (default: this machine only)")
    parser.add_argument("--port", type=int, help=f"port (default: {DEFAULT_PORT}, or the next free one)")
    return parser.parse_args(arguments)


def _port(host: str, wanted: int | None) -> int | None:
    for port in [wanted] if wanted is not None else range(DEFAULT_PORT, DEFAULT_PORT + PORTS_TRIED):
        if is_free(host, port):
            if wanted is None and port != DEFAULT_PORT:
                print(f"Port {DEFAULT_PORT} is busy; taking {port}.")
            return port
    which = f"port {wanted} is" if wanted is not None else f"ports from {DEFAULT_PORT} on are"
    print(f"Cannot listen on {host}: {which} busy or not allowed. Name another: --port 8080", file=sys.stderr)
    return None


def is_free(host: str, port: int) -> bool:
    """True where this process could listen there."""
    family = socket.AF_INET6 if ":" in host else socket.AF_INET
    with socket.socket(family, socket.SOCK_STREAM) as probe:
        if os.name == "posix":
            probe.setsockopt(socket.SOL_SOCKET, socket.SO_REUSEADDR, 1)
        try:
            probe.bind((host, port))
        except (OSError, OverflowError):
            return False
    return True


def _serve(running: ExitStack, host: str, port: int, demo: bool) -> int:
    # Not from the settings: these read REDIS_URL, which is not known yet.
    folder = data_folder()
    lock = hold(folder / "launcher.lock")
    if lock is None:
        print(f"The shop in {folder} is running already. Stop that one first.", file=sys.stderr)
        return 1
    running.callback(lock.close)
    _use_broker(running, folder / "broker")
    log_ins = _prepare(demo)
    if os.environ.get("REDIS_URL"):
        running.callback(start_worker(folder / "worker.log").stop)
    _start_sweep(running)
    _listen(host, port, log_ins)
    return 0


def _use_broker(running: ExitStack, folder: Path) -> None:
    if os.environ.get("REDIS_URL"):
        return
    if found := start_broker(folder):
        child, url = found
        running.callback(child.stop)
        os.environ["REDIS_URL"] = url
    else:
        print("No embedded broker on this machine: tasks run in the web server.")


def _prepare(demo: bool) -> str:
    """Bring database and static files up to date; what is to be said of the log-ins."""
    import django
    from django.core.management import call_command

    django.setup()
    call_command("migrate", interactive=False, verbosity=0)
    call_command("collectstatic", interactive=False, verbosity=0)
    if demo:
        said = io.StringIO()
        call_command("demo_shop", stdout=said)
        return said.getvalue().strip()
    from shop.people.models import User

    return "" if User.objects.exists() else "Nobody can log in yet: python manage.py add_owner NAME"


def _start_sweep(running: ExitStack) -> None:
    from circuits.outbox.sweeping import keep_sweeping
    from shop.celery import SWEEP_EVERY_S

    over = Event()
    sweep = Thread(target=keep_sweeping, args=(SWEEP_EVERY_S, over), name="sweep", daemon=True)
    sweep.start()
    running.callback(sweep.join, 5)
    running.callback(over.set)


def _listen(host: str, port: int, log_ins: str) -> None:
    from waitress import create_server

    from shop.wsgi import application

    server = create_server(application, host=host, port=port, threads=WEB_THREADS, ident="loomwright")
    shown = "localhost" if host in ("127.0.0.1", "0.0.0.0", "::1") else host  # noqa: S104
    print(f"\nThe shop is open at http://{shown}:{port}/   (Ctrl-C closes it)\n")
    print(log_ins, flush=True)
    server.run()


def _end(*_: object) -> NoReturn:
    raise SystemExit(0)


if __name__ == "__main__":
    sys.exit(main())
