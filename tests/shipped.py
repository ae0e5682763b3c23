"""The shipped content, read once in a process: reading it takes seconds and nothing changes it."""

from __future__ import annotations

from functools import cache

from trainer.lessons import Library
from trainer.questions import Bank
from trainer.web.content import Content, load_content


@cache
def shipped_content() -> Content:
    return load_content()


def shipped_bank() -> Bank:
    return shipped_content().bank


def shipped_lessons() -> Library:
    return shipped_content().library
