"""Passwords by Argon2id, and one-time codes.

Default cost: 19 MiB, two passes, one lane (OWASP Password Storage Cheat Sheet, minimum for Argon2id).
"""

from __future__ import annotations

import hashlib
import hmac
import secrets
from dataclasses import dataclass
from functools import lru_cache

from argon2 import PasswordHasher
from argon2.exceptions import InvalidHashError, VerificationError

from trainer.errors import Refusal
from trainer.languages import Text

LEAST_LENGTH = 10
MOST_LENGTH = 500
# No vowels and no look-alikes: a code is read aloud and typed on a phone.
CODE_SIGNS = "BCDFGHJKLMNPQRSTVWXZ23456789"
CODE_GROUPS, CODE_GROUP = 3, 4


@dataclass(frozen=True, slots=True)
class PasswordCost:
    """What one password hash costs. memory [KiB], time [passes], lanes."""

    time: int
    memory: int
    lanes: int


DEFAULT_COST = PasswordCost(time=2, memory=19_456, lanes=1)
TEST_COST = PasswordCost(time=1, memory=8, lanes=1)


@lru_cache(maxsize=8)
def _hasher(cost: PasswordCost) -> PasswordHasher:
    return PasswordHasher(time_cost=cost.time, memory_cost=cost.memory, parallelism=cost.lanes)


@lru_cache(maxsize=8)
def _nobody(cost: PasswordCost) -> str:
    return _hasher(cost).hash(secrets.token_hex(16))


def check_password(password: str) -> None:
    """Refusal when a new password is too short or absurdly long."""
    if len(password) < LEAST_LENGTH:
        raise Refusal(
            Text(
                en="The password has %(given)s characters; it needs at least %(least)s.",
                es="La contraseña tiene %(given)s caracteres; necesita al menos %(least)s.",
            ),
            given=len(password),
            least=LEAST_LENGTH,
        )
    if len(password) > MOST_LENGTH:
        raise Refusal(
            Text(
                en="The password has %(given)s characters; at most %(most)s are taken.",
                es="La contraseña tiene %(given)s caracteres; se aceptan como máximo %(most)s.",
            ),
            given=len(password),
            most=MOST_LENGTH,
        )


def hash_password(cost: PasswordCost, password: str) -> str:
    """The hash to store. Takes long on purpose: never call it in a transaction."""
    return _hasher(cost).hash(password)


def password_fits(cost: PasswordCost, stored: str | None, password: str) -> bool:
    """Whether `password` is the one behind `stored`. Takes as long when there is none to compare with."""
    try:
        _hasher(cost).verify(stored or _nobody(cost), password[:MOST_LENGTH])
    except (VerificationError, InvalidHashError):
        return False
    return stored is not None


def needs_rehash(cost: PasswordCost, stored: str) -> bool:
    """Whether `stored` was made at another cost than today's."""
    return _hasher(cost).check_needs_rehash(stored)


def new_code() -> str:
    """A one-time code, e.g. "K7RM-2XHD-9TQV" (57 bits)."""
    signs = [secrets.choice(CODE_SIGNS) for _ in range(CODE_GROUPS * CODE_GROUP)]
    return "-".join("".join(signs[i : i + CODE_GROUP]) for i in range(0, len(signs), CODE_GROUP))


def plain_code(typed: str) -> str:
    """A typed code without its dashes, spaces and letter case."""
    return "".join(sign for sign in typed.upper() if sign.isalnum())


def keyed_hash(secret: str, *parts: str) -> str:
    """Hash of `parts` that only this shop's secret can repeat."""
    return hmac.new(secret.encode(), "\0".join(parts).encode(), hashlib.sha256).hexdigest()
