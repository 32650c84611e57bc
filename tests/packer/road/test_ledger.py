"""The ledger of borders: examples from published instructions, and properties under any entries."""

from datetime import date, timedelta

from hypothesis import settings
from hypothesis import strategies as st
from hypothesis.stateful import RuleBasedStateMachine, invariant, rule

from packer.road.border_book import draft_of, ledger_of, rule_on_border
from packer.road.border_rules import (
    goods_added_after_issue,
    last_valid_day,
    refusals,
    remarks,
)
from packer.road.crossings import (
    HOME,
    UNDERWAY,
    Correction,
    Count,
    Crossing,
    Issued,
    Line,
    Step,
    from_json,
    to_json,
)
from packer.road.item_text import items_text, parse_items
from packer.road.journal import Entry
from packer.road.ledger import Ledger, closed, days_left, entered, ledger, owed

ISSUED = date(2026, 3, 1)
LAST = date(2027, 2, 28)
LINES = (*(Line(n, 1, f"trombone {n}") for n in range(1, 11)), Line(11, 4, "stand"))
LIST = Issued("AX 1", "Brass Act", "GB", ISSUED, LAST, LINES)


def crossing(step, country, day, items, **more):
    on = date.fromisoformat(f"2026-{day}") if isinstance(day, str) else day
    return Crossing(Step(step), country, on, parse_items(items, {11: 4}), **more)


def after(*events):
    """The ledger after events that must each be accepted."""
    state = Ledger()
    for number, event in enumerate(events, start=1):
        assert refusals(state, event) == ()
        state = entered(state, number, event)
    return state


def refused(state, event):
    return [finding.code for finding in refusals(state, event)]


def test_fewer_than_the_list_may_leave():
    """Of ten items, five leave on the first journey.

    Example of https://www.gov.uk/hmrc-internal-manuals/ata-cpd-carnets/atacpd05500.
    """
    state = after(LIST, crossing("exportation", "GB", "05-01", "1-5"))
    assert state.places()[UNDERWAY] == dict.fromkeys(range(1, 6), 1)
    assert set(state.places()[HOME]) == {6, 7, 8, 9, 10, 11}


def test_a_number_that_is_not_on_the_list_is_refused():
    """A voucher never names what the list does not (atacpd04360)."""
    state = after(LIST)
    event = crossing("exportation", "GB", "05-01", "5, 12")
    assert refused(state, event) == ["number-not-on-list"]
    assert (
        "Item 12 is not on the list AX 1, which ends at item 11"
        in refusals(state, event)[0].message
    )


def test_more_than_went_before_is_refused():
    """What comes out of a territory went into it before; what goes in left home before."""
    state = after(
        LIST,
        crossing("exportation", "GB", "05-01", "1-5, 11x3"),
        crossing("importation", "FR", "05-02", "1-4, 11x2"),
    )
    assert refused(state, crossing("importation", "CH", "05-03", "4")) == ["more-than-went"]
    assert refused(state, crossing("re-exportation", "FR", "05-03", "5")) == ["more-than-went"]
    assert refused(state, crossing("re-exportation", "FR", "05-03", "11x3")) == ["more-than-went"]
    message = refusals(state, crossing("re-exportation", "DE", "05-03", "11x3"))[0].message
    assert message == (
        "Item 11 (stand): 3 presented for re-exportation in DE on 2026-05-03, "
        "but only 2 in EU by this ledger."
    )


def test_the_union_is_one_territory():
    """In by France, out by Germany: https://gov.uk/hmrc-internal-manuals/ata-cpd-carnets/atacpd05000."""
    state = after(
        LIST,
        crossing("exportation", "GB", "05-01", "1"),
        crossing("importation", "FR", "05-01", "1"),
        crossing("re-exportation", "DE", "05-09", "1"),
        crossing("re-importation", "GB", "05-09", "1"),
    )
    assert closed(state)
    assert state.places() == {HOME: {line.number: line.pieces for line in LINES}}


def test_home_is_not_abroad():
    """No importation into the home territory, none of home's vouchers abroad."""
    state = after(LIST, crossing("exportation", "GB", "05-01", "1"))
    assert refused(state, crossing("importation", "GB", "05-02", "1")) == ["territory-is-home"]
    assert refused(state, crossing("importation", "JE", "05-02", "1")) == ["territory-is-home"]
    assert refused(state, crossing("re-importation", "NO", "05-02", "1")) == ["territory-not-home"]


def test_after_one_year_nothing_crosses():
    """Issued on 2026-03-01, used on 2027-03-02: refused, one year at most (19 CFR 114.23)."""
    late = Issued("AX 1", "Brass Act", "GB", ISSUED, date(2027, 3, 2), LINES)
    assert refused(Ledger(), late) == ["validity-too-long"]
    state = after(Issued("AX 1", "Brass Act", "GB", ISSUED, last_valid_day(ISSUED), LINES))
    event = crossing("exportation", "GB", date(2027, 3, 2), "1")
    assert refused(state, event) == ["crossing-after-expiry"]
    assert refused(state, crossing("exportation", "GB", date(2027, 3, 1), "1")) == []


