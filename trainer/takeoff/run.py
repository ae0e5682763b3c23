"""Running the chain for one job.

Job         what was entered: values by field, and the parts of the work
read        typed texts → a Job
run         a Job → a TakeOff: each link done, refused, or waiting for one that was refused
"""

from __future__ import annotations

from collections.abc import Collection, Iterator, Mapping
from dataclasses import dataclass, field
from typing import Any

from trainer import calc
from trainer.calc import Evaluation, entries, notation, standard, working
from trainer.calc.allowed import allowed
from trainer.calc.spec import REQUIRED, Quantity
from trainer.calc.standard import Position
from trainer.errors import Refusal, UnknownName
from trainer.languages import Text
from trainer.takeoff.chain import CHAIN, LINKS
from trainer.takeoff.fields import FIELDS, INHERITED, PARTS, Field, at_the_field, read_field
from trainer.takeoff.links import MADE, Link, Look, Made


@dataclass(frozen=True, slots=True)
class Job:
    """One chimney and what was chosen for it.

    values: by field, in the field's unit; a field that is missing or None was not given
    parts: the parts of the work that are in the job
    """

    values: Mapping[str, Any]
    parts: frozenset[str]


@dataclass(frozen=True, slots=True)
class Outcome:
    """What came of one link. Exactly one of the three is there.

    evaluation: the numbers with their working
    refusal: why it cannot be done; field: the field it is about
    waits_for: the link that must be put right first
    """

    link: Link
    evaluation: Evaluation | None = None
    refusal: Refusal | None = None
    field: Field | None = None
    waits_for: Link | None = None


@dataclass(frozen=True, slots=True)
class Change:
    """A figure of this job that is not the shop's own. stricter: the sources that would not accept it."""

    field: Field
    job: Any
    shop: Any
    stricter: tuple[Position, ...]


@dataclass(frozen=True, slots=True)
class TakeOff:
    """Everything worked out for one job; outcomes: by link, in the order of the chain."""

    job: Job
    outcomes: Mapping[str, Outcome]
    changes: tuple[Change, ...] = field(default=())

    @property
    def refused(self) -> tuple[Outcome, ...]:
        return tuple(one for one in self.outcomes.values() if one.refusal is not None)

    def done(self, link: str) -> bool:
        """Whether the link is in the job and was worked out."""
        return link in self.outcomes and self.outcomes[link].evaluation is not None

    def value(self, reference: str) -> Any:
        """What "slab.volume" stands for; None when that link was not done."""
        name, _, quantity = reference.partition(".")
        outcome = self.outcomes.get(name)
        if outcome is None or outcome.evaluation is None:
            return None
        return outcome.evaluation.values[quantity]

    def shown(self, reference: str, language: str = "en") -> str:
        """The same in words, as the trade writes it."""
        return shown(self.value(reference), self._quantity(reference), language)

    def on_tape(self, reference: str, language: str = "en") -> str:
        """The same, or what was entered in a field; inches to the nearest sixteenth."""
        if reference in FIELDS:
            value = self.job.values.get(reference)
            return "" if value is None else FIELDS[reference].written(value, language)
        value = self.value(reference)
        if isinstance(value, float) and self._quantity(reference).unit == "in":
            return notation.write_inches(value, language=language)
        return self.shown(reference, language)

    def _quantity(self, reference: str) -> Any:
        name, _, quantity = reference.partition(".")
        calculation = calc.get(LINKS[name].calculation)
        found = calculation.quantities.get(quantity)
        return calculation.input(quantity) if found is None else found


def shown(value: Any, quantity: Any, language: str = "en") -> str:
    """A value of a `Quantity` or an `Input` in words."""
    if isinstance(quantity, Quantity):
        return working.shown(value, quantity, language)
    if isinstance(value, float):
        return working.shown(
            value, Quantity(quantity.name, quantity.symbol, quantity.unit, quantity.meaning), language
        )
    if isinstance(value, calc.Entry):
        return entries.written_entry(quantity.kind, quantity.parts, value, language)
    return working.NOTHING.in_language(language) if value is None else str(value)


