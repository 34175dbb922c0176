from datetime import timedelta

from django.urls import reverse
from django.utils import timezone

from shared.business.queries import today
from tests.factories import found, licences
from tests.house.pages import Deed, Page, Panel


def ending(rows: int) -> str:
    """So many clients with a licence each that ends in a month, on pictures of one shoot; one picture is kept from going on."""
    shoot = licences.free_shoot()
    last = today(timezone.now()) + timedelta(days=30)
    for row in range(rows):
        client = licences.ClientFactory(name=f"Hazel Stove {row + 1}")
        ticked = [licences.picture_of(shoot), licences.picture_of(shoot)]
        at = timezone.now() - timedelta(days=300)
        licences.granted(ticked, licensee=client, first_day=last - timedelta(days=364), last_day=last, at=at)
        licences.granted(
            ticked[:1], licensee=licences.oystercatcher() if row == 0 else licences.ClientFactory(),
            use={**licences.ADVERTISING, "exclusivity": "picture"}, first_day=last + timedelta(days=1),
        )  # fmt: skip
    return reverse("renewals")


def licence_fee(rows: int) -> str:
    return reverse("licence_fee_panel", args=[licences.granted().pk])


def found_fee(rows: int) -> str:
    return reverse("found_fee_panel", args=[found.recorded().pk])


PAGES = {
    "renewals": Page(ending, lists=True),
    "licence_fee_panel": Panel(licence_fee),
    "found_fee_panel": Panel(found_fee),
    "hand_on_fee": Deed(lambda rows: reverse("hand_on_fee")),
}