def test_a_leap_day_list_ends_on_the_last_of_february():
    """One year from 29 February is 28 February."""
    assert last_valid_day(date(2028, 2, 29)) == date(2029, 2, 28)


def test_a_stamp_before_issue_is_refused():
    """A list cannot be used before it exists."""
    event = crossing("exportation", "GB", date(2026, 2, 28), "1")
    assert refused(after(LIST), event) == ["crossing-before-issue"]


def test_nothing_is_added_after_issue():
    """A second issue is refused, and goods not on the list are offered a proforma."""
    assert refused(after(LIST), LIST) == ["goods-added-after-issue"]
    finding = goods_added_after_issue(LIST, "HORN 3")
    assert "HORN 3 cannot be added" in finding.message
    assert "proforma" in finding.remedy


def test_a_list_gives_each_item_its_own_number():
    """Two lines with one number, or none at all, cannot be issued."""
    twice = Issued("", "", "GB", ISSUED, LAST, (Line(1, 1), Line(1, 2)))
    assert refused(Ledger(), twice) == ["item-number-twice"]
    assert refused(Ledger(), Issued("", "", "GB", ISSUED, LAST, ())) == ["list-empty"]


def test_nothing_crosses_without_a_list():
    """First the list, then the border."""
    assert refused(Ledger(), crossing("exportation", "GB", "05-01", "1")) == ["list-not-issued"]


def test_an_unknown_country_is_refused():
    """`UK` is not assigned in ISO 3166-1."""
    assert refused(after(LIST), crossing("exportation", "UK", "05-01", "1")) == ["country-unknown"]


def test_a_crossing_names_each_item_once_and_some():
    """Nothing and twice the same are both refused."""
    none = Crossing(Step.EXPORTATION, "GB", date(2026, 5, 1), ())
    twice = Crossing(Step.EXPORTATION, "GB", date(2026, 5, 1), (Count(1, 1), Count(1, 1)))
    assert refused(after(LIST), none) == ["nothing-crosses"]
    assert refused(after(LIST), twice) == ["item-number-twice"]


def test_a_correction_is_a_new_entry_and_takes_the_old_ones_place():
    """Entry 2 said 1-5 and was 1-6: both stay in the book, the second counts."""
    right = crossing("exportation", "GB", "05-01", "1-6")
    state = after(
        LIST, crossing("exportation", "GB", "05-01", "1-5"), Correction(2, "miscounted", right)
    )
    assert state.places()[UNDERWAY] == dict.fromkeys(range(1, 7), 1)
    assert [(s.number, s.by) for s in state.stamps] == [(2, 3)]


def test_a_correction_that_breaks_what_followed_is_refused():
    """Goods that went into a territory later cannot have stayed at home."""
    state = after(
        LIST,
        crossing("exportation", "GB", "05-01", "1-5"),
        crossing("importation", "NO", "05-02", "1-5"),
    )
    assert refused(state, Correction(2, "never went")) == ["more-than-went"] * 5
    assert refused(state, Correction(3, "never arrived")) == []
    assert refused(state, Correction(1, "no list")) == ["correction-of-nothing"]
    assert refused(state, Correction(9, "what")) == ["correction-of-nothing"]
    assert refused(state, Correction(3, "  ")) == ["correction-without-reason"]


def test_a_struck_entry_can_be_brought_back():
    """Striking was the mistake: a further correction puts the crossing back."""
    out = crossing("exportation", "GB", "05-01", "1")
    state = after(LIST, out, Correction(2, "slip"))
    assert (state.stamps, state.struck) == ((), (2,))
    assert refused(state, Correction(2, "again")) == ["correction-of-nothing"]
    again = after(LIST, out, Correction(2, "slip"), Correction(2, "it did go", out))
    assert again.places()[UNDERWAY] == {1: 1}
    assert again.struck == ()


def test_a_forgotten_stamp_is_entered_later_at_its_date():
    """The importation was not written down; the re-exportation waits until it is."""
    state = after(LIST, crossing("exportation", "GB", "05-01", "1"))
    assert refused(state, crossing("re-exportation", "NO", "05-04", "1")) == ["more-than-went"]
    state = after(
        LIST,
        crossing("exportation", "GB", "05-03", "2"),
        crossing("exportation", "GB", "05-01", "1"),
        crossing("importation", "NO", "05-02", "1"),
    )
    assert [s.crossing.on.day for s in state.in_order()] == [1, 2, 3]


def test_transit_is_kept_apart_from_importation():
    """Goods in transit through a territory are not imported there."""
    state = after(
        LIST,
        crossing("exportation", "GB", "05-01", "1-2"),
        crossing("transit entry", "FR", "05-01", "1-2"),
    )
    assert state.places()["transit EU"] == {1: 1, 2: 1}
    assert refused(state, crossing("re-exportation", "CH", "05-02", "1")) == ["more-than-went"]
    assert refused(state, crossing("transit exit", "FR", "05-02", "1-2")) == []