def read(texts: Mapping[str, str], parts: Collection[str], language: str = "en") -> Job:
    """The job that typed texts describe.

    texts: by field; parts: names of PARTS
    Raises UnknownName for a field or part there is not, Refusal for a text that cannot be taken.
    """
    for names, known in ((texts, FIELDS), (parts, PARTS)):
        for name in names:
            if name not in known:
                raise UnknownName(
                    Text(
                        en="a take-off has no %(name)s; it has %(known)s.",
                        es="un cálculo de materiales no tiene %(name)s; tiene %(known)s.",
                    ),
                    name=repr(name),
                    known=", ".join(known),
                )
    values = {}
    for name, text in texts.items():
        try:
            values[name] = read_field(name, text, language)
        except Refusal as refusal:
            raise _named(FIELDS[name], refusal) from None
    return Job(values, frozenset(parts))


def _named(one: Field, refusal: Refusal) -> Refusal:
    """A refusal that says which field it is about."""
    return Refusal(
        Text(en="%(name)s: %(why)s", es="%(name)s: %(why)s"),
        name=one.name,
        why=Text(en=refusal.in_language("en"), es=refusal.in_language("es")),
    )


def run(job: Job, shop: Mapping[str, Any] = calc.DEFAULT_SHOP) -> TakeOff:
    """Work out every link of the job.

    shop: every field of the shop standard, for what the job does not choose
    A refusal stops its own link and those that need it, nothing else.
    """
    outcomes: dict[str, Outcome] = {}
    look = _looking(job, outcomes)
    for link in CHAIN:
        if job.parts.issuperset(link.parts) and all(_stands(look, reference) for reference in link.only_if):
            outcomes[link.name] = _outcome(link, look, shop)
    return TakeOff(job, outcomes, tuple(_changes(job, shop)))


class _Waiting(Exception):
    """A reference to a link that was not done."""


class _AtField(Exception):
    """A field's value cannot be taken, whatever the link."""


def _looking(job: Job, outcomes: Mapping[str, Outcome]) -> Look:
    def look(reference: str) -> Any:
        if reference in MADE:
            return MADE[reference](look)
        name, _, quantity = reference.partition(".")
        if not quantity:
            return _given(FIELDS[name], job)
        outcome = outcomes.get(name)
        if outcome is None:
            return None
        if outcome.evaluation is None:
            raise _Waiting(outcome.waits_for or outcome.link)
        return outcome.evaluation.values[quantity]

    return look


def _given(one: Field, job: Job) -> Any:
    """The value of a field. Raises _AtField when it must be given and is not, or is under the standard's floor."""
    value = job.values.get(one.name)
    try:
        if value is None and one.own_default is REQUIRED:
            raise Refusal(
                Text(en="it is missing; give %(allowed)s.", es="falta; dé %(allowed)s."),
                allowed=allowed(one.input),
            )
        if value is not None and one.shop_field is not None:
            standard.check(one.shop_field, value)
    except Refusal as refusal:
        raise _AtField(one, refusal) from None
    return one.own_default if value is None and one.own_default is not INHERITED else value


def _stands(look: Look, reference: str) -> bool:
    try:
        return bool(look(reference))
    except (_Waiting, _AtField):
        return False


def _outcome(link: Link, look: Look, shop: Mapping[str, Any]) -> Outcome:
    try:
        inputs = {name: _taken(look, source) for name, source in link.takes.items()}
        return Outcome(link, calc.work(link.calculation, inputs, shop))
    except _Waiting as waiting:
        return Outcome(link, waits_for=waiting.args[0])
    except _AtField as wrong:
        return Outcome(link, field=wrong.args[0], refusal=wrong.args[1])
    except Refusal as refusal:
        source = link.takes.get(str(refusal.facts.get("name", "")))
        name = source if isinstance(source, str) and source in FIELDS else link.blame
        return Outcome(link, field=FIELDS[name], refusal=at_the_field(refusal))


def _taken(look: Look, source: Any) -> Any:
    if isinstance(source, Made):
        return source.make(look)
    return look(source) if isinstance(source, str) else source


def _changes(job: Job, shop: Mapping[str, Any]) -> Iterator[Change]:
    for one in FIELDS.values():
        value = job.values.get(one.name)
        figure = one.shop_field
        if figure is None or value is None or value == shop[figure]:
            continue
        if one.group in PARTS and one.group not in job.parts:
            continue
        positions = standard.FIELDS[figure].positions
        yield Change(one, value, shop[figure], tuple(each for each in positions if not each.accepts(value)))
