"""`trainer serve`: serve a shop's pages with a production server."""

from __future__ import annotations

import errno
import gc
import os
import socket
from collections.abc import Mapping
from pathlib import Path
from typing import Any, Final

import click
from click.core import ParameterSource

from trainer.cli import share as sharing
from trainer.cli.place import data_option, shop_store
from trainer.errors import StoreError

DEFAULT_PORT: Final = 8321
PORTS_TRIED: Final = 50
BACKLOG: Final = 2048  # connections that wait, as gunicorn has it


@click.command()
@data_option
@click.option("--host", default="127.0.0.1", show_default=True, help="Address to listen on.")
@click.option("--port", type=click.IntRange(1, 65535), help=f"Port to listen on.  [default: {DEFAULT_PORT}]")
@click.option(
    "--name", "names", multiple=True, help="A host name that people type to reach the shop; repeat for more."
)
@click.option("--https", is_flag=True, help="People reach the shop by HTTPS, through a web server in front.")
@click.option(
    "--share", is_flag=True, help="Let phones on this network in; prints the address and a code to scan."
)
@click.option(
    "--proxies", type=click.IntRange(0, 5), default=0, show_default=True, help="Web servers in front."
)
@click.option("--workers", type=click.IntRange(1, 64), default=2, show_default=True, help="Server processes.")
@click.option(
    "--threads", type=click.IntRange(1, 64), default=4, show_default=True, help="Threads a process."
)
@click.option(
    "--log",
    default="-",
    envvar="TRAINER_LOG",
    show_default=True,
    help="Where each request is told in one line of JSON: a file, - for stderr, or none for faults only.",
)
@click.option(
    "--copies",
    "keep",
    type=click.IntRange(0, 3660),
    default=14,
    envvar="TRAINER_COPIES",
    show_default=True,
    help="Copy the data once a day and keep the newest so many copies; 0 makes none.",
)
def serve(
    folder: Path,
    host: str,
    port: int | None,
    names: tuple[str, ...],
    https: bool,
    share: bool,
    proxies: int,
    workers: int,
    threads: int,
    log: str,
    keep: int,
) -> None:
    """Serve the shop in the data folder until stopped with Ctrl-C.

    Only requests for a known host name are answered: this machine, --host, and each --name.

    \b
    trainer serve
    trainer serve --share
    trainer serve --name shop.example --https --proxies 1
    trainer serve --log requests.log
    """
    from trainer.cli.copies import copying
    from trainer.records.schema import upgrade
    from trainer.web.security import KNOWN_HOSTS

    chosen = click.get_current_context().get_parameter_source("host") is not ParameterSource.DEFAULT
    if share and (https or proxies or chosen):
        raise click.UsageError(
            "--share chooses the address and speaks plain HTTP; leave out --host, --https and --proxies."
        )
    data = shop_store(folder)
    shared = sharing.network_address() if share else None
    host = sharing.EVERYWHERE if shared else host
    upgraded = upgrade(data)
    if upgraded.copy:
        click.echo(f"The data was brought up to date; a copy of it as it was is kept in {upgraded.copy}.")
    settings = {
        "HOSTS": (*KNOWN_HOSTS, shared or host, *names),
        "PROXIES": proxies,
        "SESSION_COOKIE_SECURE": https,
        "LOG": usable(log),
    }
    taken = take_port(host, port)
    if shared:
        click.echo(sharing.invitation(f"http://{shared}:{port_of(taken)}/"))
    with taken, copying(folder, keep, str(settings["LOG"])):
        run(data, host, taken, settings, workers=workers, threads=threads, known_as=shared)


def usable(log: str) -> str:
    """The place of the log, a file by its whole path. Raises StoreError when the file cannot be written."""
    if log in ("-", "none"):
        return log
    path = Path(log).absolute()
    try:
        os.close(os.open(path, os.O_WRONLY | os.O_APPEND | os.O_CREAT, 0o600))
    except OSError as error:
        raise StoreError(f"the log {log} cannot be written: {error.strerror}") from error
    return str(path)


