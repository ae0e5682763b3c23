"""The daily digest: who is told what, each once a day, a failure again, and no header that someone typed."""

from __future__ import annotations

from datetime import timedelta
from email import message_from_bytes, policy
from email.message import EmailMessage

import pytest
from sqlalchemy import select

from trainer.clearance.words import day
from trainer.notices import daily
from trainer.notices.digest import message
from trainer.notices.mail import NotSent
from trainer.records import emails, goes, queries, review
from trainer.records.models import DigestSent


class Server:
    """Takes messages, or refuses those to `refused`, or is gone after `last` of them."""

    def __init__(self, refused=(), last=None):
        self.refused, self.last, self.taken = refused, last, []

    def __call__(self, sent: EmailMessage) -> None:
        to = sent["To"].addresses[0].addr_spec
        if self.last is not None and len(self.taken) >= self.last:
            raise NotSent("connection refused", gone=True)
        if to in self.refused:
            raise NotSent("550 no", gone=False)
        self.taken.append(to)


@pytest.fixture
def people_with_mail(shop, shop_people):
    """Everyone has an address but Ben."""
    with shop.store.write() as session:
        for who in (shop_people.owner, shop_people.trainer, shop_people.apprentice):
            emails.set_email(session, who, shop.now, who.id, f"{who.sign_in}@shop.example")
    return shop_people


@pytest.fixture
def busy(shop, people_with_mail):
    """Ana is cleared, has a quiz due and one that is overdue; Ben handed one in and could be cleared."""
    owner, trainer, ana, ben = (
        people_with_mail.owner, people_with_mail.trainer, people_with_mail.apprentice, people_with_mail.other,
    )  # fmt: skip
    shop.make_ready(trainer, ana)
    shop.grant(owner, ana)
    shop.make_ready(trainer, ben)
    with shop.store.write() as session:
        review.finish(session, trainer, shop.now, 1)
    shop.assign(trainer, ana, title="Steel", due=shop.now + timedelta(days=3))
    shop.assign(trainer, ana, title="Bags", due=shop.now + timedelta(hours=1))
    shop.now += timedelta(hours=3)
    return shop


def run(shop, server, now=None):
    return daily.run(
        shop.store,
        now or shop.now,
        shop.rules,
        sender="shop@shop.example",
        site="https://shop.example",
        send=server,
    )


def digest_of(shop, who, now=None):
    with shop.store.read() as session:
        return next(
            one for one in queries.digests(session, now or shop.now, shop.rules) if one.person_id == who.id
        )


def lines(shop, who, now=None):
    made = message(
        digest_of(shop, who, now), shop="Hillside", sender="s@shop.example", site="", now=now or shop.now
    )
    return made.get_content().splitlines()


def test_each_is_told_what_concerns_them(busy, shop_people):
    ana = lines(busy, shop_people.apprentice)
    assert "Sus exámenes" in ana and "- Bags: atrasado desde el 25 nov 2026" in ana  # Ana reads Spanish
    assert "- Steel: se entrega el 28 nov 2026" in ana
    assert not any("Ben" in line or "Olive" in line for line in ana)
    trainer = lines(busy, shop_people.trainer)
    assert "- Ana Abel – Bags: overdue since 25 Nov 2026" in trainer
    assert "- Ben Bauer – Ladders: handed in 25 Nov 2026" in trainer
    assert not any(line.startswith("- Ana Abel – Ladders: handed in") for line in trainer), (
        "that one is reviewed"
    )
    assert not any("Steel" in line for line in trainer), "not overdue yet"
    assert "Ready for you to grant" not in trainer
    owner = lines(busy, shop_people.owner)
    assert "Ready for you to grant" in owner and "- Ben Bauer – Ladder" in owner
    assert (
        digest_of(busy, shop_people.other).own_due == () and digest_of(busy, shop_people.other).says_nothing
    )


def test_the_next_go_is_told_from_before_it_opens(shop, people_with_mail, plain_draw):
    trainer, ana = people_with_mail.trainer, people_with_mail.apprentice
    paper = shop.assign(trainer, ana, title="Slopes", goes=2, wait_hours=24).papers[0]
    shop.answer_all(ana, paper, right=False)
    assert any(
        line.startswith("- Slopes: no aprobado; el intento 2 de 2 abre el ") for line in lines(shop, ana)
    )
    later = shop.now + timedelta(hours=25)
    assert "- Slopes: no aprobado; ya puede hacer el intento 2 de 2" in lines(shop, ana, later)
    assert not any("Slopes: no aprobado" in line for line in lines(shop, ana, shop.now + timedelta(days=16)))
    with shop.store.write() as session:
        goes.go_again(session, ana, later, paper_id=paper, bank=shop.bank, draw=plain_draw)
    assert not any("Slopes: no aprobado" in line for line in lines(shop, ana, later)), "it is begun"


