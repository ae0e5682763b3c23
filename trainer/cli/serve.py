"""`trainer serve`: serve a shop's pages with a production server."""

from __future__ import annotations

import socket
from pathlib import Path
from typing import Any, Final

import click

from trainer.cli.place import data_option, store_file
from trainer.errors import StoreError

DEFAULT_PORT: Final = 8321
PORTS_TRIED: Final = 50


@click.command()
@data_option
@click.option("--host", default="127.0.0.1", show_default=True, help="Address to listen on.")
@click.option("--port", type=click.IntRange(1, 65535), help=f"Port to listen on.  [default: {DEFAULT_PORT}]")
@click.option("--workers", type=click.IntRange(1, 64), default=2, show_default=True, help="Server processes.")
@click.option(
    "--threads", type=click.IntRange(1, 64), default=4, show_default=True, help="Threads a process."
)
def serve(folder: Path, host: str, port: int | None, workers: int, threads: int) -> None:
    """Serve the shop in the data folder until stopped with Ctrl-C.

    \b
    trainer serve --data topping-out-shop --port 8321
    """
    from trainer.records.schema import upgrade

    path = store_file(folder)
    if not path.is_file():
        raise StoreError(f"there is no shop in {folder}; set one up with `trainer init --data {folder}`")
    upgraded = upgrade(path)
    if upgraded.copy:
        click.echo(f"The data was brought up to date; a copy of it as it was is kept in {upgraded.copy}.")
    port = choose_port(host, port)
    click.echo(f"Topping Out is served on http://{host}:{port}/  (Ctrl-C stops it)")
    run(path, host, port, workers=workers, threads=threads)


def is_free(host: str, port: int) -> bool:
    """Whether a server can listen there now."""
    with socket.socket(socket.AF_INET6 if ":" in host else socket.AF_INET, socket.SOCK_STREAM) as probe:
        probe.setsockopt(socket.SOL_SOCKET, socket.SO_REUSEADDR, 1)
        try:
            probe.bind((host, port))
        except OSError:
            return False
        return True


def choose_port(host: str, wanted: int | None) -> int:
    """The port to listen on: the wanted one, or the first free one from the usual port on.

    Raises StoreError, naming the next free port, when the wanted one is busy.
    """
    first = wanted or DEFAULT_PORT
    free = next((port for port in range(first, min(first + PORTS_TRIED, 65536)) if is_free(host, port)), None)
    if free is None:
        raise StoreError(
            f"{host} cannot be listened on at port {first} or the {PORTS_TRIED} after it; choose --port"
        )
    if free != first and wanted:
        raise StoreError(f"port {wanted} is in use; port {free} is free: add --port {free}")
    if free != first:
        click.echo(f"Port {first} is in use; using the next free one, {free}. (--port chooses another.)")
    return free


def run(path: Path, host: str, port: int, *, workers: int, threads: int) -> None:
    """Serve until stopped; each process opens the store for itself."""

    def load() -> Any:
        from trainer.records.store import open_store
        from trainer.web import create_app

        return create_app(open_store(path))

    try:
        from gunicorn.app.base import BaseApplication
    except ImportError:  # no gunicorn on Windows
        from waitress import serve as serve_here

        serve_here(load(), host=host, port=port, threads=threads)
        return

    class Server(BaseApplication):  # type: ignore[misc]
        def load_config(self) -> None:
            settings = {
                "bind": f"[{host}]:{port}" if ":" in host else f"{host}:{port}",
                "workers": workers,
                "threads": threads,
                "worker_class": "gthread",
                "loglevel": "warning",
                "control_socket_disable": True,
            }
            for key, value in settings.items():
                if key in self.cfg.settings:
                    self.cfg.set(key, value)

        def load(self) -> Any:
            return load()

    Server().run()
