"""A port for a server that a test starts."""

from __future__ import annotations

import socket


def free_port() -> int:
    """One that is free now: servers of tests that run at once would all choose the usual one."""
    with socket.socket() as free:
        free.bind(("127.0.0.1", 0))
        port: int = free.getsockname()[1]
        return port
