"""The second step at sign-in: codes of RFC 6238, each good once, limited, and off again after a new one-time code."""

from __future__ import annotations

import base64
from datetime import UTC, datetime, timedelta
from typing import Any

import pyotp
import pytest

from trainer.errors import NotAllowed, Refusal
from trainer.records import people, second_step, signin
from trainer.records.people import Actor
from trainer.records.signin import TooManyTries
from trainer.records.store import Store

# RFC 6238, appendix B: the SHA-1 key is the ASCII text "12345678901234567890"; its codes have eight digits there, of
# which the last six are the six-digit code (RFC 4226, section 5.3: the number modulo 10 to the power of the digits).
RFC_SECRET = base64.b32encode(b"12345678901234567890").decode()
RFC_CODES = {59: "94287082", 1111111109: "07081804", 1234567890: "89005924", 2000000000: "69279037"}


def turn_on(store: Store, who: Actor, now: datetime, secret: str = RFC_SECRET) -> None:
    with store.write() as session:
        second_step.turn_on(session, who, now, secret=secret, code=code_at(now, secret))


def code_at(now: datetime, secret: str = RFC_SECRET) -> str:
    return str(pyotp.TOTP(secret).at(now))


def fits(store: Store, now: datetime, who: Actor, code: str) -> bool:
    with store.write() as session:
        return second_step.fits(session, now, who.id, code)


def second(store: Store, now: datetime, who: Actor, code: str, source: str = "here") -> Actor | Refusal:
    return signin.second(store, now, person_id=who.id, stamp=who.stamp, code=code, source=source)


@pytest.mark.parametrize(("seconds", "code"), RFC_CODES.items())
def test_the_codes_are_those_of_the_standard(store: Store, shop_people: Any, seconds: int, code: str) -> None:
    at = datetime.fromtimestamp(seconds, UTC)
    turn_on(store, shop_people.trainer, at - timedelta(seconds=30))
    assert fits(store, at, shop_people.trainer, code[-6:])


def test_a_code_counts_once_and_only_near_its_moment(store: Store, shop_people: Any, now: datetime) -> None:
    tom = shop_people.trainer
    turn_on(store, tom, now)
    assert not fits(store, now, tom, code_at(now))  # the one that turned it on
    later = now + timedelta(minutes=10)
    assert not fits(store, later, tom, code_at(later - timedelta(seconds=60)))
    assert not fits(store, later, tom, code_at(later + timedelta(seconds=60)))
    assert fits(store, later, tom, f" {code_at(later)[:3]} {code_at(later)[3:]} ")
    assert not fits(store, later, tom, code_at(later))
    assert not fits(store, later, tom, code_at(later - timedelta(seconds=30)))  # older than one that was used
    assert fits(store, later, tom, code_at(later + timedelta(seconds=30)))  # a clock that runs ahead


def test_it_is_turned_on_only_with_a_code_of_its_secret(
    store: Store, shop_people: Any, now: datetime
) -> None:
    wrong = [
        (RFC_SECRET, "000000"),
        (RFC_SECRET, ""),
        (RFC_SECRET, "٠٠٠٠٠٠"),
        ("A" * 8, "123456"),
        ("", ""),
        ("ñ" * 32, "1"),
    ]
    for secret, code in wrong:
        with pytest.raises(Refusal, match="not the code of this moment"), store.write() as session:
            second_step.turn_on(session, shop_people.trainer, now, secret=secret, code=code)
    with pytest.raises(NotAllowed), store.write() as session:
        second_step.turn_on(session, shop_people.apprentice, now, secret=RFC_SECRET, code=code_at(now))
    made = second_step.new_secret()
    assert second_step.is_secret(made) and made != second_step.new_secret()


def test_wrong_codes_are_limited_and_right_passwords_do_not_forgive_them(
    store: Store, shop_people: Any, now: datetime
) -> None:
    tom = shop_people.trainer
    turn_on(store, tom, now)
    at = now + timedelta(minutes=1)
    wrong = "000000" if code_at(at) != "000000" else "000001"
    for _try in range(signin.MOST_BY_NAME_AND_SOURCE):
        assert type(second(store, at, tom, wrong)) is Refusal
        with_password = signin.check(store, at, sign_in="theo", password=shop_people.password, source="here")
        assert isinstance(with_password, Actor)
        at += timedelta(seconds=1)
    assert isinstance(second(store, at, tom, code_at(at)), TooManyTries)
    at += signin.WINDOW
    assert second(store, at, tom, code_at(at)) == tom


def test_a_new_one_time_code_turns_it_off(store: Store, shop_people: Any, now: datetime) -> None:
    tom = shop_people.trainer
    turn_on(store, tom, now)
    with store.write() as session:
        people.new_code(session, shop_people.owner, now, tom.id)
    with store.read() as session:
        assert not second_step.is_on(session, tom.id)
    later = now + timedelta(minutes=1)
    assert isinstance(second(store, later, tom, code_at(later)), Refusal)  # nor does the old stamp count


def test_a_locked_out_owner_gets_a_code_at_the_machine(store: Store, shop_people: Any, now: datetime) -> None:
    turn_on(store, shop_people.owner, now)
    with store.write() as session:
        code = people.new_code_at_the_machine(session, now, " OLIVE ")
    entered = signin.redeem(store, now, sign_in="olive", code=code, password="a brand new one", source="x")
    assert isinstance(entered, Actor) and entered.is_owner
    with store.read() as session:
        assert not second_step.is_on(session, entered.id)
    with pytest.raises(people.UnknownName, match="Nobody signs in as"), store.write() as session:
        people.new_code_at_the_machine(session, now, "nobody")
