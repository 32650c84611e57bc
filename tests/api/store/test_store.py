"""Everything the store promises, the same on SQLite and on a real PostgreSQL server."""

from __future__ import annotations

import threading

import pytest
from sqlalchemy import text

from api.store import Store
from api.store.basics import MissingError
from api.store.claim import AlreadyServedError
from api.store.engine import open_engine, reading, writing
from api.store.migrations import NEWEST, NewerShapeError, migrate
from api.store.people import Session
from api.store.plans import MOST_TRIES, Ending
from api.store.trips import Incoming
from api.work.keeping import cut_off

FINDING = {"code": "invented", "severity": "note", "message": "Invented."}


def incoming(content: bytes = b"invented", name: str = "Invented trip") -> Incoming:
    return Incoming(name, "trip.xlsx", "xlsx", content, 0, [FINDING], {"currency": "EUR"})


def trip_in(store: Store) -> str:
    return store.trips.add(incoming(), "anna").trip


def plan_in(store: Store, trip: str) -> str:
    return store.plans.ask(trip, 1, '{"ask": {}}', "anna").id


def test_an_upload_is_kept_byte_for_byte(store: Store) -> None:
    """All 256 byte values come back as they were sent."""
    content = bytes(range(256)) * 4096
    upload = store.trips.add(incoming(content), "anna")
    assert store.trips.original(upload) == content


def test_replacing_keeps_the_history(store: Store) -> None:
    """The second upload is in force, the first stays readable; the trip takes the new name."""
    trip = trip_in(store)
    store.trips.replace(trip, incoming(b"second", "Renamed"), "ben")
    assert [upload.number for upload in store.trips.uploads(trip)] == [2, 1]
    assert store.trips.original(store.trips.upload(trip, 1)) == b"invented"
    assert store.trips.upload(trip).made_by == "ben"
    assert store.trips.get(trip).name == "Renamed"


def test_the_same_bytes_are_kept_once(store: Store) -> None:
    """Two uploads of one file share one blob."""
    trip_in(store)
    trip_in(store)
    with reading(store.engine) as connection:
        assert connection.execute(text("SELECT COUNT(*) FROM blobs")).scalar_one() == 1


def test_what_is_not_there_is_missing(store: Store) -> None:
    """Unknown ids raise one kind of error everywhere."""
    for ask in (store.trips.get, store.trips.upload, store.plans.get, store.people.account):
        with pytest.raises(MissingError):
            ask("nothing")
    with pytest.raises(MissingError):
        store.trips.edit("nothing", "lock", '["HORN"]', "fly", "", "anna")


def test_the_last_edit_for_a_subject_holds(store: Store) -> None:
    """Lock, lock again, take another back: two entries less hold than were made."""
    trip = trip_in(store)
    for subject, setting in (("A", "fly"), ("A", "hire"), ("B", "fly"), ("B", "")):
        store.trips.edit(trip, "lock", subject, setting, "", "anna")
    assert [(e.subject, e.setting) for e in store.trips.standing_edits(trip)] == [("A", "hire")]
    assert len(store.trips.edits(trip)) == 4


def test_the_queue_is_in_order_of_asking(store: Store) -> None:
    """The third of three has two ahead of it, and one after the first has begun."""
    trip = trip_in(store)
    first, _, third = (plan_in(store, trip) for _ in range(3))
    assert store.plans.count_ahead(store.plans.get(third)) == 2
    assert store.plans.begin(first)
    assert store.plans.count_ahead(store.plans.get(third)) == 1


def test_a_plan_is_begun_once(store: Store) -> None:
    """Who comes second to begin a plan is told no."""
    plan = plan_in(store, trip_in(store))
    assert [store.plans.begin(plan), store.plans.begin(plan)] == [True, False]


def test_a_result_is_written_once(store: Store) -> None:
    """A late second result does not overwrite the first."""
    plan = plan_in(store, trip_in(store))
    store.plans.begin(plan)
    store.plans.end(plan, Ending("done", 0, "first", plan_json="{}"))
    store.plans.end(plan, Ending("failed", 1, "second"))
    row = store.plans.get(plan)
    assert (row.state, row.message, row.plan_json) == ("done", "first", "{}")


def test_what_was_cut_off_waits_again_and_fails_after_its_tries(store: Store) -> None:
    """A plan that takes the server down each time is given up, and says so."""
    plan = plan_in(store, trip_in(store))
    for _ in range(MOST_TRIES):
        assert store.plans.get(plan).state == "waiting"
        store.plans.begin(plan)
        store.plans.take_up_again(cut_off)
    row = store.plans.get(plan)
    assert (row.state, row.code) == ("failed", 1)
    assert "Cut off" in row.message


