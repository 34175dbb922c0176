import json
from collections.abc import Callable
from dataclasses import replace
from datetime import date
from decimal import Decimal as D
from fractions import Fraction as F
from hashlib import sha256

import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st

from billing.cards.card_file import CardFile, InvalidCardFile, Problem, RateKind, read_card_file, write_card_file
from billing.rates.card import Card, Priced, PriceTree, card_data, check_card
from billing.rates.starting_card import STARTING_CARD as CARD
from tests.factories.rate_cards import fair_cards

KINDS = {"day_rate": RateKind(12, 2), "km_rate": RateKind(8, 4), "validity_days": RateKind(4, None)}
FILE = CardFile(date(2026, 1, 1), "EUR", {"day_rate": D("780.00"), "km_rate": D("0.4200"), "validity_days": 14}, CARD)


def read(content: bytes, in_use: Card = CARD) -> CardFile:
    return read_card_file(content, rates=KINDS, shipped=CARD, in_use=in_use)


def problems(content: bytes) -> tuple[Problem, ...]:
    with pytest.raises(InvalidCardFile) as refused:
        read(content)
    return refused.value.problems


def changed(change: Callable[[dict[str, object]], object]) -> bytes:
    data = json.loads(write_card_file(FILE))
    change(data)
    return json.dumps(data, indent=1).encode()


@settings(max_examples=25, deadline=None, suppress_health_check=list(HealthCheck))
@given(
    fair_cards(),
    st.dates(date(1990, 1, 1)),
    st.decimals(0, D("9999999999.99"), places=2),
    st.decimals(0, D("9999.9999"), places=4),
    st.integers(0, 9999),
)
def test_a_card_written_and_read_is_the_card(usage: Card, first: date, day_rate: D, km_rate: D, days: int) -> None:
    given_file = CardFile(first, "CHF", {"day_rate": day_rate, "km_rate": km_rate, "validity_days": days}, usage)
    assert read(write_card_file(given_file)) == replace(given_file, is_as_written=True)


def test_the_checksum_is_sha_256_of_the_values_in_order_without_blanks() -> None:
    data = json.loads(write_card_file(FILE))
    kept = data.pop("sha256")
    text = json.dumps(data, sort_keys=True, separators=(",", ":"), ensure_ascii=False)
    assert kept == sha256(text.encode()).hexdigest()


def test_a_file_changed_by_hand_is_told_from_one_as_written() -> None:
    assert read(write_card_file(FILE)).is_as_written is True
    assert read(changed(lambda data: data["rates"].update(day_rate="800"))).is_as_written is False
    assert read(changed(lambda data: data.pop("sha256"))).is_as_written is None


def test_a_mark_at_the_beginning_of_the_text_is_no_mistake() -> None:
    assert read(b"\xef\xbb\xbf" + write_card_file(FILE)) == read(write_card_file(FILE))


@pytest.mark.parametrize(
    ("change", "path", "words"),
    [
        (lambda data: data["card"].update(base=180.5), "card.base", "as text"),
        (lambda data: data["card"].update(base="0"), "card.base", "above 0"),
        (lambda data: data["card"].update(base="100000.01"), "card.base", "at most 100,000"),
        (lambda data: data["card"].update(base="180.001"), "card.base", "2 figures after the point"),
        (lambda data: data["card"].update(base="12345678901234"), "card.base", "at most 100,000"),
        (lambda data: data["card"].update(minimum="91"), "card.minimum", "multiple of the step"),
        (lambda data: data["card"].update(handling="-1"), "card.handling", "0 or more"),
        (lambda data: data["card"]["term"].insert(2, [2, "0.1"]), "card.term[2]", "longer term cannot weigh less"),
        (lambda data: data["card"]["term"].__setitem__(3, [6.5, "1"]), "card.term[3]", "whole number"),
        (lambda data: data["card"]["term"].extend([[200 + n, "3.5"] for n in range(40)]), "card.term", "at most 40 lines"),
        (lambda data: data["card"].update(term_perpetual="1/3"), "card.term_perpetual", "4 figures after the point"),
        (lambda data: data["card"].update(term_perpetual="101"), "card.term_perpetual", "at most 100"),
        (lambda data: data["card"]["exclusivity"].update(trade="3"), "card.exclusivity", "picture is at least as much"),
        (lambda data: data["card"]["picture_bands"].__setitem__(1, [10, "1.1"]), "card.picture_bands[1]", "further picture"),
        (lambda data: data["card"]["copy_bands"].__setitem__(1, [2_000_000_000, "0.7"]), "card.copy_bands[1]", "at most 1,000,000,000"),
        (lambda data: data["card"]["media"]["web"].update(factor="0"), "card.media.web.factor", "above 0"),
        (lambda data: data["card"]["media"].update(cups={"parent": "all", "factor": "1", "exhaustive": False, "counted": False}), "card.media.cups", "not known here"),
        (lambda data: data["card"]["media"].pop("web.own"), "card.media.web.own", "in use and has no factor"),
        (lambda data: data["card"]["territories"].pop("DE"), "card.territories.DE", "in use and has no factor"),
        (lambda data: data["card"]["media"]["web.own"].update(parent="print"), "card.media.web.own.parent", "belongs to web"),
        (lambda data: data["card"]["media"]["print.menu"].update(counted=False), "card.media.print.menu", "they are no prices"),
        (lambda data: data["card"].update(colour="1"), "card.colour", "not known"),
        (lambda data: data["card"].pop("step"), "card.step", "missing"),
        (lambda data: data["rates"].pop("km_rate"), "rates.km_rate", "missing"),
        (lambda data: data["rates"].update(hour_rate="1"), "rates.hour_rate", "not known"),
        (lambda data: data["rates"].update(day_rate=780.0), "rates.day_rate", "as text with a point"),
        (lambda data: data["rates"].update(day_rate="780,00"), "rates.day_rate", "as text with a point"),
        (lambda data: data["rates"].update(day_rate="10000000000"), "rates.day_rate", "10 figures before the point"),
        (lambda data: data["rates"].update(day_rate="780.001"), "rates.day_rate", "2 figures after the point"),
        (lambda data: data["rates"].update(validity_days="14"), "rates.validity_days", "whole number"),
        (lambda data: data["rates"].update(validity_days=10_000), "rates.validity_days", "at most 4 figures"),
        (lambda data: data.update(valid_from="2026-02-30"), "valid_from", "2026-01-31"),
        (lambda data: data.update(currency="euro"), "currency", "three capital letters"),
        (lambda data: data.update(sha256=5), "sha256", "text"),
        (lambda data: data.update(note="x"), "note", "not known"),
        (lambda data: data.pop("card"), "card", "missing"),
    ],
)  # fmt: skip
def test_a_broken_file_is_refused_with_path_and_line(
    change: Callable[[dict[str, object]], object], path: str, words: str
) -> None:
    content = changed(change)
    found = problems(content)[0]
    assert found.path == path
    assert words in found.sentence
    named = path.rpartition(".")[2].partition("[")[0]
    line = content.decode().splitlines()[found.line - 1]
    # Where a value is missing, the line is that of what it is missing from.
    assert (
        named in line
        or "missing" in found.sentence
        or "no factor" in found.sentence
        or "lines" in found.sentence
        or "[" in path
    )


