from django.urls import reverse

from clients.actions import add_trade
from clients.models import Trade
from shoots.brief.models import SellingOn
from tests.factories.clients import ClientFactory
from tests.factories.licences import ADVERTISING, granted, picture_of
from tests.factories.shoots import ShootFactory
from tests.house.pages import Deed, Page

ALONE_IN_TRADE = {**ADVERTISING, "exclusivity": "trade"}


def _listed(rows):
    for _ in range(rows):
        number = Trade.objects.count()
        trade = add_trade(f"trade {number}", names={"de": f"Gewerbe {number}"})
        ClientFactory(trade=trade.name)
        ShootFactory(selling_on=SellingOn.NOT_TO, selling_on_not_to=[trade.name])
    return reverse("trades")


def _one(rows):
    _listed(1)
    return reverse("edit_trade", args=[Trade.objects.get(name__startswith="trade ").pk])


def _joined(rows):
    """So many pairs that would clash, one of each exclusive in its trade."""
    for row in range(rows):
        picture = picture_of()
        granted([picture], licensee=ClientFactory(name=f"Rook Roastery {row}", trade="coffee"), use=ALONE_IN_TRADE)
        granted([picture], licensee=ClientFactory(name=f"Gable Drinks {row}", trade="hot drinks"))
        ShootFactory(selling_on=SellingOn.NOT_TO, selling_on_not_to=["coffee"])
    gone, into = Trade.objects.get(name="hot drinks"), Trade.objects.get(name="coffee")
    return f"{reverse('join_trade', args=[gone.pk])}?into={into.pk}"


def _unused(rows):
    return reverse("remove_trade", args=[add_trade("clock maker").pk])


PAGES = {
    "trades": Page(_listed, lists=True),
    "edit_trade": Page(_one),
    "join_trade": Page(_joined, lists=True),
    "remove_trade": Deed(_unused),
}
