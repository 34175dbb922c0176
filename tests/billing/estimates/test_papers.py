import re
import subprocess
from dataclasses import replace
from datetime import date
from decimal import Decimal

import pytest
from django.utils import timezone

from billing.estimates import actions
from billing.estimates.models import Estimate, EstimateLine, EstimateOption
from billing.estimates.papers import estimate_pdf, fee_written, paper_line, sum_rows
from billing.estimates.snapshot import estimate_from_json
from clients.models import Client
from tests.billing.estimates.pages import MENU
from tests.factories.billing import drafted, offer_link, sent

pytestmark = pytest.mark.django_db


def read(pdf: bytes) -> str:
    told = subprocess.run(
        ["pdftotext", "-layout", "-", "-"], input=pdf, capture_output=True, check=True
    ).stdout.decode()
    return " ".join(told.split())


def test_the_paper_says_number_address_sums_terms_use_and_validity():
    said = read(sent().paper.read_bytes())
    # By hand: 260 + 780 + 150 + 1,710 = 2,900.00; 19% is 551.00; 40% of 3,451.00 is 1,380.40
    for words in (
        "E-2026-001", "Walnut Lantern", "Lampwick Lane 4", "2,900.00", "551.00", "€3,451.00", "40% deposit: €1,380.40", "11 Nov 2026",
        "Own promotion of Walnut Lantern", "The price is fixed", "Postponing once for weather is free",
    ):  # fmt: skip
        assert words in said, words


def test_the_german_paper_writes_german_figures_and_use():
    said = read(sent(client=Client.objects.create(name="Walnut Lantern", language="de")).paper.read_bytes())
    for words in ("2.900,00", "3.451,00 €", "Eigenwerbung von Walnut Lantern", "Der Preis ist fest", "11. Nov. 2026"):
        assert words in said, words


def test_the_same_snapshot_prints_the_same_bytes():
    shown = estimate_from_json(sent().snapshot)
    assert estimate_pdf(shown) == estimate_pdf(replace(shown))


def pages_of(pdf: bytes) -> list[str]:
    return (
        subprocess.run(["pdftotext", "-layout", "-", "-"], input=pdf, capture_output=True, check=True)
        .stdout.decode()
        .split("\f")
    )


def three(**also):
    """Three options; the second with optional lines and a discount, the third with three uses and forty lines."""
    estimate = drafted(**also)
    actions.add_option(estimate, copied_from="A")
    actions.add_option(estimate, copied_from="A")
    second, third = estimate.options.order_by("letter")[1:]
    EstimateOption.objects.filter(pk=second.pk).update(
        title="As asked", discount_percent=Decimal("7.5"), discount_reason="Second shoot"
    )
    EstimateLine.objects.create(option=second, what="Portrait", unit_price=150, is_optional=True, order=40)
    for use in (MENU, MENU | {"use_media": ["print.packaging"], "use_copies": 5000}):
        actions.add_item(estimate, letter="C", use=use)
    EstimateLine.objects.bulk_create(
        EstimateLine(option=third, what=f"Plate {number}, glazed by hand", working="Two rows\nof words", unit_price=Decimal("12.35"), quantity=number, unit="piece", order=50 + number)
        for number in range(1, 41)
    )  # fmt: skip
    return estimate


def test_three_options_stand_beside_each_other_and_no_row_is_torn(client_for):
    estimate = sent(three(at=timezone.now()), at=timezone.now())
    pages = pages_of(estimate.paper.read_bytes())
    first = " ".join(pages[0].split())
    assert re.search(r"A: 6 pictures +B: As asked +C: 6 pictures", pages[0])
    assert "To pay" in first
    shown = estimate_from_json(estimate.snapshot)
    for option in shown.options:
        # the sum of the overview, of the option's own table and of the client's page are one
        assert sum(page.count(f"{option.sums.gross:,}") for page in pages) == 2
        page = client_for(None).get(offer_link(estimate) + f"?option={option.letter}").content.decode()
        for label, amount in sum_rows(shown, option, option.sums):
            assert label in page
            assert f"{abs(amount):,}" in page
    for number in range(1, 41):  # a line and its words stand on one page
        sum_of = re.escape(f"{Decimal('12.35') * number:,.2f}")
        assert sum(bool(re.search(rf"Plate {number}, glazed.* {sum_of}$", page, re.MULTILINE)) for page in pages) == 1
    assert any("Carried over" in page for page in pages)
    assert pages[0].count("Option A") == 0 or "Getting ready" in pages[0]  # no head without its table