def test_every_mistake_of_the_fees_is_told_at_once() -> None:
    def spoil(data: dict[str, object]) -> None:
        data["card"]["media"]["web"]["factor"] = "0"
        data["card"]["term"][4][1] = "0.1"
        data["card"]["base"] = "0"

    assert {each.path for each in problems(changed(spoil))} >= {"card.base", "card.term[4]", "card.media.web.factor"}


def test_everything_that_cannot_be_read_is_told_at_once_with_what_stands_there() -> None:
    def spoil(data: dict[str, object]) -> None:
        data["rates"].update(day_rate=780, validity_days="14", surprise=1)
        del data["rates"]["km_rate"]
        data["currency"] = "euro"
        card = data["card"]
        card.update(base=180, extra="1")
        del card["step"]
        card["term"][4] = [12]
        card["term"][5][1] = "two"
        card["picture_bands"].append([60, 1])
        card["media"]["web.own"]["factor"] = 0.5
        card["media"]["print.menu"]["parent"] = "nowhere"
        card["territories"]["XX"] = {"factor": "x"}

    told = {each.path: each.found for each in problems(changed(spoil))}
    assert told == {
        "rates.surprise": "1", "rates.km_rate": "", "rates.day_rate": "780", "rates.validity_days": '"14"', "currency": '"euro"',
        "card.base": "180", "card.extra": '"1"', "card.step": "", "card.term[4]": "[12]", "card.term[5][1]": '"two"',
        "card.picture_bands[5][1]": "1", "card.media.web.own.factor": "0.5", "card.media.print.menu": "",
        "card.territories.XX.factor": '"x"',
    }  # fmt: skip


def test_a_card_of_nothing_is_told_and_ends() -> None:
    for nothing in (None, [], {}, {"media": 5}):
        assert problems(changed(lambda data, nothing=nothing: data.update(card=nothing)))


def test_what_is_no_text_no_json_or_too_much_is_refused() -> None:
    good = write_card_file(FILE)
    assert "1 MB" in problems(good + b" " * 1_000_000)[0].sentence
    assert problems(b"\n" + '{"currency": "Krön"}'.encode("latin-1"))[0].line == 2
    assert "UTF-8" in problems(good.decode().encode("utf-16"))[0].sentence
    cut = problems(good[:600])[0]
    assert (cut.line, "not JSON" in cut.sentence) == (good[:600].count(b"\n") + 1, True)
    twice = problems(good.replace(b' "currency"', b' "valid_from": "2026-01-01",\n "currency"'))[0]
    assert (twice.path, twice.line) == ("valid_from", 3)
    assert "NaN" in problems(b'{"card": NaN}')[0].sentence
    assert problems(b"[]")[0].path == ""
    assert problems(b"[" * 100_000)


def test_a_code_the_studio_added_is_read_and_may_be_missing() -> None:
    own = PriceTree("media", [*CARD.media.nodes.values(), Priced("web.own.shop", "web.own", F("0.5"))])
    with_own = replace(CARD, media=own)
    assert read(write_card_file(replace(FILE, usage=with_own)), in_use=with_own).usage == with_own
    assert read(write_card_file(FILE), in_use=with_own).usage == CARD
    assert problems(write_card_file(replace(FILE, usage=with_own)))[0].path == "card.media.web.own.shop"


@settings(max_examples=10, deadline=None, suppress_health_check=list(HealthCheck))
@given(fair_cards())
def test_the_random_cards_are_fair(card: Card) -> None:
    assert check_card(card, media=CARD.media.nodes, territories=CARD.territories.nodes).is_fair
    assert card_data(card) != card_data(CARD)
