"""`trainer digest`: printed without a server, sent with one, once a day; the whole way through a real SMTP server."""

from __future__ import annotations

from datetime import UTC, datetime, timedelta

import pytest
from click.testing import CliRunner

from tests.cli.shops import moved_in
from tests.shipped import shipped_bank
from tests.smtp import Inbox, served
from trainer.cli import cli
from trainer.questions import draw
from trainer.records import emails, quizzes
from trainer.records.store import TEST_COST, open_store


@pytest.fixture
def folder(store_path, shop_people, tmp_path):
    """A shop in which Ana has an overdue quiz and an address."""
    path = tmp_path / "data"
    now = datetime.now(UTC)
    store = open_store(moved_in(store_path, path), password_cost=TEST_COST)
    with store.write() as session:
        emails.set_email(session, shop_people.apprentice, now, shop_people.apprentice.id, "ana@shop.example")
        quizzes.assign(
            session, shop_people.trainer, now - timedelta(days=2), title="The gap",
            people=[shop_people.apprentice.id], questions=["why-the-gap"], pass_mark=80,
            due=now - timedelta(days=1), same_numbers=True, bank=shipped_bank().questions, draw=draw, token="gap",
        )  # fmt: skip
    store.close()
    return path


def run(folder, *more, **environment):
    names = ("HOST", "PORT", "SECURITY", "USER", "PASSWORD", "SENDER")
    clean = {f"TRAINER_MAIL_{name}": None for name in names} | {"TRAINER_SITE": None}
    return CliRunner().invoke(cli, ["digest", "--data", str(folder), *more], env={**clean, **environment})


def test_without_a_server_it_is_printed_and_counts_as_not_sent(folder):
    for _ in range(2):
        result = run(folder)
        assert result.exit_code == 0, result.output
        assert (
            "To: Ana Abel <ana@shop.example>" in result.output and "The gap: atrasado desde" in result.output
        )
        assert "To: Theo Tran <no address>" in result.output and "No mail server is set" in result.output


def test_with_a_server_it_is_sent_once(folder):
    inbox = Inbox()
    with served(inbox) as at:
        (folder / "mail.toml").write_text(
            f'host = "127.0.0.1"\nport = {at.port}\nsecurity = "none"\nsender = "shop@shop.example"\n'
        )
        first, again = run(folder), run(folder)
    assert first.exit_code == again.exit_code == 0, first.output
    assert "sent: Ana Abel" in first.output and "no e-mail address: Olive Ortega, Theo Tran" in first.output
    assert "sent earlier today: Ana Abel" in again.output
    ((sender, to, content),) = inbox.kept
    assert (sender, to) == ("shop@shop.example", ("ana@shop.example",)) and b"The gap" in content


def test_a_refusal_is_a_status_and_is_tried_again(folder):
    inbox = Inbox("ana@shop.example")
    with served(inbox) as at:
        settings = {
            "TRAINER_MAIL_HOST": "127.0.0.1", "TRAINER_MAIL_PORT": str(at.port), "TRAINER_MAIL_SECURITY": "none",
            "TRAINER_MAIL_SENDER": "shop@shop.example",
        }  # fmt: skip
        first = run(folder, **settings)
        assert first.exit_code == 1 and "not sent to Ana Abel" in first.output and "550" in first.output
        inbox.refused = ()
        assert run(folder, **settings).exit_code == 0 and len(inbox.kept) == 1


def test_it_can_be_looked_at_before_it_is_sent(folder):
    result = run(
        folder,
        "--print",
        TRAINER_MAIL_HOST="127.0.0.1",
        TRAINER_MAIL_PORT="1",
        TRAINER_MAIL_SENDER="a@b.example",
    )
    assert result.exit_code == 0 and "The gap" in result.output and "No mail server" not in result.output


def test_a_folder_without_a_shop(tmp_path):
    result = run(tmp_path)
    assert "there is no shop" in str(result.exception)
