"""The records held against the history: whatever is changed, removed or put in past the program is named."""

from __future__ import annotations

import sqlite3
from contextlib import closing
from pathlib import Path
from typing import Any

import pytest
from sqlalchemy import select

from trainer.records import (
    history,
)
from trainer.records.agreement import FIELDS, ROWS
from trainer.records.held import held
from trainer.records.models import Event, HistoryHead


def verified(shop: Any) -> history.Verified:
    with shop.store.read() as session:
        return history.verify(session)


def test_what_the_program_wrote_agrees(lived: Any) -> None:
    found = verified(lived)
    assert found.ok, found
    assert found.unchecked == 0


def test_every_kind_of_row_is_covered_and_every_field_has_words(lived: Any) -> None:
    """So that the cases below leave nothing out."""
    with lived.store.read() as session:
        rows = list(held(session))
    assert {row.kind for row in rows} == set(ROWS)
    assert {name for row in rows for name in row.fields} == set(FIELDS)


DATE = "'2027-01-01'"
MOMENT = "'2026-01-01 00:00:00.000000'"


@pytest.mark.parametrize(
    ("statement", "sentence"),
    [
        (
            f"UPDATE clearance_grant SET until = {DATE}",
            "Grant 1 is not as the history tells it: the last day.",
        ),
        (
            f"UPDATE clearance_grant SET since = {DATE}",
            "Grant 1 is not as the history tells it: the first day.",
        ),
        ("UPDATE clearance_grant SET evidence = '{}'", "Grant 1 …: the evidence it rested on."),
        ("UPDATE clearance_grant SET evidence = '{'", "Grant 1 …: the evidence it rested on."),
        ("UPDATE clearance_grant SET by_id = 2", "Grant 1 …: who did it."),
        ("UPDATE clearance_grant SET person_id = 4", "Grant 1 …: whose it is."),
        ("UPDATE clearance_grant SET clearance = 'roof'", "Grant 1 …: the clearance."),
        ("DELETE FROM clearance_grant", "Grant 1 is missing; the history tells of it."),
        (
            "INSERT INTO clearance_grant SELECT 9, 'roof', version, person_id, by_id, since, until, evidence, at "
            "FROM clearance_grant",
            "Grant 9 stands in the records, but the history does not tell of it.",
        ),
        ("UPDATE crew SET name = 'South' WHERE id = 1", "Crew 1 …: the name."),
        ("DELETE FROM crew_member", "Crew 1 …: who is in it."),
        ("INSERT INTO crew_member VALUES (2, 1)", "Crew 2 …: who is in it."),
        ("DELETE FROM crew WHERE id = 2", "Crew 2 is missing; the history tells of it."),
        (
            "INSERT INTO crew VALUES (9, 'South', 'south')",
            "Crew 9 stands in the records, but the history does not tell of it.",
        ),
        (f"UPDATE certificate SET expires = {DATE} WHERE id = 1", "Certificate 1 …: the last good day."),
        ("UPDATE certificate SET expires = NULL WHERE id = 1", "Certificate 1 …: the last good day."),
        (
            "UPDATE certificate SET issued = '2026-10-01' WHERE id = 1",
            "Certificate 1 …: the day it was issued.",
        ),
        (
            "UPDATE certificate SET entered_on = '2026-10-01' WHERE id = 1",
            "Certificate 1 …: the day it was put on record.",
        ),
        ("UPDATE certificate SET kind = 'rigging' WHERE id = 1", "Certificate 1 …: what kind it is."),
        ("UPDATE certificate SET person_id = 4 WHERE id = 1", "Certificate 1 …: whose it is."),
        ("UPDATE certificate SET by_id = 1 WHERE id = 1", "Certificate 1 …: who did it."),
        ("UPDATE certificate SET issuer = 'x' WHERE id = 1", "Certificate 1 …: who issued it."),
        ("DELETE FROM certificate WHERE id = 1", "Certificate 1 is missing; the history tells of it."),
        (
            "INSERT INTO certificate (id, kind, person_id, issuer, issued, expires, by_id, entered_on, at, form_token) "
            "SELECT 9, 'rigging', person_id, issuer, issued, expires, by_id, entered_on, at, 'x' "
            "FROM certificate WHERE id = 1",
            "Certificate 9 stands in the records, but the history does not tell of it.",
        ),
        (
            "UPDATE certificate SET withdrawn_on = NULL, withdrawn_at = NULL, withdrawn_by_id = NULL, "
            "withdrawn_reason = NULL WHERE id = 2",
            "The withdrawal of certificate 2 is missing; the history tells of it.",
        ),
        (
            "UPDATE certificate SET withdrawn_on = '2027-01-01' WHERE id = 2",
            "The withdrawal of certificate 2 …: the day.",
        ),
        (
            f"UPDATE certificate SET withdrawn_at = {MOMENT} WHERE id = 1",
            "The withdrawal of certificate 1 stands in the records, but the history does not tell of it.",
        ),
        ("UPDATE suspension SET since = '2027-01-01' WHERE id = 2", "Suspension 2 …: the first day."),
        ("UPDATE suspension SET clearance = 'other' WHERE id = 2", "Suspension 2 …: the clearance."),
        ("DELETE FROM suspension WHERE id = 2", "Suspension 2 is missing; the history tells of it."),
        (
            f"UPDATE suspension SET lifted_on = {DATE}, lifted_by_id = 1, lifted_at = {MOMENT} WHERE id = 2",
            "The lifting of suspension 2 stands in the records, but the history does not tell of it.",
        ),
        (
            "UPDATE suspension SET lifted_on = '2026-11-01' WHERE id = 1",
            "The lifting of suspension 1 …: the day.",
        ),
        ("UPDATE sign_off SET passed = 1, fails = '[]' WHERE id = 2", "Sign-off 2 …: whether it was passed."),
        ("UPDATE sign_off SET criteria = '[true]' WHERE id = 2", "Sign-off 2 …: the criteria met."),
        ("UPDATE sign_off SET measures = '{\"a\": 1}' WHERE id = 1", "Sign-off 1 …: the measures."),
        ("UPDATE sign_off SET observer_id = 1 WHERE id = 1", "Sign-off 1 …: who did it."),
        ("UPDATE sign_off SET version = 9 WHERE id = 1", "Sign-off 1 …: the version."),
        ("DELETE FROM sign_off WHERE id = 2", "Sign-off 2 is missing; the history tells of it."),
        (
            "UPDATE answer SET right = 0 WHERE id = 2",
            "The answer to question 2 of paper 1 …: whether it was right.",
        ),
        (
            "UPDATE answer SET typed = 'altered' WHERE id = 2",
            "The answer to question 2 of paper 1 …: what was typed.",
        ),
        ("UPDATE answer SET credit = 0.5 WHERE id = 2", "The answer to question 2 of paper 1 …: the grade."),
        ("UPDATE answer SET credit = 0.5 WHERE id = 2", "The hand-in of paper 1 …: the score."),
        (
            "DELETE FROM answer WHERE id = 2",
            "The answer to question 2 of paper 1 is missing; the history tells of it.",
        ),
        (
            "UPDATE grade_change SET after = 1 WHERE id = 2",
            "A grade change of question 1 of paper 1 …: the grade after.",
        ),
        (
            "DELETE FROM grade_change WHERE id = 2",
            "A grade change of question 1 of paper 1 is missing; the history tells of it.",
        ),
        (
            "INSERT INTO grade_change SELECT 9, 3, before, 1, reason, by_id, at, 'x', left_out FROM grade_change WHERE id = 1",
            "A grade change of question 1 of paper 2 stands in the records, but the history does not tell of it.",
        ),
        (
            "UPDATE grade_change SET left_out = 1 WHERE id = 1",
            "A grade change of question 1 of paper 1 …: whether it counts.",
        ),
        (
            "UPDATE grade_change SET left_out = 0 WHERE id = 3",
            "A grade change of question 2 of paper 1 …: whether it counts.",
        ),
        (
            "UPDATE regrade SET how = 'left out' WHERE id = 2",
            "Regrade 2 of a question …: how it was closed or decided.",
        ),
        ("UPDATE regrade SET reason = 'x' WHERE id = 2", "Regrade 2 of a question …: the reason."),
        (
            "UPDATE regrade SET by_version = 2 WHERE id = 2",
            "Regrade 2 of a question …: the version that corrected it.",
        ),
        ("UPDATE regraded_paper SET after = 1 WHERE id = 1", "What regrade 1 did to paper 1 …: the score."),
        (
            "UPDATE regraded_paper SET passed_after = NOT passed_after WHERE id = 1",
            "What regrade 1 did to paper 1 …: whether it was passed.",
        ),
        (
            "DELETE FROM regraded_paper WHERE id = 1",
            "What regrade 1 did to paper 1 is missing; the history tells of it.",
        ),
        (
            "UPDATE grant_doubt SET regrade_id = 9 WHERE id = 1",
            "Doubt 1 about a grant …: which regrade it comes from.",
        ),
        (
            "DELETE FROM grant_doubt WHERE id = 2",
            "Doubt 2 about a grant is missing; the history tells of it.",
        ),
        ("UPDATE grant_doubt SET settled_note = 'x' WHERE id = 1", "The settling of doubt 1 …: the text."),
        (
            "UPDATE grant_doubt SET settled_at = NULL, settled_by_id = NULL, settled_note = NULL",
            "The settling of doubt 1 is missing; the history tells of it.",
        ),
        (
            "UPDATE paper SET sheet = replace(sheet, 'true', 'false') WHERE id = 1",
            "The copy of the marks of paper 1 is not what its questions and answers say.",
        ),
        (
            "UPDATE sign_off SET sound = NOT sound WHERE id = 1",
            "The note on sign-off 1, whether it counts as passed, is not what was seen and measured.",
        ),
        (
            "UPDATE paper SET sheet = '' WHERE id = 2",
            "The copy of the marks of paper 2 is not what its questions and answers say.",
        ),
        (
            "UPDATE answer SET credit = 0.5 WHERE id = 2",
            "The copy of the marks of paper 1 is not what its questions and answers say.",
        ),
        (f"UPDATE paper SET closed_at = {MOMENT} WHERE id = 1", "The hand-in of paper 1 …: the time."),
        (
            "UPDATE paper SET closed_at = NULL WHERE id = 2",
            "The hand-in of paper 2 is missing; the history tells of it.",
        ),
        (
            "UPDATE paper SET opened_at = NULL WHERE id = 2",
            "The opening of paper 2 is missing; the history tells of it.",
        ),
        (
            "UPDATE paper SET closed_how = 'taken back' WHERE id = 2",
            "The hand-in of paper 2 …: how it was closed or decided.",
        ),
        ("UPDATE paper SET person_id = 4 WHERE id = 1", "Paper 1 …: whose it is."),
        (
            f"UPDATE paper SET reviewed_at = {MOMENT} WHERE id = 2",
            "The review of paper 2 stands in the records, but the history does not tell of it.",
        ),
        ("UPDATE quiz SET by_id = 1 WHERE id = 1", "Quiz 1 …: who did it."),
        (
            "UPDATE paper_question SET must_pass = 0 WHERE id = 3",
            "Question 1 of paper 2 …: its skills, whether it must be passed, or what was drawn.",
        ),
        (
            "UPDATE paper_question SET skills = '[\"other\"]' WHERE id = 3",
            "Question 1 of paper 2 …: its skills, whether it must be passed, or what was drawn.",
        ),
        (
            "UPDATE paper_question SET draw = '{\"expected\": 1}' WHERE id = 3",
            "Question 1 of paper 2 …: its skills, whether it must be passed, or what was drawn.",
        ),
        (
            "UPDATE paper_question SET hash = 'f' WHERE id = 3",
            "Question 1 of paper 2 …: the file it came from.",
        ),
        (
            "DELETE FROM paper_question WHERE id = 3",
            "Question 1 of paper 2 is missing; the history tells of it.",
        ),
        ("UPDATE quiz SET hint_cost = 0 WHERE id = 2", "Quiz 2 …: what a hint costs."),
        ("UPDATE quiz SET hint_cost = 5 WHERE id = 1", "Quiz 1 …: what a hint costs."),
        (
            "UPDATE quiz SET deciding = json_set(deciding, '$.low', 0.5) WHERE id = 4",
            "Quiz 4 …: the terms on which it decides early.",
        ),
        ("UPDATE quiz_repeat SET until = '2028-01-01' WHERE id = 2", "Weekly quiz 2 …: the last day."),
        ("UPDATE quiz_repeat SET crews = '[]' WHERE id = 1", "Weekly quiz 1 …: for which crews it is."),
        ("UPDATE quiz_repeat SET people = '[4]' WHERE id = 1", "Weekly quiz 1 …: who is in it."),
        ("UPDATE quiz_repeat SET by_id = 1 WHERE id = 1", "Weekly quiz 1 …: who did it."),
        (
            "UPDATE quiz_repeat SET stopped_at = NULL, stopped_by_id = NULL WHERE id = 1",
            "The stopping of weekly quiz 1 is missing; the history tells of it.",
        ),
        (
            f"UPDATE quiz_repeat SET stopped_at = {MOMENT} WHERE id = 1",
            "The stopping of weekly quiz 1 …: the time.",
        ),
        ("UPDATE quiz SET week = 1 WHERE id = 7", "Quiz 7 …: of which week it is."),
        ("UPDATE quiz SET repeat_id = NULL WHERE id = 8", "Quiz 8 …: of which weekly quiz it is."),
        ("UPDATE quiz SET goes = 3 WHERE id = 1", "Quiz 1 …: how many goes it gives."),
        ("UPDATE quiz SET wait_hours = 0 WHERE id = 6", "Quiz 6 …: the wait between two goes."),
        (
            "UPDATE quiz SET ended_at = NULL, ended_by_id = NULL WHERE id = 3",
            "The taking back of quiz 3 is missing; the history tells of it.",
        ),
        (f"UPDATE quiz SET ended_at = {MOMENT} WHERE id = 3", "The taking back of quiz 3 …: the time."),
        ("UPDATE quiz SET ended_by_id = 1 WHERE id = 3", "The taking back of quiz 3 …: who did it."),
        ("UPDATE paper SET go = 3 WHERE id = 7", "Paper 7 …: which go it is."),
        (
            "UPDATE paper_question SET seed = 1 WHERE paper_id = 7 AND position = 1",
            "Question 1 of paper 7 …: the seed of its numbers.",
        ),
        (f"UPDATE quiz SET opens = {MOMENT} WHERE id = 2", "Quiz 2 …: when it opens."),
        ("UPDATE quiz SET opens = NULL WHERE id = 3", "Quiz 3 …: when it opens."),
        (
            "UPDATE quiz SET spec = json_set(spec, '$.must', json_array('ladder-2')) WHERE id = 2",
            "Quiz 2 …: the questions that must be right.",
        ),
        ("UPDATE quiz SET spec = '{' WHERE id = 2", "Quiz 2 …: the questions that must be right."),
        ("UPDATE quiz SET deciding = NULL WHERE id = 4", "Quiz 4 …: the terms on which it decides early."),
        (
            "UPDATE quiz SET deciding = (SELECT deciding FROM quiz WHERE id = 4) WHERE id = 1",
            "Quiz 1 …: the terms on which it decides early.",
        ),
        ("UPDATE answer_entry SET by_id = 1", "The typing in of question 1 of paper 5 …: who did it."),
        (
            "DELETE FROM answer_entry",
            "The typing in of question 1 of paper 5 is missing; the history tells of it.",
        ),
        ("UPDATE sent_back SET reason = 'x'", "The sending back of paper 1 …: the reason."),
        ("UPDATE sent_back SET again_id = 2", "The sending back of paper 1 …: the paper to do in its place."),
        ("DELETE FROM sent_back", "The sending back of paper 1 is missing; the history tells of it."),
        ("UPDATE hint_opening SET text = 'Other'", "Hint 1 to question 2 of paper 2 …: the text."),
        (f"UPDATE hint_opening SET at = {MOMENT}", "Hint 1 to question 2 of paper 2 …: the time."),
        (
            "DELETE FROM hint_opening",
            "Hint 1 to question 2 of paper 2 is missing; the history tells of it.",
        ),
        (
            f"INSERT INTO hint_opening VALUES (9, 1, 1, 'Hint', {MOMENT})",
            "Hint 1 to question 1 of paper 1 stands in the records, but the history does not tell of it.",
        ),
        ("UPDATE comment SET text = 'Bad.' WHERE id = 2", "A comment on paper 1 …: the text."),
        (
            "UPDATE lesson_reading SET version = 7",
            "The reading of lesson ladders, version 7, by person 3 stands in the records, but the history does "
            "not tell of it.",
        ),
        (
            "UPDATE lesson_reading SET version = 7",
            "The reading of lesson ladders, version 1, by person 3 is missing; the history tells of it.",
        ),
        (
            "UPDATE lesson_reading SET checked = '[[\"ladder-0\", 1]]'",
            "The reading of lesson ladders, version 1, by person 3 …: the check questions.",
        ),
        (
            f"UPDATE lesson_place SET ended_at = {MOMENT}",
            "The way of person 3 through lesson ladders, version 1 …: the time.",
        ),
        (
            "UPDATE lesson_place SET ended_at = NULL",
            "The way of person 3 through lesson ladders, version 1 is missing; the history tells of it.",
        ),
        (
            "INSERT INTO lesson_place SELECT 9, 4, lesson, version, section, at, ended_at FROM lesson_place",
            "The way of person 4 through lesson ladders, version 1 stands in the records, but the history does not "
            "tell of it.",
        ),
        (
            "UPDATE check_answer SET right = 0 WHERE id = 2",
            "Try 1 of person 3 at check question ladder-1 of lesson ladders, version 1 …: whether it was right.",
        ),
        (
            "UPDATE check_answer SET attempt = 7 WHERE id = 2",
            "Try 7 of person 3 at check question ladder-1 of lesson ladders, version 1 stands in the records, but "
            "the history does not tell of it.",
        ),
        (
            "UPDATE check_answer SET seed = 7 WHERE id = 1",
            "Try 1 of person 3 at check question ladder-0 of lesson ladders, version 1 …: the seed of its numbers.",
        ),
        (
            "UPDATE lesson_acceptance SET since = '2026-01-01' WHERE id = 2",
            "Acceptance 2 of an older lesson …: the first day.",
        ),
        (
            "UPDATE lesson_acceptance SET version = 2 WHERE id = 2",
            "Acceptance 2 of an older lesson …: the version.",
        ),
        (
            "UPDATE lesson_acceptance SET present = 4 WHERE id = 2",
            "Acceptance 2 of an older lesson …: in place of which version.",
        ),
        (
            "UPDATE lesson_acceptance SET lesson = 'ladders' WHERE id = 2",
            "Acceptance 2 of an older lesson …: the lesson.",
        ),
        (
            "INSERT INTO lesson_acceptance SELECT 9, lesson, version, present, by_id, since, reason, 'x', at, NULL, "
            "NULL, NULL, NULL FROM lesson_acceptance WHERE id = 2",
            "Acceptance 9 of an older lesson stands in the records, but the history does not tell of it.",
        ),
        (
            "UPDATE lesson_acceptance SET ended_on = NULL, ended_at = NULL, ended_by_id = NULL, ended_reason = NULL",
            "The end of acceptance 1 of an older lesson is missing; the history tells of it.",
        ),
        (
            f"UPDATE lesson_acceptance SET ended_on = {DATE} WHERE id = 1",
            "The end of acceptance 1 of an older lesson …: the day.",
        ),
        ("UPDATE person SET name = 'Someone' WHERE id = 3", "Person 3 …: the name."),
        ("UPDATE person SET email = 'x@elsewhere.example' WHERE id = 3", "Person 3 …: the e-mail address."),
        ("UPDATE person SET email = 'x@elsewhere.example' WHERE id = 4", "Person 4 …: the e-mail address."),
        ("INSERT INTO person_role VALUES (3, 'owner')", "Person 3 …: the roles."),
        ("UPDATE person SET left_at = NULL WHERE id = 4", "Person 4 …: whether they are deactivated."),
        (
            "DELETE FROM absence WHERE id = 1",
            "An absence of person 4 is missing; the history tells of it.",
        ),
        (f"UPDATE absence SET back_at = {MOMENT} WHERE id = 3", "An absence of person 4 …: the return."),
        (
            'UPDATE standard_revision SET "values" = json_set("values", \'$.overhang\', 1) WHERE id = 3',
            "Version 3 of the shop standard …: the figures.",
        ),
        (
            "DELETE FROM standard_revision WHERE id = 3",
            "Version 3 of the shop standard is missing; the history tells of it.",
        ),
        ("UPDATE private_link SET key_hash = 'f' WHERE id = 1", "Private link 1 …: the key."),
        ("UPDATE private_link SET use = 'shop days' WHERE id = 1", "Private link 1 …: what it shows."),
        ("UPDATE private_link SET person_id = 4 WHERE id = 1", "Private link 1 …: whose it is."),
        ("UPDATE private_link SET by_id = 2 WHERE id = 1", "Private link 1 …: who did it."),
        ("DELETE FROM private_link WHERE id = 1", "Private link 1 is missing; the history tells of it."),
        (
            "INSERT INTO private_link SELECT 9, use, person_id, 'f', by_id, at, NULL, NULL FROM private_link "
            "WHERE id = 1",
            "Private link 9 stands in the records, but the history does not tell of it.",
        ),
        (
            "UPDATE private_link SET withdrawn_at = NULL, withdrawn_by_id = NULL WHERE id = 2",
            "The withdrawal of private link 2 is missing; the history tells of it.",
        ),
        (
            f"UPDATE private_link SET withdrawn_at = {MOMENT} WHERE id = 2",
            "The withdrawal of private link 2 …: the time.",
        ),
        (
            "UPDATE rules_version SET since = '2027-01-01' WHERE id = 2",
            "Version 2 of the rules …: the first day.",
        ),
        (
            "UPDATE rules_version SET content = '{}' WHERE id = 1",
            "Version 1 of the rules …: what they ask for.",
        ),
        ("UPDATE rules_version SET by_id = 2 WHERE id = 2", "Version 2 of the rules …: who did it."),
        (
            "UPDATE rules_version SET shipped = 'x' WHERE id = 2",
            "Version 2 of the rules …: the program's own rules that were looked at.",
        ),
        (
            "DELETE FROM rules_version WHERE id = 2",
            "Version 2 of the rules is missing; the history tells of it.",
        ),
        ("UPDATE shop SET zone = 'Asia/Tokyo'", "The shop's name and zone …: the time zone."),
    ],
)
def test_a_row_written_past_the_program_is_named(
    lived: Any, store_path: Path, statement: str, sentence: str
) -> None:
    with closing(sqlite3.connect(store_path)) as plain, plain:
        assert plain.execute(statement).rowcount > 0
    found = verified(lived)
    assert not found.ok and not found.faults, "the chain itself is whole"
    expected = sentence.replace("…", "is not as the history tells it")
    said = [one.sentence.en for one in found.differences]
    assert any(one == expected or one.startswith(expected.rstrip(".") + ",") for one in said), said
    assert all(one.sentence.es for one in found.differences)


