"""RFC 5545 (September 2009), the clause beside each check; all from memory."""

from dataclasses import replace
from datetime import UTC, datetime
from zoneinfo import ZoneInfo

import pytest
from hypothesis import given
from hypothesis import strategies as st

from shoots.run.icalendar import Event, calendar_of, escaped, folded
from tests.shoots.run.calendar_reader import InvalidCalendar, read_calendar

BERLIN = ZoneInfo("Europe/Berlin")
EVENT = Event(
    "run-7-hero-3@plate-ledger",
    datetime(2026, 11, 14, 9, 45, tzinfo=BERLIN),
    datetime(2026, 11, 14, 10, 5, tzinfo=BERLIN),
    "Plating and hero: Bean stew, in clay",
    "Cook; Camera\nBring a jug",
    "Walnut Lantern",
)
MADE = datetime(2026, 11, 12, 8, 0, tzinfo=UTC)


def test_a_calendar_with_one_event_word_for_word():
    made = calendar_of([EVENT], name="Winter menu", made_at=MADE, revision=4)
    assert made == (
        "BEGIN:VCALENDAR\r\nVERSION:2.0\r\nPRODID:-//Plate Ledger//Run of the day//EN\r\nCALSCALE:GREGORIAN\r\nNAME:Winter menu\r\n"
        "REFRESH-INTERVAL;VALUE=DURATION:PT30M\r\n"
        "BEGIN:VEVENT\r\nUID:run-7-hero-3@plate-ledger\r\nDTSTAMP:20261112T080000Z\r\nSEQUENCE:4\r\n"
        "DTSTART:20261114T084500Z\r\nDTEND:20261114T090500Z\r\n"  # 3.3.5 form 2, UTC
        "SUMMARY:Plating and hero: Bean stew\\, in clay\r\nSTATUS:CONFIRMED\r\nDESCRIPTION:Cook\\; Camera\\nBring a jug\r\nLOCATION:Walnut Lantern\r\n"
        "END:VEVENT\r\nEND:VCALENDAR\r\n"
    )


def test_text_is_escaped():  # 3.3.11
    assert escaped("a\\b;c,d\r\ne\x00\x07") == "a\\\\b\\;c\\,d\\ne"


@given(st.text(alphabet=st.characters(exclude_categories=["Cs", "Cc"]), max_size=400))
def test_no_line_is_longer_than_75_octets_and_unfolding_gives_the_line_back(text):  # 3.1
    lines = folded("SUMMARY:" + text).split("\r\n")
    assert all(len(line.encode()) <= 75 for line in lines)
    assert all(line.startswith(" ") for line in lines[1:])
    assert lines[0] + "".join(line[1:] for line in lines[1:]) == "SUMMARY:" + text


words = st.text(alphabet=st.characters(exclude_categories=["Cs", "Cc"]), min_size=1, max_size=200)


@given(words, words, st.sampled_from(["CONFIRMED", "TENTATIVE", "CANCELLED"]))
def test_a_strict_reader_gives_back_what_was_written(title, note, status):
    event = replace(EVENT, summary=title, description=note, status=status)
    read = read_calendar(calendar_of([event], name=title, made_at=MADE, revision=2).encode())
    assert read.name == title
    (found,) = read.events
    assert (found["SUMMARY"], found["DESCRIPTION"], found["STATUS"]) == (title, note, status)
    assert (found["DTSTART"], found["DTEND"]) == (EVENT.begins_at, EVENT.ends_at)
    assert found["SEQUENCE"] == 2


def test_a_calendar_is_never_empty():  # 3.6
    read = read_calendar(calendar_of([], name="Winter; menu", made_at=MADE, revision=0).encode())
    assert read.events == ()
    assert [each["SUMMARY"] for each in read.todos] == ["Winter; menu: no day yet"]


GOOD = calendar_of([EVENT, replace(EVENT, uid="b@plate-ledger")], name="Winter menu", made_at=MADE, revision=4)


@pytest.mark.parametrize(
    ("was", "becomes", "clause"),
    [
        ("\r\n", "\n", "3.1"),
        ("SUMMARY:", "SUMMARY:" + "x" * 80, "3.1"),
        ("VERSION:2.0\r\n", "", "3.7.4"),
        ("UID:b@", "UID:run-7-hero-3@", "3.8.4.7"),
        ("DTSTAMP:20261112T080000Z\r\n", "", "3.6.1"),
        ("STATUS:CONFIRMED", "STATUS:DONE", "3.8.1.11"),
        ("SEQUENCE:4", "SEQUENCE:-4", "3.8.7.4"),
        ("DTEND:20261114T090500Z", "DTEND:20261114T084000Z", "3.8.2.2"),
        ("DTSTART:20261114T084500Z", "DTSTART:20261314T084500Z", "3.3.5"),
        ("stew\\, in", "stew, in", "3.3.11"),
        ("END:VEVENT\r\nEND:VCALENDAR", "END:VCALENDAR", "3.6"),
    ],
)
def test_the_strict_reader_finds_what_is_wrong(was, becomes, clause):
    broken = GOOD.replace(was, becomes)
    assert broken != GOOD
    with pytest.raises(InvalidCalendar, match=rf"^{clause}:"):
        read_calendar(broken.encode())