def test_a_quiz_without_a_date_is_told_for_two_weeks(shop, people_with_mail):
    trainer, ana = people_with_mail.trainer, people_with_mail.apprentice
    shop.assign(trainer, ana, title="Knots", due=None)
    shop.assign(trainer, ana, title="Later", due=None, opens=shop.now + timedelta(days=3))
    assert "- Knots: por hacer, sin fecha de entrega" in lines(shop, ana)
    assert not any("Later: por hacer" in line for line in lines(shop, ana)), "it is told of as opening"
    assert "- Later: por hacer, sin fecha de entrega" in lines(shop, ana, shop.now + timedelta(days=4))
    assert not any("Knots" in line for line in lines(shop, ana, shop.now + timedelta(days=15)))


@pytest.mark.parametrize(
    ("before", "heading"),
    [
        (0, "within 30"),
        (30, "within 30"),
        (31, "in 31 to 60"),
        (60, "in 31 to 60"),
        (61, "in 61 to 90"),
        (90, "in 61 to 90"),
        (91, None),
    ],
)
def test_what_runs_out_in_30_60_90_days(busy, shop_people, before, heading):
    # Granted on 25 November 2026, everything it rests on counts for 365 days.
    now = busy.now + timedelta(days=365 - before)
    trainer = lines(busy, shop_people.trainer, now)
    line = "- Ana Abel – Ladder: last good day 25 Nov 2027"
    found = [
        trainer[i]
        for i in range(len(trainer))
        if trainer[i].startswith("Clearances and certificates that run out")
    ]
    assert found == ([f"Clearances and certificates that run out {heading} days"] if heading else [])
    assert (line in trainer) == (heading is not None)
    assert ("- Ladder: último día de vigencia 25 nov 2027" in lines(busy, shop_people.apprentice, now)) == (
        heading is not None
    )


def test_a_certificate_that_runs_out_is_told_too_unless_a_longer_one_is_held(busy, shop_people):
    first = busy.certificate(
        shop_people.trainer, shop_people.other, expires=busy.now.date() + timedelta(days=45)
    )
    line = f"- Ben Bauer – First aid: last good day {day(busy.now.date() + timedelta(days=45)).en}"
    assert line in lines(busy, shop_people.trainer) and first
    assert [one.key for one in digest_of(busy, shop_people.other).own_run_out] == ["first-aid"]
    busy.certificate(shop_people.trainer, shop_people.other, expires=busy.now.date() + timedelta(days=400))
    assert line not in lines(busy, shop_people.trainer)
    assert digest_of(busy, shop_people.other).own_run_out == ()


def test_nobody_is_told_of_what_they_may_not_review(busy, shop_people):
    own = busy.assign(shop_people.owner, shop_people.trainer, shop_people.other, title="Both")
    busy.answer_all(shop_people.other, own.papers[1])
    assert not any("Both" in one.title for one in digest_of(busy, shop_people.trainer).waiting)
    assert any("Both" in one.title for one in digest_of(busy, shop_people.owner).waiting)
    busy.answer_all(shop_people.trainer, own.papers[0])
    waiting = digest_of(busy, shop_people.trainer).waiting
    assert [one.person for one in waiting if one.title == "Both"] == ["Ben Bauer"]


def test_one_a_person_a_day_however_often_it_runs(busy):
    server = Server()
    first = run(busy, server)
    assert set(first.sent) == {"Olive Ortega", "Theo Tran", "Ana Abel"} and not first.failed
    again = run(busy, server, busy.now + timedelta(hours=2))
    assert (again.sent, set(again.earlier)) == ((), set(first.sent))
    assert sorted(server.taken) == ["ana@shop.example", "olive@shop.example", "theo@shop.example"]
    next_day = run(busy, server, busy.now + timedelta(days=1))
    assert set(next_day.sent) == set(first.sent) and len(server.taken) == 6


def test_the_day_is_the_shops(busy):
    """The shop is in New York: 25 November ends there at 05:00 UTC of the 26th."""
    server = Server()
    assert run(busy, server).sent
    late = busy.now.replace(hour=23) + timedelta(hours=5, minutes=59)
    assert late.hour == 4 and run(busy, server, late).sent == ()
    assert run(busy, server, late + timedelta(minutes=1)).sent


