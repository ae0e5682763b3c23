"""The shipped content, read once in a process: reading it takes seconds and nothing changes it."""

from __future__ import annotations

from functools import cache

from trainer.questions import Bank, load_bank
from trainer.web.content import Content, load_content


@cache
def shipped_content() -> Content:
    return load_content()


@cache
def shipped_bank() -> Bank:
    return load_bank()
