"""A shop in which everything happened that leaves a row behind."""

from __future__ import annotations

from datetime import date, datetime, timedelta
from typing import Any

from trainer.languages import Text
from trainer.learning import Deciding
from trainer.records import (
    acceptances,
    certificates,
    crews,
    emails,
    entering,
    files,
    goes,
    grants,
    hints,
    links,
    papers,
    people,
    quizzes,
    regrade,
    repeating,
    review,
    rules,
    sent_back,
    signoffs,
)
from trainer.records import shop as shops
from trainer.records.cleaning import Cleaned
from trainer.records.regrade_plan import FULL, LEFT_OUT, plan
from trainer.records.weekly import Weekly


def live(shop: Any, shop_people: Any, now: datetime, plain_draw: Any, plain_grade: Any) -> None:
    """Let it all happen, in a shop where nothing did yet."""
    owner, trainer, ana = shop_people.owner, shop_people.trainer, shop_people.apprentice
    shop.make_ready(trainer, ana)  # quiz 1, paper 1, sign-off 1
    shop.grant(owner, ana)
    shop.sign_off(trainer, ana, passed=False)
    out = shop.assign(trainer, ana, questions=("slope-0", "ladder-2"), hint_cost=25).papers[0]
    back = shop.assign(trainer, ana, opens=now, goes=2)
    with shop.store.write() as session:
        rules.begin(session, now, shop.rules)
        rules.keep(session, owner, now, reason="ours", present=shop.rules, made_from="1", token="kept")
        papers.open_paper(session, ana, now, out)
        hints.open_hint(
            session, ana, now, paper_id=out, position=2, number=1, hint=lambda _draw, n: Text(f"Hint {n}", "")
        )
        papers.hand_in(session, ana, now, out)
        quizzes.close(session, trainer, now, back.quiz_id)
        for text in ("Good.", "Very good."):
            review.comment(session, trainer, now, paper_id=1, position=1, text=text, token=text)
        for credit in (0.5, 0.75):
            review.change_grade(session, trainer, now, paper_id=1, position=1, credit=credit, reason="half")
        review.finish(session, trainer, now, 1)
        number = grants.suspend(
            session, trainer, now, person_id=ana.id, clearance="ladder", reason="near miss", rules=shop.rules
        )
        grants.lift(
            session, owner, now, person_id=ana.id, clearance="ladder", suspension_id=number, reason="trained"
        )
        grants.suspend(
            session, trainer, now, person_id=ana.id, clearance="roof", reason="ice", rules=shop.rules
        )
        crowns = shop.rules.lessons["crowns"]
        for version in (2, 1):
            acceptance = acceptances.accept(
                session,
                trainer,
                now,
                lesson=crowns,
                present=3,
                version=version,
                reason="typos",
                token=f"v{version}",
            )
            if version == 2:
                acceptances.withdraw(
                    session, owner, now, lesson="crowns", acceptance_id=acceptance, reason="not only typos"
                )
        for _ in range(2):
            number = certificates.enter(
                session,
                trainer,
                now,
                person_id=ana.id,
                kind="first-aid",
                issuer="Valley Adult School",
                issued=date(2026, 11, 1),
                expires=date(2028, 11, 1),
                rules=shop.rules,
                token=shop.token(),
            )
        certificates.withdraw(session, trainer, now, certificate_id=number, reason="not genuine")
        photo = files.keep(
            session, trainer, now, person_id=ana.id, cleaned=Cleaned("image/jpeg", b"a", b"b"), token="photo"
        )
        signoffs.record(
            session, trainer, now, person_id=ana.id, task=shop.rules.tasks["set-ladder"], passed=False,
            criteria=[False], measures={}, notes="", token="with a photo", photos=[photo],
        )  # fmt: skip
        certificates.enter(
            session, trainer, now, person_id=ana.id, kind="rigging", issuer="School", issued=date(2026, 11, 1),
            expires=None, rules=shop.rules, token="with a paper", paper=photo,
        )  # fmt: skip
        north = crews.make(session, trainer, now, name="North", people=[ana.id, trainer.id])
        crews.change(session, owner, now, north, name="North side", people=[ana.id])
        crews.make(session, owner, now, name="Nobody yet", people=[])
        for overhang in (2.5, 2.25):
            shops.change_standard(session, owner, now, {"overhang": overhang})
        shops.change_shop(session, owner, now, name="Hill Chimney")
        people.change_person(session, owner, now, ana.id, name="Ana B. Abel")
        people.change_roles(session, owner, now, ana.id, ["apprentice", "trainer"])
        for _ in range(2):
            people.deactivate(session, owner, now, shop_people.other.id)
            people.reactivate(session, owner, now, shop_people.other.id)
        people.deactivate(session, owner, now, shop_people.other.id)
        for use, who in ((links.CARD, ana), (links.OWN_DAYS, owner)):
            links.make(session, owner, now, use=use, person_id=who.id, token=use)
        links.withdraw(session, owner, now, 2)
        emails.set_email(session, ana, now, ana.id, "ana@shop.example")
        for how in (LEFT_OUT, FULL):
            found = plan(
                session, trainer, now, question="ladder-1", version=1, how=how, mend=lambda *_: None,
                then=lambda *_: "",
            )  # fmt: skip
            regrade.regrade(
                session, trainer, now, question="ladder-1", version=1, how=how, reason="unclear", by=None, token=how,
                made_from=found.mark, mend=lambda *_: None,
            )  # fmt: skip
        regrade.settle(session, owner, now, doubt_id=1, note="sits it again")
    early = Deciding(margin=15, wrongly_above=0.05, wrongly_below=0.10)
    shop.assign(
        trainer, ana, questions=(), skills={"roof-slope": 5, "ladder-setup": 3}, decide=early
    )  # quiz 4
    with shop.store.write() as session:
        sent_back.send_back(
            session, trainer, now, paper_id=1, reason="too fast", bank=shop.bank, draw=plain_draw, seed=1
        )  # quiz 5
        entering.enter(
            session, trainer, now, paper_id=5, answers={1: "1"}, hand_in=True, token="sheet",
            grade=lambda draw, typed, _language: plain_grade(draw, typed),
        )  # fmt: skip
    first = shop.assign(trainer, ana, goes=2, wait_hours=1).papers[0]  # quiz 6
    shop.answer_all(ana, first, right=False)
    with shop.store.write() as session:  # paper 7
        goes.go_again(session, ana, now + timedelta(hours=1), paper_id=first, bank=shop.bank, draw=plain_draw)
    weekly = shop.assign(trainer, ana, weekly=Weekly((1,), (ana.id,), None))  # quiz 7, weekly quiz 1
    shop.assign(trainer, ana, weekly=Weekly((), (ana.id,), date(2027, 5, 3)))  # quiz 8, weekly quiz 2
    with shop.store.write() as session:
        repeating.stop(session, owner, now, weekly.quiz_id)