def test_progress_is_noted_only_while_solving(store: Store) -> None:
    """A sign of life that comes after the result changes nothing; a bound never falls."""
    plan = plan_in(store, trip_in(store))
    store.plans.begin(plan)
    store.plans.note_progress(plan, 1.5, 800, "searching")
    store.plans.note_progress(plan, 1.6, 700, "searching")
    assert store.plans.get(plan).bound_minor == 800
    store.plans.end(plan, Ending("done", 0, "", best_minor=850, bound_minor=850))
    store.plans.note_progress(plan, 2.5, 900, "searching")
    assert not store.plans.note_best(plan, 700, "{}")
    row = store.plans.get(plan)
    assert (row.best_minor, row.bound_minor) == (850, 850)


def test_the_best_so_far_stands_beside_its_figure(store: Store) -> None:
    """900, then 950 that is no better, then 850: what is shown is what is kept, after a cut too."""
    plan = plan_in(store, trip_in(store))
    store.plans.begin(plan)
    taken = [store.plans.note_best(plan, minor, f'"{minor}"') for minor in (900, 950, 850)]
    assert taken == [True, False, True]
    store.plans.take_up_again(lambda _: None)
    row = store.plans.get(plan)
    assert (row.state, row.best_minor, row.best_json) == ("waiting", 850, '"850"')


def test_papers_are_kept_as_first_written(store: Store) -> None:
    """A second writing of the same name leaves the first."""
    plan = plan_in(store, trip_in(store))
    store.papers.keep(plan, {"b.txt": b"2", "a.txt": b"1"})
    store.papers.keep(plan, {"a.txt": b"other"})
    assert [paper.name for paper in store.papers.of_plan(plan)] == ["a.txt", "b.txt"]
    assert store.papers.content(plan, "a.txt") == b"1"
    with pytest.raises(MissingError):
        store.papers.content(plan, "../a.txt")


def test_sessions_end_in_time_and_with_their_account(store: Store) -> None:
    """A session whose time is over is not found, nor one whose account was changed."""
    store.people.set_account("anna", "pack", "hash")
    store.people.open_session(Session("old", "anna", "pack", None, "2001-01-01T00:00:00+00:00"))
    store.people.open_session(Session("new", "anna", "pack", None, "2999-01-01T00:00:00+00:00"))
    with pytest.raises(MissingError):
        store.people.session("old")
    assert store.people.session("new").account == "anna"
    store.people.set_account("anna", "look", "hash2")
    with pytest.raises(MissingError):
        store.people.session("new")


def test_a_link_ends_in_time_and_when_taken_back(store: Store) -> None:
    """Taking a link back ends the sessions that came by it."""
    trip = trip_in(store)
    store.people.add_link("gone", trip, "look", "2001-01-01T00:00:00+00:00", "anna")
    link = store.people.add_link("mark", trip, "pack", "2999-01-01T00:00:00+00:00", "anna")
    assert [one.id for one in store.people.links(trip)] == [link.id]
    session = Session("s", f"link {link.id}", "pack", trip, "2999-01-01T00:00:00+00:00")
    store.people.open_session(session)
    store.people.remove_link(trip, link.id)
    for ask in (lambda: store.people.link("mark"), lambda: store.people.session("s")):
        with pytest.raises(MissingError):
            ask()


def test_a_trip_put_away_keeps_everything(store: Store) -> None:
    """Out and back: the same trip, its upload byte for byte."""
    trip = trip_in(store)
    store.trips.put_away(trip, away=True)
    assert store.trips.get(trip).away is not None
    assert store.trips.original(store.trips.upload(trip)) == b"invented"
    store.trips.put_away(trip, away=False)
    assert store.trips.get(trip).away is None


def test_a_trip_is_removed_whole_and_leaves_others_alone(store: Store) -> None:
    """Plans, papers, books, edits, links, studies and originals go; the other trip's bytes stay,
    though they are the same as the removed one's."""
    trip, other = trip_in(store), trip_in(store)
    store.trips.replace(trip, incoming(b"only here"), "anna")
    plan = plan_in(store, trip)
    store.papers.keep(plan, {"a.txt": b"paper"})
    store.events.enter(trip, plan, "ticks", lambda _: [("key-0001", "{}")], "anna")
    store.trips.edit(trip, "lock", '["HORN"]', "fly", "", "anna")
    store.people.add_link("mark", trip, "pack", "2999-01-01T00:00:00+00:00", "anna")
    study = store.studies.ask(plan, "sweep", 1.0, "anna").id
    store.trips.remove(trip)
    for ask, key in (
        (store.trips.get, trip),
        (store.plans.get, plan),
        (store.people.link, "mark"),
        (store.studies.get, study),
    ):
        with pytest.raises(MissingError):
            ask(key)
    assert store.trips.original(store.trips.upload(other)) == b"invented"
    with reading(store.engine) as connection:
        left = connection.execute(text("SELECT COUNT(*) FROM blobs")).scalar_one()
    assert left == 1


