"""Rows of the furniture: the business, people, kept files."""

from datetime import UTC, date, datetime
from typing import Any

import factory
from factory.django import DjangoModelFactory

from shared.access.models import Role, User
from shared.business.models import BusinessProfile
from shared.files.actions import keep_file
from shared.files.models import StoredFile

EARLY = datetime(2026, 11, 12, 8, 0, tzinfo=UTC)


class UserFactory(DjangoModelFactory[User]):
    class Meta:
        model = User

    username = factory.Sequence(lambda n: f"person{n}")  # type: ignore[attr-defined,no-untyped-call]
    email = factory.LazyAttribute(lambda user: f"{user.username}@studio.example")  # type: ignore[attr-defined,no-untyped-call]
    role = Role.OWNER


class BusinessProfileFactory(DjangoModelFactory[BusinessProfile]):
    """A profile from which a legal invoice can be made."""

    class Meta:
        model = BusinessProfile
        django_get_or_create = ("valid_from",)

    valid_from = date(2026, 1, 1)
    legal_name = "Tindra Aldermoor"
    trading_name = "Tindra Aldermoor Food Photography"
    street = "Glover Yard 9"
    postcode = "24103"
    city = "Lindhafen"
    country = "DE"
    email = "tindra@aldermoor.example"
    phone = "+49 431 5550 118"
    vat_number = "DE136695976"  # the worked example of the check digit's description in python-stdnum
    tax_number = "20/118/04421"
    bank_name = "Harbour Bank"
    account_name = "Tindra Aldermoor"
    iban = "DE02120300000000202051"
    bic = "BYLADEM1001"
    exemption_wording_en = "No VAT is charged: small business under section 19 UStG."
    exemption_wording_de = "Kein Ausweis von Umsatzsteuer: Kleinunternehmer nach § 19 UStG."


def kept_file(
    data: bytes = b"%PDF-1.7 drawn for a test", *, name: str = "paper.pdf", kind: str = "test", **also: Any
) -> StoredFile:
    """A file that is really on the disk."""
    return keep_file(data, name=name, kind=kind, at=also.pop("at", EARLY), **also)