def test_the_event_that_tells_of_the_row_is_named(lived: Any, store_path: Path) -> None:
    with closing(sqlite3.connect(store_path)) as plain, plain:
        plain.execute("UPDATE clearance_grant SET until = NULL")
    (found,) = verified(lived).differences
    with lived.store.read() as session:
        (number,) = session.scalars(select(Event.number).where(Event.kind == "clearance granted"))
    assert found.number == number


# Facts that events did not hold in the first version of the program.
LATER_FACTS = (
    "frozen",
    "right",
    "slip",
    "score",
    "measured",
    "lifted_on",
    "standard_hash",
    "checked",
    "hint_cost",
    "deciding",
)


def rewrite(session: Any, change: Any) -> None:
    """Change the facts of events and chain them again, as a program that wrote them so would have."""
    previous = history.START
    for event in session.scalars(select(Event).order_by(Event.number)):
        event.facts = change(dict(event.facts))
        event.previous = previous
        event.hash = previous = history.digest(event)
    session.get_one(HistoryHead, 1).hash = previous


def test_an_older_event_is_compared_as_far_as_it_tells(lived: Any, store_path: Path) -> None:
    def older(facts: dict[str, Any]) -> dict[str, Any]:
        if "attempt" in facts:  # a check question, of which the first version knew nothing
            return facts
        return {name: value for name, value in facts.items() if name not in LATER_FACTS}

    with lived.store.write() as session:
        rewrite(session, older)
    found = verified(lived)
    # 8 quizzes, 24 questions, 5 answers, 5 hand-ins, 3 sign-offs, a lifting, a reading, 3 versions of the standard
    assert (found.ok, found.unchecked) == (True, 50), found
    with closing(sqlite3.connect(store_path)) as plain, plain:
        plain.execute("UPDATE answer SET slip = 'altered' WHERE id = 2")  # of which it does not tell
    assert verified(lived).ok
    with closing(sqlite3.connect(store_path)) as plain, plain:
        plain.execute(
            "UPDATE answer SET right = 0 WHERE id = 2"
        )  # nor of this, but the copy of the answers does
    assert [one.sentence.en for one in verified(lived).differences] == [
        "The copy of the marks of paper 1 is not what its questions and answers say."
    ]
    with closing(sqlite3.connect(store_path)) as plain, plain:
        plain.execute("UPDATE answer SET right = 1 WHERE id = 2")
    with closing(sqlite3.connect(store_path)) as plain, plain:
        plain.execute("UPDATE answer SET typed = 'altered' WHERE id = 2")
    assert [one.sentence.en for one in verified(lived).differences] == [
        "The answer to question 2 of paper 1 is not as the history tells it: what was typed."
    ]


def test_an_event_whose_facts_make_no_sense_is_named(lived: Any) -> None:
    with lived.store.write() as session:
        rewrite(session, lambda facts: {} if "grant" in facts else facts)
    found = verified(lived)
    assert not found.faults
    assert [one.sentence.en for one in found.differences] == [
        "What this event tells cannot be read.",
        "Grant 1 stands in the records, but the history does not tell of it.",
    ]