def test_a_study_keeps_each_line_once_and_only_while_it_runs(store: Store) -> None:
    """Two names, one of them twice; what comes after the end changes nothing."""
    study = store.studies.ask(plan_in(store, trip_in(store)), "sweep", 1.0, "anna").id
    assert store.studies.begin(study)
    assert not store.studies.begin(study)
    for name in ("a", "b", "a"):
        store.studies.add(study, {"name": name})
    store.studies.end(study, "done", 0, "")
    store.studies.add(study, {"name": "c"})
    assert store.studies.get(study).result == '[{"name": "a"}, {"name": "b"}]'
    assert not store.studies.ask_stop(study)


def test_an_entry_is_all_or_nothing(store: Store) -> None:
    """What raises in the middle of entering leaves nothing behind."""
    trip = trip_in(store)
    plan = plan_in(store, trip)

    def half(_: object) -> object:
        yield "key-0001", "{}"
        raise ValueError("in the middle")

    with pytest.raises(ValueError, match="in the middle"):
        store.events.enter(trip, plan, "ticks", half, "anna")  # type: ignore[arg-type]
    assert store.events.of(plan, "ticks") == ()


def test_two_writers_at_once_each_see_the_other(store: Store) -> None:
    """Eight threads that each add one more than they count end at eight, none lost or doubled."""
    trip = trip_in(store)
    plan = plan_in(store, trip)

    def add() -> None:
        store.events.enter(trip, plan, "ticks", lambda rows: [(f"key-{len(rows)}", "{}")], "anna")

    threads = [threading.Thread(target=add) for _ in range(8)]
    for thread in threads:
        thread.start()
    for thread in threads:
        thread.join()
    marks = [row.mark for row in store.events.of(plan, "ticks")]
    assert marks == [f"key-{number}" for number in range(8)]


def test_uploads_at_once_get_numbers_of_their_own(store: Store) -> None:
    """Six replacements at once are numbered 2 to 7."""
    trip = trip_in(store)
    threads = [
        threading.Thread(target=store.trips.replace, args=(trip, incoming(b"%d" % n), "anna"))
        for n in range(6)
    ]
    for thread in threads:
        thread.start()
    for thread in threads:
        thread.join()
    assert [u.number for u in store.trips.uploads(trip)] == [7, 6, 5, 4, 3, 2, 1]


def test_one_server_per_store(store: Store, store_url: str) -> None:
    """A second server is refused until the first has given the store up."""
    other = Store.open(store_url)
    store.claim.take()
    with pytest.raises(AlreadyServedError):
        other.claim.take()
    store.claim.release()
    other.claim.take()
    other.close()


def test_an_older_store_is_brought_up_and_keeps_what_it_has(store_url: str) -> None:
    """A trip written under the first shape is there under the newest."""
    engine = open_engine(store_url)
    with writing(engine) as connection:
        assert migrate(connection, upto=1) == (1,)
        connection.execute(text("INSERT INTO trips VALUES ('old', 'Old trip', '2026', 'anna')"))
    engine.dispose()
    store = Store.open(store_url)
    assert store.trips.get("old").name == "Old trip"
    with writing(store.engine) as connection:
        assert migrate(connection) == ()
    store.close()


def test_a_newer_store_is_refused(store: Store, store_url: str) -> None:
    """An older program does not touch what a newer one wrote."""
    with writing(store.engine) as connection:
        connection.execute(text(f"INSERT INTO shape (number) VALUES ({NEWEST + 1})"))
    with pytest.raises(NewerShapeError):
        Store.open(store_url)


def test_any_text_comes_back(store: Store) -> None:
    """Quotes, backslashes, right-to-left letters and emoji are only letters."""
    name = 'O\'Brien \\ "x" % :y \u05e9\u05dc\u05d5\u05dd \U0001f3ba'
    upload = store.trips.add(incoming(name=name), "anna")
    assert store.trips.get(upload.trip).name == name