def test_a_refused_one_is_tried_again_and_the_others_are_not(busy):
    server = Server(refused=("theo@shop.example",))
    first = run(busy, server)
    assert first.failed == (("Theo Tran", "550 no"),) and set(first.sent) == {"Olive Ortega", "Ana Abel"}
    server.refused = ()
    again = run(busy, server)
    assert again.sent == ("Theo Tran",) and set(again.earlier) == {"Olive Ortega", "Ana Abel"}
    assert len(server.taken) == 3


def test_a_server_that_is_gone_is_not_asked_again_in_the_same_run(busy):
    server = Server(last=1)
    first = run(busy, server)
    assert len(first.sent) == 1 and len(first.failed) == 2
    server.last = None
    assert len(run(busy, server).sent) == 2 and len(set(server.taken)) == 3


def test_a_run_that_dies_while_sending_sends_nothing_twice(busy):
    class Killed(BaseException):
        pass

    def dies(sent):
        raise Killed

    with pytest.raises(Killed):
        run(busy, dies)
    server = Server()
    ran = run(busy, server)
    assert len(ran.earlier) == 1 and len(ran.sent) == 2
    with busy.store.read() as session:
        rows = session.scalars(select(DigestSent)).all()
        assert sorted(row.sent_at is None for row in rows) == [False, False, True]


def test_nothing_is_held_in_the_store_while_the_server_is_talked_to(busy, shop_people):
    """Each message is taken only once something else was written; were the store held, that would wait and fail."""
    ana, written = shop_people.apprentice, []

    def writes(sent):
        with busy.store.write() as session:
            emails.set_email(session, ana, busy.now, ana.id, f"ana{len(written)}@shop.example")
        written.append(sent)

    assert len(run(busy, writes).sent) == len(written) == 3


def test_who_has_no_address_is_named_and_who_has_nothing_to_hear_is_not(busy, shop_people):
    busy.assign(shop_people.trainer, shop_people.other, title="Forms", due=busy.now + timedelta(days=2))
    assert run(busy, Server()).no_address == ("Ben Bauer",)


def test_the_message_says_what_it_is(busy, shop_people):
    digest = digest_of(busy, shop_people.apprentice)
    made = message(
        digest, shop="Hillside", sender="s@shop.example", site="https://shop.example", now=busy.now
    )
    assert made["To"].addresses[0].addr_spec == "ana@shop.example" and made["Content-Language"] == "es"
    assert made["From"].addresses[0].display_name == "Hillside" and made["Auto-Submitted"] == "auto-generated"
    assert made["Subject"] == "Hillside: 25 nov 2026" and "https://shop.example/" in made.get_content()
    again = message(
        digest, shop="Hillside", sender="s@shop.example", site="", now=busy.now + timedelta(hours=1)
    )
    assert again["Message-ID"] == made["Message-ID"], "a server that got it twice can tell"
    parsed = message_from_bytes(made.as_bytes(policy=policy.SMTP), policy=policy.default)
    assert parsed.get_content().splitlines() == made.get_content().splitlines()


def test_nothing_typed_becomes_a_header_or_a_line_of_its_own(busy, shop_people):
    busy.assign(
        shop_people.trainer, shop_people.apprentice, due=busy.now + timedelta(days=1),
        title="Forms\r\nBcc: thief@elsewhere.example\r\n\r\nReady for you to grant",
    )  # fmt: skip
    digest = digest_of(busy, shop_people.apprentice)
    made = message(digest, shop="Hill\r\nBcc: x@y.example", sender="s@shop.example", site="", now=busy.now)
    parsed = message_from_bytes(made.as_bytes(policy=policy.SMTP), policy=policy.default)
    assert parsed["Bcc"] is None and parsed["Subject"] == "Hill Bcc: x@y.example: 25 nov 2026"
    assert "Ready for you to grant" not in parsed.get_content().splitlines()
    assert set(parsed.keys()) == set(made.keys())


def test_statements_do_not_grow(busy, shop_people, count_statements):
    counts = []
    for _ in range(2):
        with count_statements(busy.store) as sent, busy.store.read() as session:
            queries.digests(session, busy.now, busy.rules)
        counts.append(len(sent))
        for _ in range(3):
            busy.assign(shop_people.trainer, shop_people.apprentice, shop_people.other)
    assert (
        counts[0] == counts[1] <= 16
    )  # the rules in force are one, the papers that another go may follow too
