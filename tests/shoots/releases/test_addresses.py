from datetime import date

from django.http import QueryDict

from shoots.releases.addresses import WantedUses, address_pairs, uses_asked


def read(pairs):
    address = QueryDict(mutable=True)
    for name, value in pairs:
        address.appendlist(name, value)
    return uses_asked(address)


def test_a_wish_comes_back_from_its_address_as_the_form_s_first_choices():
    uses = WantedUses(
        is_house=False, classes=frozenset({"stock"}), media=frozenset({"web.display", "print.ad"}),
        territories=frozenset({"AT", "DE"}), last_on=date(2027, 12, 31),
    )  # fmt: skip
    pairs = address_pairs({"about": "person:12"}, uses, [9, 4])
    assert ("about", "person:12") in pairs
    assert read(pairs) == {
        "scope": "named",
        "classes": ["stock"],
        "media": ["print.ad", "web.display"],
        "territories": ["AT", "DE"],
        "last_on": date(2027, 12, 31),
        "reach": "named",
        "also_for": [4, 9],
    }


def test_own_promotion_names_its_media_alone_and_the_world_is_no_limit():
    house = WantedUses(is_house=True, classes=frozenset({"advertising"}), media=frozenset({"web.own"}))
    assert read(address_pairs({}, house)) == {"scope": "house", "media": ["web.own"]}
    world = WantedUses(is_house=False, classes=frozenset({"stock"}), territories=frozenset({"world"}))
    assert read(address_pairs({}, world))["territories"] == []


def test_what_cannot_be_read_is_passed_over():
    assert read([]) == {}
    assert read([("scope", "galaxy"), ("medium", "web")]) == {}
    assert read([("scope", "house"), ("last_on", "31 Feb"), ("also", "x"), ("also", "9" * 40)]) == {
        "scope": "house",
        "media": [],
    }
