"""The shop's records: tables, migrations, every read and every write.

    schema, store           make or upgrade the store; open it; read and write transactions
    models                  the tables
    shop, people            the shop and its standard; people, roles and codes
    signin, second_step     signing in; the second step of those who want one
    sessions                the browsers that are signed in
    learning                lessons read, practice answers
    quizzes, papers, review assign; open, answer, hand in; comment, change a grade
    signoffs, grants        practical sign-offs; granting, suspending and lifting
    history                 the append-only history and its check
    evidence                what the records hold toward clearance, as trainer.clearance wants it
    queries                 one function a page, each with a constant number of statements

A use case takes a session, the acting person and the time, and appends an event to the history.
"""
