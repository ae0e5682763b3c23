"""A mail server for tests: aiosmtpd, which speaks SMTP and is not ours."""

from __future__ import annotations

import socket
from collections.abc import Iterator
from contextlib import contextmanager
from typing import Any

from aiosmtpd.controller import Controller

from trainer.notices.mail import MailSettings


class Inbox:
    """Keeps what it is handed; refuses the addresses in `refused` (RFC 5321: 550, mailbox unavailable)."""

    def __init__(self, *refused: str) -> None:
        self.refused, self.kept = refused, []

    async def handle_RCPT(
        self, _server: Any, _session: Any, envelope: Any, address: str, _options: Any
    ) -> str:
        if address in self.refused:
            return "550 no such mailbox"
        envelope.rcpt_tos.append(address)
        return "250 OK"

    async def handle_DATA(self, _server: Any, _session: Any, envelope: Any) -> str:
        self.kept.append((envelope.mail_from, tuple(envelope.rcpt_tos), envelope.content))
        return "250 OK"


@contextmanager
def served(inbox: Inbox) -> Iterator[MailSettings]:
    with socket.create_server(("127.0.0.1", 0)) as free:
        port = free.getsockname()[1]
    controller = Controller(inbox, hostname="127.0.0.1", port=port, ready_timeout=60)
    controller.start()
    try:
        yield MailSettings("127.0.0.1", port, "none", "", "", "shop@shop.example", "")
    finally:
        controller.stop()
