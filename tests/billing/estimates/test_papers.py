import subprocess
from dataclasses import replace

import pytest

from billing.estimates.papers import estimate_pdf
from billing.estimates.snapshot import estimate_from_json
from clients.models import Client
from tests.factories.billing import sent

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