def test_sums_of_ten_digits_and_long_names_stay_on_the_paper_and_beside_each_other():
    long = "Gewürzschrankbeschriftungsetikettenentwurf " * 2
    estimate = three(title="The very long winter menu of the walnut season " * 2)
    EstimateOption.objects.filter(estimate=estimate).update(title=long.strip(), discount_percent=0)
    for option in estimate.options.all():
        EstimateLine.objects.create(option=option, what=long.strip(), unit_price=Decimal(8000000000), order=90)
    pages = pages_of(sent(estimate).paper.read_bytes())
    for option in estimate_from_json(Estimate.objects.get().snapshot).options:
        assert any(f"{option.sums.gross:,}" in page for page in pages)
        assert option.sums.gross > 9_520_000_000
    words = subprocess.run(
        ["pdftotext", "-bbox", "-", "-"], input=Estimate.objects.get().paper.read_bytes(), capture_output=True, check=True
    ).stdout.decode()  # fmt: skip
    edge = 595.3 - 20 / 25.4 * 72 + 1  # A4 less its right margin, in points
    beyond = {word for at, word in re.findall(r'xMax="([0-9.]+)"[^>]*>([^<]*)<', words) if float(at) > edge}
    assert beyond == set()


def test_a_fee_of_several_uses_is_told_whole_however_long():
    estimate = three()
    shown = estimate_from_json(sent(estimate).snapshot)
    fee = next(line.fee for line in shown.options[2].lines if line.fee)
    said = " ".join(fee_written(fee))
    assert len(said) > 300
    assert said.endswith(fee.end)
    paper = read(Estimate.objects.get().paper.read_bytes())
    assert " ".join(fee.end.split()) in paper
    assert fee.parts[0].uses.startswith("Use")


def test_a_rate_that_a_markup_is_added_to_is_not_printed():
    estimate = drafted()
    line = EstimateLine.objects.create(
        option=estimate.options.get(), what="Kitchen hand", quantity=2, unit="day", unit_price=200, markup_percent=10, order=30
    )  # fmt: skip
    shown = estimate_from_json(sent(estimate).snapshot)
    told = next(paper_line(shown, each) for each in shown.options[0].lines if each.key == str(line.pk))
    assert (told.quantity, told.rate, told.amount) == ("", "", Decimal("440.00"))


def test_an_optional_line_says_how_much_of_what_it_is_on_page_and_paper(client_for):
    estimate = drafted(at=timezone.now())
    EstimateLine.objects.create(
        option=estimate.options.get(), what="Overtime", quantity=2, unit="hour", unit_price=120, is_optional=True, order=30
    )  # fmt: skip
    sent(estimate, at=timezone.now())
    estimate = Estimate.objects.get()
    assert "Overtime: 2 h × €120.00 an hour = €240.00" in read(estimate.paper.read_bytes())
    page = client_for(None).get(offer_link(estimate)).content.decode()
    assert "2\u00a0h × €120.00 an hour" in page[page.index('id="may-add"') :]


def test_a_use_that_begins_on_a_date_prints_its_first_and_its_last_day():
    estimate = drafted()
    Estimate.objects.filter(pk=estimate.pk).update(begins="on_date", begins_on=date(2026, 12, 1))
    said = read(sent(Estimate.objects.get()).paper.read_bytes())
    assert "from 1 Dec 2026 to 30 Nov 2028 (last day)" in said
    assert "from delivery" not in said


def test_a_term_past_the_last_year_of_the_calendar_is_told_without_days():
    estimate = drafted()
    Estimate.objects.filter(pk=estimate.pk).update(begins="on_date", begins_on=date(9999, 1, 31))
    assert "24 months" in read(sent(Estimate.objects.get()).paper.read_bytes())
