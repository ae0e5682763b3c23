"""Mail settings, and one message through a real SMTP conversation (aiosmtpd, a server that is not ours)."""

from __future__ import annotations

from email import message_from_bytes, policy
from email.message import EmailMessage
from pathlib import Path

import pytest

from tests.smtp import Inbox, served
from trainer.notices import mail
from trainer.notices.mail import MailSettings, MailSettingsError, NotSent


def letter(to: str = "ana@shop.example") -> EmailMessage:
    made = EmailMessage()
    made["Subject"], made["From"], made["To"] = "Hoy ½ ñ", "shop@shop.example", to
    made.set_content("Escalera: último día.\n")
    return made


def test_a_message_reaches_the_server_whole():
    inbox = Inbox()
    with served(inbox) as settings:
        mail.send(settings, letter())
    ((sender, to, content),) = inbox.kept
    assert (sender, to) == ("shop@shop.example", ("ana@shop.example",))
    received = message_from_bytes(content, policy=policy.default)
    assert (received["Subject"], received.get_content().split()) == (
        "Hoy ½ ñ",
        ["Escalera:", "último", "día."],
    )


def test_a_refused_address_says_so_and_the_next_may_go_through():
    inbox = Inbox("bad@shop.example")
    with served(inbox) as settings:
        with pytest.raises(NotSent, match="550 no such mailbox") as failed:
            mail.send(settings, letter("bad@shop.example"))
        assert not failed.value.gone
        mail.send(settings, letter())
    assert len(inbox.kept) == 1


def test_a_server_that_is_not_there_is_gone():
    with served(Inbox()) as settings:
        pass
    with pytest.raises(NotSent) as failed:
        mail.send(settings, letter())
    assert failed.value.gone and str(failed.value)


def test_a_server_without_tls_gets_nothing_when_tls_was_asked_for():
    inbox = Inbox()
    with served(inbox) as settings:
        asked = MailSettings(settings.host, settings.port, "starttls", "u", "secret", settings.sender, "")
        with pytest.raises(NotSent, match="STARTTLS"):
            mail.send(asked, letter())
    assert inbox.kept == []


def test_settings_from_the_file_and_the_environment_first(tmp_path: Path):
    assert mail.settings(tmp_path, {}).host is None
    (tmp_path / "mail.toml").write_text(
        'host = "mail.example"\nport = 2525\nuser = "u"\npassword = "p"\nsender = "a@shop.example"\n'
    )
    found = mail.settings(tmp_path, {})
    assert found == MailSettings("mail.example", 2525, "starttls", "u", "p", "a@shop.example", "")
    over = mail.settings(
        tmp_path,
        {
            "TRAINER_MAIL_HOST": "other.example",
            "TRAINER_MAIL_PORT": "",
            "TRAINER_SITE": "https://shop.example/",
        },
    )
    assert (over.host, over.port, over.site) == ("other.example", 2525, "https://shop.example")


@pytest.mark.parametrize(("security", "port"), [("starttls", 587), ("TLS", 465), ("none", 25)])
def test_the_usual_ports(tmp_path: Path, security: str, port: int):
    # RFC 8314: 587 for submission with STARTTLS, 465 with TLS from the start; RFC 5321: 25.
    assert mail.settings(tmp_path, {"TRAINER_MAIL_SECURITY": security}).port == port


@pytest.mark.parametrize(
    ("text", "said"),
    [
        ("host = ", "cannot be read"),
        ('hosts = "x"', "'hosts' is none of"),
        ('host = "x"', "sender = ''"),
        ('host = "x"\nsender = "a@b.example\\nBcc: c@d.example"', "no e-mail address"),
        ('host = "x"\nsender = "a@b.example"\nport = 99999', "port = '99999'"),
        ('host = "x"\nsender = "a@b.example"\nport = "²"', "no port"),
        ('security = "ssl3"', "'ssl3' is none of starttls, tls, none"),
        ('host = "x"\nsender = "a@b.example"\nsecurity = "none"\npassword = "p"', "without TLS"),
        ('site = "shop.example"', "https://shop.example"),
        ('site = "javascript:alert(1)"', "https://shop.example"),
    ],
)
def test_settings_that_make_no_sense(tmp_path: Path, text: str, said: str):
    (tmp_path / "mail.toml").write_text(text)
    with pytest.raises(MailSettingsError) as refused:
        mail.settings(tmp_path, {})
    assert said in str(refused.value)


@pytest.mark.parametrize(
    "email",
    [
        "",
        "ana",
        "ana@",
        "@shop.example",
        "a b@shop.example",
        "ana@shop.example\nBcc: x@y.example",
        "<a@b.example>",
    ],
)
def test_no_header_is_made_of_what_is_no_address(email: str):
    with pytest.raises(MailSettingsError):
        mail.addressed("Ana", email)


def test_a_name_with_line_ends_stays_a_name():
    made = EmailMessage()
    made["To"] = mail.addressed('Ana\r\nBcc: "x" <x@y.example>, ½', "ana@shop.example")
    again = made["To"].addresses
    assert [one.addr_spec for one in again] == ["ana@shop.example"] and len(made.keys()) == 1