def test_what_is_owed_and_the_days_left():
    """Every territory owes what is in it, by the officer's date or the list's last day."""
    state = after(
        LIST,
        crossing("exportation", "GB", "05-01", "1-5"),
        crossing("importation", "FR", "05-02", "1-3", back_by=date(2026, 6, 1)),
        crossing("importation", "CH", "05-05", "4"),
    )
    today = date(2026, 5, 22)
    assert [(o.place, items_text(o.items), o.by, o.days) for o in owed(state, today)] == [
        ("EU", "1-3", date(2026, 6, 1), 10),
        ("CH", "4", LAST, 282),
        (HOME, "1-5", LAST, 282),
    ]
    assert days_left(state, LAST) == 0
    assert days_left(state, LAST + timedelta(days=1)) == -1
    late = crossing("re-exportation", "FR", "06-02", "1-3")
    assert refused(state, late) == []
    assert [f.code for f in remarks(state, late)] == ["re-exported-late"]


def test_the_officers_date_lies_within_the_validity():
    """A final date for re-exportation after the last valid day is refused."""
    state = after(LIST, crossing("exportation", "GB", "05-01", "1"))
    event = crossing("importation", "FR", "05-02", "1", back_by=LAST + timedelta(days=1))
    assert refused(state, event) == ["back-by-out-of-range"]


COUNTRIES = ["GB", "FR", "DE", "CH", "NO", "UK"]
ITEMS = st.lists(
    st.builds(Count, st.integers(1, 5), st.integers(1, 3)), min_size=1, max_size=3
).map(tuple)
CROSSINGS = st.builds(
    Crossing,
    st.sampled_from(Step),
    st.sampled_from(COUNTRIES),
    st.dates(date(2026, 2, 26), date(2026, 3, 12)),
    ITEMS,
)
SMALL = Issued("S", "", "GB", ISSUED, date(2026, 3, 10), tuple(Line(n, n) for n in range(1, 5)))


class AnyEntries(RuleBasedStateMachine):
    """Whatever is entered in whatever order: no count below nothing, none above the list."""

    def __init__(self):
        super().__init__()
        self.entries = ()
        self.try_to(SMALL)

    def try_to(self, event):
        draft = draft_of(event, "Mika", f"k{len(self.entries)}")
        if not any(f.severity == "error" for f in rule_on_border(self.entries, draft)):
            entry = Entry(len(self.entries) + 1, "now", draft.who, draft.key, draft.event)
            self.entries += (entry,)

    @rule(event=CROSSINGS)
    def cross(self, event):
        self.try_to(event)

    @rule(data=st.data(), source=st.sampled_from([HOME, UNDERWAY, "EU", "CH"]))
    def cross_with_what_is_there(self, data, source):
        """Most random crossings are refused; this one takes from a place what it holds."""
        held = ledger_of(self.entries).places().get(source, {})
        if not held:
            return
        number = data.draw(st.sampled_from(sorted(held)))
        step, country = {
            HOME: (Step.EXPORTATION, "GB"),
            UNDERWAY: (Step.IMPORTATION, data.draw(st.sampled_from(["FR", "CH"]))),
            "EU": (Step.REEXPORTATION, "DE"),
            "CH": (Step.REEXPORTATION, "LI"),
        }[source]
        pieces = data.draw(st.integers(1, held[number]))
        self.try_to(Crossing(step, country, date(2026, 3, 9), (Count(number, pieces),)))

    @rule(event=st.builds(Correction, st.integers(1, 8), st.just("slip"), st.none() | CROSSINGS))
    def correct(self, event):
        self.try_to(event)

    @rule()
    def issue_again(self):
        before = self.entries
        self.try_to(SMALL)
        assert self.entries == before

    @invariant()
    def every_piece_is_in_one_place(self):
        """At every date, each item has as many pieces as the list says, none below nothing."""
        state = ledger_of(self.entries)
        stamps = state.in_order()
        for upto in range(len(stamps) + 1):
            places = Ledger(state.issued, stamps[:upto]).places()
            for line in SMALL.lines:
                held = [there.get(line.number, 0) for there in places.values()]
                assert min(held) >= 0
                assert sum(held) == line.pieces

    @invariant()
    def nothing_came_back_that_had_not_gone(self):
        """Re-exported within imported within exported within the list, by item and territory."""
        taken = {}
        for stamp in ledger_of(self.entries).stamps:
            for item in stamp.crossing.items:
                key = (stamp.crossing.step, item.number)
                taken[key] = taken.get(key, 0) + item.pieces
        for n in range(1, 5):
            back = taken.get((Step.REEXPORTATION, n), 0)
            assert back <= taken.get((Step.IMPORTATION, n), 0)
            home = taken.get((Step.REIMPORTATION, n), 0)
            assert 0 <= taken.get((Step.EXPORTATION, n), 0) - home <= n

    @invariant()
    def replay_gives_the_same_state(self):
        """Through JSON and back, at once or entry by entry."""
        events = [(e.number, from_json(e.event)) for e in self.entries]
        assert [(n, to_json(event)) for n, event in events] == [
            (e.number, e.event) for e in self.entries
        ]
        assert ledger(events) == ledger_of(self.entries)


AnyEntries.TestCase.settings = settings(max_examples=60, stateful_step_count=25, deadline=None)
TestAnyEntries = AnyEntries.TestCase
