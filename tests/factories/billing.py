"""Rows of money. An estimate is drafted, sent and accepted by the house's own actions, so that it stands as in use."""

from datetime import UTC, date, datetime
from decimal import Decimal
from typing import Any

import factory

from billing.estimates.actions import add_item, draft_estimate
from billing.estimates.models import Estimate, EstimateLine, EstimateOption
from billing.orders.actions import accept_estimate, send_estimate
from billing.rates.models import MileageRate, RateCard
from shared.links.models import PrivateLink
from shared.links.queries import link_path
from tests.factories.clients import ClientFactory, ClientPersonFactory, PersonFactory
from tests.factories.shared import BusinessProfileFactory
from tests.factories.shoots import AgreedPictureFactory, ShootFactory

AT = datetime(2026, 10, 28, 9, 0, tzinfo=UTC)
WEB = {
    "is_own_promotion": False, "use_classes": ["advertising"], "use_media": ["web.own", "web.social"], "use_territories": ["DE"], "use_months": 12,
    "exclusivity": "none", "exclusive_months": None, "use_copies": None,
}  # fmt: skip
MENU = {**WEB, "use_media": ["print.menu"], "use_copies": 900}


class RateCardFactory(factory.django.DjangoModelFactory):
    """The rates of 1 January 2026: 780 a day, 65 an hour getting ready, 60 an hour finishing."""

    class Meta:
        model = RateCard
        django_get_or_create = ("valid_from",)

    valid_from = date(2026, 1, 1)


class MileageRateFactory(factory.django.DjangoModelFactory):
    class Meta:
        model = MileageRate
        django_get_or_create = ("name", "valid_from")

    name = "Car"
    valid_from = date(2026, 1, 1)
    rate = Decimal("0.3000")
    source = "from memory"


def shoot_to_quote(*, pictures: int = 6, **also: Any) -> Any:
    """A shoot of Walnut Lantern on 14 November 2026 with pictures wanted, and somebody who orders."""
    BusinessProfileFactory()
    RateCardFactory()
    client = also.pop("client", None) or ClientFactory(name="Walnut Lantern")
    if not client.parts.exists():
        ClientPersonFactory(
            client=client, person=PersonFactory(name="Maro Lantadze", email="maro@walnutlantern.example")
        )
    also.setdefault("title", "Winter menu")
    shoot = ShootFactory(client=client, **also)
    AgreedPictureFactory.create_batch(pictures, shoot=shoot)
    return shoot


def drafted(*, at: datetime = AT, **also: Any) -> Estimate:
    """A draft with option A."""
    return draft_estimate(shoot_to_quote(**also), at=at)


def option_of(estimate: Estimate, **use: object) -> EstimateOption:
    """The draft's option with this use as its first."""
    option = estimate.options.get()
    EstimateOption.objects.filter(pk=option.pk).update(**{**WEB, **use})
    return estimate.options.get()


def with_menu() -> Estimate:
    """A draft for six pictures on website and networks and, as a further use, on a printed menu."""
    estimate = drafted(pictures=6)
    option_of(estimate)
    add_item(estimate, letter="A", use=MENU)
    return estimate


def add_line(option: EstimateOption, **also: Any) -> EstimateLine:
    """A line of groceries after the drafted ones."""
    given = {"what": "Groceries", "quantity": Decimal(1), "unit_price": Decimal(120), "order": 50} | also
    return EstimateLine.objects.create(option=option, **given)


def sent(estimate: Estimate | None = None, *, at: datetime = AT, signed_by: str = "", **also: Any) -> Estimate:
    """An estimate the client may accept."""
    estimate = estimate or drafted(at=at, **also)
    return send_estimate(estimate, to="maro@walnutlantern.example", to_name="Maro Lantadze", at=at, signed_by=signed_by)


def accepted(
    estimate: Estimate | None = None, *, at: datetime = AT, letter: str = "A", order_number: str = "", **also: Any
) -> Estimate:
    """An estimate accepted by Maro Lantadze."""
    estimate = estimate or sent(at=at, **also)
    return accept_estimate(
        estimate, letter=letter, keys=[], name="Maro Lantadze", role="Owner", order_number=order_number, at=at
    )


def beside(first: Estimate, *, order_number: str = "") -> Estimate:
    """A second job of the same shoot: one more picture, on an estimate of its own, accepted."""
    second = draft_estimate(first.shoot, at=AT)
    option = second.options.get()
    option.pictures.set([AgreedPictureFactory(shoot=first.shoot, title="The last end, from above")])
    return accepted(sent(second), order_number=order_number)


def offer_link(estimate: Estimate) -> str:
    """The path of the client's page."""
    return link_path(PrivateLink.objects.get(subject=f"estimate:{estimate.pk}", purpose="estimate"))
