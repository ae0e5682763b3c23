"""The Spanish catalogue of the interface is complete, sound, and compiled."""

from __future__ import annotations

import re
import shlex
import subprocess
import sys
from pathlib import Path

import pytest
from babel.messages.catalog import Catalog
from babel.messages.mofile import read_mo
from babel.messages.pofile import read_po

ROOT = Path(__file__).parents[2]
FOLDER = ROOT / "trainer" / "translations" / "es" / "LC_MESSAGES"
PLACE = re.compile(r"%\(\w+\)[a-z]|%%")
FIGURE = re.compile(r"\d+(?:[.,:/-]\d+)*")


def read(file: Path) -> Catalog:
    with file.open("rb") as opened:
        return read_po(opened, locale="es")


@pytest.fixture(scope="module")
def spanish() -> Catalog:
    return read(FOLDER / "messages.po")


def texts(catalog: Catalog) -> list[tuple[tuple[str, ...], tuple[str, ...]]]:
    """(English, Spanish) of every message; each one text, or the singular and the plural."""
    return [(_forms(message.id), _forms(message.string)) for message in catalog if message.id]


def _forms(text: str | tuple[str, ...] | list[str]) -> tuple[str, ...]:
    return (text,) if isinstance(text, str) else tuple(text)


def extracted(target: Path) -> Catalog:
    """What the command in .babel.cfg finds in the pages and the program."""
    line = next(
        line for line in (ROOT / ".babel.cfg").read_text("utf-8").splitlines() if "pybabel extract" in line
    )
    words = shlex.split(line.lstrip("# "))[1:]
    words[words.index("-o") + 1] = str(target)
    command = [sys.executable, "-m", "babel.messages.frontend", "-q", *words]
    subprocess.run(command, check=True, cwd=ROOT, capture_output=True)
    return read(target)


def test_every_message_is_in_the_catalogue_and_no_other(spanish, tmp_path):
    used = {_forms(message.id) for message in extracted(tmp_path / "messages.pot") if message.id}
    kept = {english for english, _ in texts(spanish)}
    assert len(used) > 300, "the extraction found hardly a message: it is broken"
    assert used - kept == set(), "not in the catalogue yet: update and translate as .babel.cfg says"
    assert kept - used == set(), "no longer used: update as .babel.cfg says"
    assert not spanish.obsolete


def test_every_message_is_translated_and_none_is_a_guess(spanish):
    assert spanish.num_plurals == 2 and not spanish.fuzzy
    for message in spanish:
        if message.id:
            assert all(form.strip() for form in _forms(message.string)), f"not translated: {message.id!r}"
            assert len(_forms(message.string)) == len(_forms(message.id)), message.id
            assert not message.fuzzy, f"fuzzy: {message.id!r}"


def test_places_and_figures_are_those_of_the_english(spanish):
    for english, translated in texts(spanish):
        for form in translated:
            assert sorted(PLACE.findall(form)) == sorted(PLACE.findall(english[-1])), (english, form)
            bare = [FIGURE.findall(PLACE.sub("", text)) for text in (english[-1], form)]
            assert bare[0] == bare[1], (english, form)


def test_house_style_of_the_spanish(spanish):
    """Questions open with their mark, a unit is never a quote mark, the reader is usted."""
    for _, translated in texts(spanish):
        for form in translated:
            assert form.count("?") == form.count("¿") and form.count("!") == form.count("¡"), form
            assert not re.search(r"""\d\s*["'″′]""", form), form
            assert not re.search(r"\b(tú|tu|tus|te|ti|contigo|vos|vosotros)\b", form, re.IGNORECASE), form


def test_the_english_ends_as_the_spanish_ends(spanish):
    """A sentence stays a sentence, a label a label, a capital a capital."""
    for english, translated in texts(spanish):
        for first, second in zip(english, translated, strict=True):
            assert (first[-1] in ".:") == (second[-1] in ".:") or second[-1] == "?" or first == "No.", (
                first,
                second,
            )
            if first[0].isalpha() and second[0].isalpha():
                assert first[0].isupper() == second[0].isupper(), (first, second)


def test_the_compiled_catalogue_is_the_written_one(spanish):
    """Message by message: the head of the compiled file names the version of Babel that wrote it."""
    with (FOLDER / "messages.mo").open("rb") as opened:
        compiled = read_mo(opened)
    assert compiled.num_plurals == spanish.num_plurals and compiled.plural_expr == spanish.plural_expr
    assert texts(compiled) == texts(spanish), "compile as .babel.cfg says"
