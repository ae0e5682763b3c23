"""The daily digest as a message in its reader's language."""

from __future__ import annotations

import hashlib
from collections.abc import Iterator
from datetime import UTC, datetime
from email.message import EmailMessage
from typing import Final

from trainer.clearance.words import clock, day
from trainer.languages import Text
from trainer.notices.mail import addressed
from trainer.records.queries import Digest, RunsOut

WITHIN: Final = (30, 60, 90)  # days

SUBJECT: Final = Text(en="{shop}: {day}", es="{shop}: {day}")
GREETING: Final = Text(
    en="{name}, this is what is coming up on {day}.", es="{name}, esto es lo que viene al {day}."
)
OWN_DUE: Final = Text(en="Your quizzes", es="Sus exámenes")
OWN_RUN_OUT: Final = Text(
    en="Your clearances and certificates that run out", es="Sus autorizaciones y constancias por vencer"
)
RUN_OUT: Final = Text(
    en="Clearances and certificates that run out in {first} to {last} days",
    es="Autorizaciones y constancias que vencen en {first} a {last} días",
)
RUN_OUT_SOON: Final = Text(
    en="Clearances and certificates that run out within {last} days",
    es="Autorizaciones y constancias que vencen en {last} días o menos",
)
OVERDUE: Final = Text(en="Quizzes overdue", es="Exámenes atrasados")
WAITING: Final = Text(en="Papers waiting for review", es="Exámenes por revisar")
READY: Final = Text(en="Ready for you to grant", es="Listas para que usted las otorgue")
OVERDUE_SINCE: Final = Text(en="{title}: overdue since {day}", es="{title}: atrasado desde el {day}")
OPENS: Final = Text(en="{title}: opens {day}", es="{title}: abre el {day}")
DUE: Final = Text(en="{title}: due {day}", es="{title}: se entrega el {day}")
GO_OPEN: Final = Text(
    en="{title}: not passed; go {number} of {of} may be sat now",
    es="{title}: no aprobado; ya puede hacer el intento {number} de {of}",
)
GO_OPENS: Final = Text(
    en="{title}: not passed; go {number} of {of} opens {moment}",
    es="{title}: no aprobado; el intento {number} de {of} abre el {moment}",
)
UNDATED: Final = Text(en="{title}: to be sat, no date set", es="{title}: por hacer, sin fecha de entrega")
LAST_DAY: Final = Text(en="{name}: last good day {day}", es="{name}: último día de vigencia {day}")
HANDED_IN: Final = Text(en="{title}: handed in {day}", es="{title}: entregado el {day}")
FOOT: Final = Text(
    en="The board in the shop is what counts, and the competent person on site decides on the day. The owner, or you "
    "on your account page, can take your address off.",
    es="Lo que cuenta es el tablero del taller, y la persona competente en la obra decide ese día. El dueño, o usted en "
    "la página de su cuenta, puede quitar su dirección.",
)


def message(digest: Digest, *, shop: str, sender: str, site: str, now: datetime) -> EmailMessage:
    """The message, to be sent from the address `sender`; the same digest has the same Message-ID every time."""
    spoken = digest.language
    made = EmailMessage()
    made["Subject"] = _line(SUBJECT.in_language(spoken).format(shop=shop, day=_day(digest, spoken)))
    made["From"] = addressed(shop, sender)
    if digest.email is not None:
        made["To"] = addressed(digest.name, digest.email)
    made["Date"] = now.astimezone(UTC)
    made["Message-ID"] = _message_id(digest, shop, sender)
    made["Auto-Submitted"] = "auto-generated"  # RFC 3834: nobody's absence note answers it
    made.set_content("\n".join(_body(digest, site, now)) + "\n")
    made["Content-Language"] = spoken  # after the content, which clears what was said of it before
    return made


def text(digest: Digest, *, site: str, now: datetime) -> str:
    """The body alone."""
    return "\n".join(_body(digest, site, now))


def _message_id(digest: Digest, shop: str, sender: str) -> str:
    said = f"{shop}\0{digest.person_id}\0{digest.on.isoformat()}"
    return f"<digest.{hashlib.sha256(said.encode()).hexdigest()[:32]}@{sender.rpartition('@')[2]}>"


def _body(digest: Digest, site: str, now: datetime) -> Iterator[str]:
    spoken = digest.language
    yield _line(GREETING.in_language(spoken).format(name=digest.name, day=_day(digest, spoken)))
    for heading, lines in _sections(digest, now):
        if lines:
            yield from ("", heading, *(f"- {_line(line)}" for line in lines))
    if site:
        yield from ("", f"{site}/")
    yield from ("", FOOT.in_language(spoken))


def _sections(digest: Digest, now: datetime) -> Iterator[tuple[str, list[str]]]:
    """(heading, lines) in the order in which someone would act on them."""
    spoken = digest.language
    yield (
        OWN_DUE.in_language(spoken),
        [
            *(
                OPENS.in_language(spoken).format(title=one.title, day=day(one.on).in_language(spoken))
                for one in digest.own_opening
            ),
            *(
                (OVERDUE_SINCE if one.overdue(now) else DUE)
                .in_language(spoken)
                .format(title=one.title, day=day(one.on).in_language(spoken))
                for one in digest.own_due
            ),
            *(
                (GO_OPENS if one.opens > now else GO_OPEN)
                .in_language(spoken)
                .format(
                    title=one.title, number=one.number, of=one.of, moment=clock(one.opens).in_language(spoken)
                )
                for one in digest.own_goes
            ),
            *(UNDATED.in_language(spoken).format(title=title) for title in digest.own_undated),
        ],
    )
    yield OWN_RUN_OUT.in_language(spoken), [_last_day(one, spoken) for one in digest.own_run_out]
    yield (
        OVERDUE.in_language(spoken),
        [
            f"{one.person} – "
            + OVERDUE_SINCE.in_language(spoken).format(title=one.title, day=day(one.on).in_language(spoken))
            for one in digest.overdue
        ],
    )
    yield (
        WAITING.in_language(spoken),
        [
            f"{one.person} – "
            + HANDED_IN.in_language(spoken).format(title=one.title, day=day(one.on).in_language(spoken))
            for one in digest.waiting
        ],
    )
    yield READY.in_language(spoken), [f"{name} – {what.in_language(spoken)}" for name, what in digest.ready]
    first = 0
    for last in WITHIN:
        lines = [
            f"{one.person} – {_last_day(one, spoken)}"
            for one in digest.run_out
            if first <= (one.on - digest.on).days <= last
        ]
        heading = RUN_OUT if first else RUN_OUT_SOON
        yield heading.in_language(spoken).format(first=first, last=last), lines
        first = last + 1


def _last_day(one: RunsOut, spoken: str) -> str:
    return LAST_DAY.in_language(spoken).format(
        name=one.name.in_language(spoken), day=day(one.on).in_language(spoken)
    )


def _day(digest: Digest, spoken: str) -> str:
    return day(digest.on).in_language(spoken)


def _line(text: str) -> str:
    """One line, whatever was typed: a title cannot begin a header or a section of its own."""
    return " ".join(text.split())
