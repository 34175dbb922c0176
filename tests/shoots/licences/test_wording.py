from datetime import date

from shared.words.formats import plain_spaces
from shoots.licences.conflicts import Clash
from shoots.licences.cover import Reason
from shoots.licences.wording import (
    clash_sentence,
    clearance_in_words,
    groups_within,
    note_in_words,
    notes_in_words,
    reasons_in_words,
    shared_in_words,
    way_out,
)
from shoots.releases.clearance import Clearance, Verdict
from shoots.uses.territory_tree import GROUPS

CLASH = Clash(
    wanted="1", held="2", held_by="3", pictures=("4",), classes=("advertising",), media=("web.own", "web.social"), territories=("DE",),
    shared_from=date(2026, 12, 1), shared_until=date(2027, 3, 1), free_from=date(2027, 3, 1),
)  # fmt: skip


def test_a_clash_names_number_last_day_and_what_is_shared():
    said = plain_spaces(clash_sentence(CLASH, number="L-2026-014", is_exclusive=True))
    assert said == (
        "L-2026-014 holds this use exclusively until 28 Feb 2027: advertising, website and social media, in Germany."
    )
    assert "nobody can have it alone before" in clash_sentence(CLASH, number="L-2026-014", is_exclusive=False)


def test_the_way_out_is_a_day_or_the_other_client():
    assert plain_spaces(way_out(date(2027, 3, 1))).startswith("It is free from 1 Mar 2027")
    assert "never free" in way_out(None)


def test_the_world_has_no_article():
    assert shared_in_words(["editorial"], ["print.editorial"], ["world"]).endswith("worldwide")


def test_notes_of_clearance_name_people_and_say_what_is_open():
    names = {"12": "Maro Lantadze"}
    assert note_in_words("MISSING:12", names) == "Maro Lantadze: no release is signed"
    assert note_in_words("NOT_ASSESSED:12", names) == "Maro Lantadze: recognisable or not is still open"
    assert notes_in_words(["NOT_ASSESSED:people", "WITHDRAWN:12"], names) == (
        "Nobody has looked who can be recognised; Maro Lantadze: the release was withdrawn"
    )
    assert "whose place" in note_in_words("NOT_ASSESSED:properties", names)


def test_every_reason_has_words():
    assert all(reasons_in_words([reason]) for reason in Reason)
    assert reasons_in_words([Reason.MEDIUM, Reason.ENDED]) == "a medium is missing and it ends too early"


def test_a_large_group_is_named_and_three_countries_are_not():
    members = GROUPS["EU"].members
    assert [group.name for group in groups_within(members | {"CH"}, date(2026, 11, 20))] == ["EU"]
    assert groups_within({"DE", "AT", "CH"}, date(2026, 11, 20)) == ()
    assert groups_within(members, date(2019, 1, 1)) == ()


def test_what_passes_for_editorial_use_alone_says_what_that_leaves_open():
    noted = Clearance(Verdict.CLEARED_WITH_NOTE, ("MISSING:12",), "MR-NON", None)
    said = clearance_in_words(noted, {"12": "Maro Lantadze"})
    assert said.startswith("Maro Lantadze: no release is signed. For editorial use that may pass; in some countries")
    held = clearance_in_words(Clearance(Verdict.NOT_CLEARED, ("MISSING:12",), "MR-NON", None), {"12": "Maro Lantadze"})
    assert held == "Maro Lantadze: no release is signed"
