"""Sending e-mail: where the settings come from, and one message at a time through SMTP.

Settings stand in `mail.toml` of the data folder, or in the environment, which counts first:

    host      TRAINER_MAIL_HOST       the mail server; nothing is sent while there is none
    port      TRAINER_MAIL_PORT       587; 465 with security = "tls"
    security  TRAINER_MAIL_SECURITY   "starttls" (usual), "tls", or "none" (a server on this machine)
    user      TRAINER_MAIL_USER       optional
    password  TRAINER_MAIL_PASSWORD   optional; never sent without TLS
    sender    TRAINER_MAIL_SENDER     the address that the messages come from
    site      TRAINER_SITE            the shop's own address, to be put into the messages; optional
"""

from __future__ import annotations

import smtplib
import ssl
import tomllib
from collections.abc import Mapping
from dataclasses import dataclass
from email.errors import HeaderParseError
from email.headerregistry import Address
from email.message import EmailMessage
from pathlib import Path
from typing import Any, Final
from urllib.parse import urlsplit

from trainer.errors import TrainerError
from trainer.records.emails import is_address

FILE: Final = "mail.toml"
ENVIRONMENT: Final = {
    "host": "TRAINER_MAIL_HOST",
    "port": "TRAINER_MAIL_PORT",
    "security": "TRAINER_MAIL_SECURITY",
    "user": "TRAINER_MAIL_USER",
    "password": "TRAINER_MAIL_PASSWORD",
    "sender": "TRAINER_MAIL_SENDER",
    "site": "TRAINER_SITE",
}
PORTS: Final = {"starttls": 587, "tls": 465, "none": 25}
SECONDS: Final = 20.0


class MailSettingsError(TrainerError):
    """The mail settings cannot be used; the sentence says which and why."""


class NotSent(TrainerError):
    """The server did not take a message. gone: it is not worth trying the next one either."""

    def __init__(self, why: str, *, gone: bool) -> None:
        super().__init__(why)
        self.gone = gone


@dataclass(frozen=True, slots=True)
class MailSettings:
    """How mail is sent. host: None while nothing is set up; site: without a slash at its end, or ''"""

    host: str | None
    port: int
    security: str
    user: str
    password: str
    sender: str
    site: str


def settings(folder: Path, environment: Mapping[str, str]) -> MailSettings:
    """The settings of the shop in `folder`. Raises MailSettingsError."""
    given = {**_file(folder / FILE), **_set(environment)}
    security = str(given.get("security") or "starttls").lower()
    if security not in PORTS:
        raise MailSettingsError(f"security = {security!r} is none of {', '.join(PORTS)}")
    site = str(given.get("site") or "").rstrip("/")
    if site and not (
        urlsplit(site).scheme in ("http", "https") and urlsplit(site).netloc and site.isprintable()
    ):
        raise MailSettingsError(f"site = {site!r} is no address such as https://shop.example")
    found = MailSettings(
        host=str(given.get("host") or "") or None,
        port=_port(given.get("port"), PORTS[security]),
        security=security,
        user=str(given.get("user") or ""),
        password=str(given.get("password") or ""),
        sender=str(given.get("sender") or ""),
        site=site,
    )
    if found.host is not None:
        if not is_address(found.sender):
            raise MailSettingsError(f"sender = {found.sender!r} is no e-mail address to send from")
        if found.password and security == "none":
            raise MailSettingsError('a password is not sent without TLS; set security to "starttls" or "tls"')
    return found


def _file(path: Path) -> dict[str, Any]:
    try:
        read = tomllib.loads(path.read_text("utf-8"))
    except FileNotFoundError:
        return {}
    except (OSError, ValueError) as error:
        raise MailSettingsError(f"{path} cannot be read: {error}") from error
    unknown = sorted(read.keys() - ENVIRONMENT.keys())
    if unknown:
        raise MailSettingsError(f"{path}: {unknown[0]!r} is none of {', '.join(ENVIRONMENT)}")
    return read


def _set(environment: Mapping[str, str]) -> dict[str, str]:
    return {
        name: environment[variable] for name, variable in ENVIRONMENT.items() if environment.get(variable)
    }


def _port(given: Any, usual: int) -> int:
    if given in (None, ""):
        return usual
    text = str(given)
    if not (text.isascii() and text.isdecimal() and 0 < int(text) < 65536):
        raise MailSettingsError(f"port = {text!r} is no port; give 1 to 65535")
    return int(text)


def send(settings: MailSettings, message: EmailMessage) -> None:
    """Hand one message to the server. Raises NotSent."""
    assert settings.host is not None
    try:
        with _connected(settings, settings.host) as server:
            server.send_message(message)
    except (smtplib.SMTPRecipientsRefused, smtplib.SMTPDataError) as error:
        raise NotSent(_why(error), gone=False) from error
    except (smtplib.SMTPException, OSError) as error:
        raise NotSent(_why(error), gone=True) from error


def _connected(settings: MailSettings, host: str) -> smtplib.SMTP:
    context = ssl.create_default_context()
    server: smtplib.SMTP
    if settings.security == "tls":
        server = smtplib.SMTP_SSL(host, settings.port, timeout=SECONDS, context=context)
    else:
        server = smtplib.SMTP(host, settings.port, timeout=SECONDS)
    try:
        if settings.security == "starttls":
            server.starttls(context=context)
        if settings.user:
            server.login(settings.user, settings.password)
    except BaseException:
        server.close()
        raise
    return server


def _why(error: Exception) -> str:
    if isinstance(error, smtplib.SMTPRecipientsRefused):
        return "; ".join(f"{code} {_plain(said)}" for code, said in error.recipients.values())
    if isinstance(error, smtplib.SMTPResponseException):
        return f"{error.smtp_code} {_plain(error.smtp_error)}"
    return str(error) or type(error).__name__


def _plain(said: bytes | str) -> str:
    return said.decode("utf-8", "replace") if isinstance(said, bytes) else said


def addressed(name: str, email: str) -> Address:
    """A name with an address, as a message's header holds it. Raises MailSettingsError when it is no address."""
    if not is_address(email):
        raise MailSettingsError(f"{email!r} is no e-mail address")
    try:
        return Address(display_name=" ".join(name.split()), addr_spec=email)
    except (HeaderParseError, ValueError) as error:
        raise MailSettingsError(f"{email!r} is no e-mail address: {error}") from error
