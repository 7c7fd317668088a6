"""The index saves reading, and nothing else: thrown away, behind or damaged, it says the same as its events."""

from __future__ import annotations

import sqlite3
from pathlib import Path

import pytest

from diagnose.graph.model import Variant
from diagnose.reason import events as ev
from diagnose.record.index import Index, Row
from diagnose.record.journal import Journal

AT = 1_800_000_000.0


def stored(journal: Journal, outing: str, *events: ev.Event, engine: str = "blue truggy") -> None:
    """Store a walk that begins with a symptom, and these."""
    began = ev.Started(AT, "digest", "revs-hang", engine, Variant())
    journal.append(f"outing/{outing}", 0, [ev.to_json(event) for event in (began, *events)], AT)


@pytest.fixture
def path(tmp_path: Path) -> Path:
    where = tmp_path / "j.sqlite3"
    with Journal.open(where) as journal:
        stored(journal, "one", ev.Noted(AT + 1, "a new bell"), ev.Mended(AT + 2, "pressure-line-off"))
        stored(journal, "two", ev.Adjusted(AT + 3, "low needle", "richer", 1), ev.Ended(AT + 4), engine="red buggy")
        journal.append("ledger/blue truggy", 0, ["{}"], AT)
        assert len(Index().rows(journal)) == 2
    return where


def rows(path: Path) -> list[Row]:
    with Journal.open(path) as journal:
        return Index().rows(journal)


def by_hand(path: Path, statement: str) -> None:
    """Change the file as no window of this program would."""
    connection = sqlite3.connect(path)
    with connection:
        connection.execute(statement)
    connection.close()


def test_a_row_says_what_the_events_say(path: Path) -> None:
    one, two = rows(path)
    assert (one.id, one.engine, one.ending, one.length) == ("one", "blue truggy", "open", 3)
    assert ([text for _, _, text in one.told().noted], one.told().faults) == (["a new bell"], ("pressure-line-off",))
    assert (two.id, two.engine, two.ending) == ("two", "red buggy", "ended")
    assert [type(event).__name__ for event in two.turned()] == ["Started", "Adjusted"]


@pytest.mark.parametrize(
    "change",
    [
        "DROP TABLE outings",
        "DELETE FROM outings",
        "DELETE FROM outings WHERE stream = 'outing/one'",
        "UPDATE outings SET engine = 'somebody else'",
        "UPDATE outings SET ending = 'ended', length = length - 1",
        "UPDATE outings SET gist = '{'",
        "UPDATE outings SET seal = 0",
        "INSERT INTO outings SELECT 'outing/three', length, last_at, ending, engine, gist, screws, '', '', seal "
        "FROM outings WHERE stream = 'outing/one'",
        "ALTER TABLE outings DROP COLUMN screws",
    ],
)
def test_thrown_away_or_changed_by_hand_it_says_the_same(path: Path, change: str) -> None:
    before = rows(path)
    by_hand(path, change)
    assert rows(path) == before
    with Journal.open(path) as journal:
        assert Index().look_through(journal) == 0  # and what was wrong has been put right in the file


def test_events_that_another_program_has_added_are_seen(path: Path) -> None:
    with Journal.open(path) as journal, Journal.open(path) as other:
        index = Index()
        assert [row.ending for row in index.rows(journal)] == ["open", "ended"]
        other.append("outing/one", 3, [ev.to_json(ev.Ended(AT + 9))], AT + 9)
        stored(other, "three")
        assert [(row.id, row.ending) for row in index.rows(journal)] == [
            ("three", "open"),
            ("two", "ended"),
            ("one", "ended"),
        ]
        assert {row.id: row.length for row in index.rows(journal)} == {"one": 4, "two": 3, "three": 1}


def test_what_was_changed_with_its_seal_is_found_by_looking_it_through(path: Path) -> None:
    with Journal.open(path) as journal:
        index = Index()
        one = index.rows(journal)[0]
        lie = one._replace(engine="somebody else")
        index.keep(journal, [lie])
    assert "somebody else" in {row.engine for row in rows(path)}
    with Journal.open(path) as journal:
        assert Index().look_through(journal) == 1
    assert "somebody else" not in {row.engine for row in rows(path)}


def test_where_it_can_not_be_stored_it_is_made_each_time(path: Path) -> None:
    before = rows(path)
    by_hand(path, "DROP TABLE outings")
    holder = sqlite3.connect(path, isolation_level=None)
    with Journal.open(path) as journal:
        journal._connection.execute("PRAGMA busy_timeout = 1")
        holder.execute("BEGIN IMMEDIATE")
        assert Index().rows(journal) == before
        holder.execute("ROLLBACK")
    holder.close()


def test_what_an_outing_came_to_is_kept_until_it_goes_on(path: Path) -> None:
    with Journal.open(path) as journal:
        index = Index()
        index.keep(journal, [index.rows(journal)[0]._replace(made_with="digest", came_to='{"id": "one"}')])
        assert [row.came_to for row in Index().rows(journal)] == ['{"id": "one"}', ""]
        journal.append("outing/one", 3, [ev.to_json(ev.Ended(AT + 9))], AT + 9)
        assert [row.came_to for row in index.rows(journal)] == ["", ""]


@pytest.mark.parametrize(
    ("events", "ending"),
    [
        ([ev.Retested(AT, "cured")], "ended"),
        ([ev.Retested(AT, "better")], "open"),
        ([ev.Adjusted(AT, "low needle", "richer", 1), ev.Retested(AT, "cured")], "unsure"),
        ([ev.Adjusted(AT, "low needle", "richer", 1), ev.Retested(AT, "cured"), ev.HeadRead(AT)], "ended"),
        ([ev.HandedOver(AT, "it is worn")], "ended"),
        ([ev.Ended(AT), ev.Reopened(AT, 1)], "open"),
        ([ev.Retested(AT, "cured"), ev.Retracted(AT, 1)], "open"),
    ],
)
def test_the_events_alone_say_whether_it_has_ended(tmp_path: Path, events: list[ev.Event], ending: str) -> None:
    with Journal.open(tmp_path / "j.sqlite3") as journal:
        stored(journal, "one", *events)
        assert [row.ending for row in Index().rows(journal)] == [ending]
