from dataclasses import replace
from datetime import date
from decimal import Decimal

import pytest

from shared.papers.kept import as_json
from shoots.licences.snapshot import Released, released, says_the_same
from shoots.releases.clearance import ReleaseTerms, Subject, clear
from shoots.uses.intended import Use
from tests.shoots.licences.printed import AGREED

ADS = Use(
    classes=frozenset({"advertising"}),
    media=frozenset({"web.display"}),
    territories=frozenset({"DE"}),
    use_from=date(2026, 12, 1),
    use_until=date(2027, 12, 1),
)
EDITORIAL = replace(ADS, classes=frozenset({"editorial"}))
SIGNED = Subject(id="cook", releases=(ReleaseTerms(is_signed=True),))
UNSIGNED = Subject(id="cook")


def test_days_and_sums_are_kept_as_text():
    kept = as_json(AGREED)
    assert (kept["first_on"], kept["last_on"], kept["fee"]) == ("2026-12-01", "2028-11-30", "1080.00")
    assert kept["pictures"][0]["people"] == "nobody"


def test_another_day_or_address_is_no_other_licence():
    later = replace(
        AGREED, version=2, printed_on=date(2027, 1, 5), to=("Walnut Lantern", "Ferry Steps 1"), head_seq=99, head_hash="f" * 64
    )  # fmt: skip
    assert says_the_same(as_json(AGREED), later)


def test_a_paper_from_before_two_languages_still_says_the_same():
    older = {name: value for name, value in as_json(AGREED).items() if not name.startswith("prevail")}
    assert says_the_same(older, AGREED)
    assert not says_the_same(older, replace(AGREED, prevails_in="en", prevailing=("It covers one picture.",)))


@pytest.mark.parametrize(
    "change",
    [
        {"pictures": AGREED.pictures[:1]},
        {"first_on": date(2026, 12, 4)},
        {"last_on": None},
        {"is_cut_short": True},
        {"fee": Decimal(1000)},
        {"sentences": (*AGREED.sentences, "And more.")},
        {"pictures": (replace(AGREED.pictures[0], people=Released.OPEN), *AGREED.pictures[1:])},
    ],
    ids=str,
)
def test_what_the_client_may_do_makes_another_paper(change):
    assert not says_the_same(as_json(AGREED), replace(AGREED, **change))


@pytest.mark.parametrize(
    ("use", "people", "said"),
    [
        (ADS, (), Released.NOBODY),
        (ADS, (SIGNED,), Released.RELEASED),
        (ADS, (UNSIGNED,), Released.OPEN),
        (EDITORIAL, (UNSIGNED,), Released.EDITORIAL),
        (EDITORIAL, None, Released.OPEN),
    ],
)
def test_people_and_things_are_told_alike(use, people, said):
    assert released(clear(use, licensee="1", people=people, properties=())) is said
    assert released(clear(use, licensee="1", people=(), properties=people)) is said