def listen(host: str, port: int) -> socket.socket:
    """A socket that listens there from now on. Raises OSError."""
    family, kind, protocol, _, address = socket.getaddrinfo(host, port, type=socket.SOCK_STREAM)[0]
    taken = socket.socket(family, kind, protocol)
    try:
        taken.setsockopt(socket.SOL_SOCKET, socket.SO_REUSEADDR, 1)
        taken.bind(address)
        taken.listen(BACKLOG)  # only a port that is listened on is kept from others
    except OSError:
        taken.close()
        raise
    return taken


def take_port(host: str, wanted: int | None) -> socket.socket:
    """A socket that listens on the wanted port, or on the first free one from the usual port on.

    The server is handed the socket itself: between looking for a free port and taking it, another program might.
    Raises StoreError, naming the next free port, when the wanted one is busy.
    """
    first = wanted or DEFAULT_PORT
    for port in range(first, min(first + PORTS_TRIED, 65536)):
        try:
            taken = listen(host, port)
            break
        except OSError as error:
            if error.errno != errno.EADDRINUSE:
                raise StoreError(f"{host} cannot be listened on at port {port}: {error.strerror}") from error
    else:
        raise StoreError(
            f"port {first} and the {PORTS_TRIED} after it are in use; choose another with --port"
        )
    if port != first and wanted:
        taken.close()
        raise StoreError(f"port {wanted} is in use; port {port} is free: add --port {port}")
    if port != first:
        click.echo(f"Port {first} is in use; using the next free one, {port}. (--port chooses another.)")
    return taken


def port_of(taken: socket.socket) -> int:
    """The port that the socket listens on."""
    return int(taken.getsockname()[1])


def settle() -> None:
    """What was loaded stays: the search for unused objects leaves it out from now on, and comes seldom, since a page about
    everyone makes some hundred thousand objects and leaves none behind."""
    gc.collect()
    gc.freeze()
    gc.set_threshold(250_000, 20, 20)


def run(
    data: str | Path,
    host: str,
    taken: socket.socket,
    settings: Mapping[str, Any],
    *,
    workers: int,
    threads: int,
    known_as: str | None = None,
) -> None:
    """Serve until stopped. The application is loaded once and shared by the processes that answer; each of them opens
    connections to the store for itself.

    taken: listens on `host` already; known_as: the address that people type, where it is not `host`

    Raises StoreError when the store cannot be served, before any process is started.
    """
    from trainer.records import rules
    from trainer.records.store import open_store
    from trainer.web import create_app
    from trainer.web.content import CONTENT

    store = open_store(data)
    app = create_app(store, settings=settings)
    with store.read() as session:
        undecided = rules.waiting(session, app.extensions[CONTENT].rules)
    store.close()  # no connection is shared by two processes
    settle()
    if undecided:
        click.echo(
            "The rules of clearance that come with the program have changed. The shop's own hold until an owner "
            "decides: Board, Rules of clearance."
        )
    click.echo(f"Topping Out is served on http://{known_as or host}:{port_of(taken)}/  (Ctrl-C stops it)")
    try:
        from gunicorn.app.base import BaseApplication
    except ImportError:  # no gunicorn on Windows
        from waitress import serve as serve_here

        serve_here(app, sockets=[taken], threads=threads)
        return

    handed_over = taken.detach()

    class Server(BaseApplication):  # type: ignore[misc]
        def load_config(self) -> None:
            settings = {
                "bind": f"fd://{handed_over}",
                "workers": workers,
                "threads": threads,
                "worker_class": "gthread",
                "loglevel": "error",  # its warnings name the caller's address
                "control_socket_disable": True,
            }
            for key, value in settings.items():
                if key in self.cfg.settings:
                    self.cfg.set(key, value)

        def load(self) -> Any:
            return app

    Server().run()
