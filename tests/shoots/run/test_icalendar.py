"""RFC 5545 (September 2009), the clause beside each check; all from memory."""

from datetime import UTC, datetime
from zoneinfo import ZoneInfo

from hypothesis import given
from hypothesis import strategies as st

from shoots.run.icalendar import Event, calendar_of, escaped, folded

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
        "REFRESH-INTERVAL;VALUE=DURATION:PT1H\r\n"  # RFC 7986, 5.7
        "BEGIN:VEVENT\r\nUID:run-7-hero-3@plate-ledger\r\nDTSTAMP:20261112T080000Z\r\nSEQUENCE:4\r\n"
        "DTSTART:20261114T084500Z\r\nDTEND:20261114T090500Z\r\n"  # 3.3.5 form 2, UTC
        "SUMMARY:Plating and hero: Bean stew\\, in clay\r\nDESCRIPTION:Cook\\; Camera\\nBring a jug\r\nLOCATION:Walnut Lantern\r\n"
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
