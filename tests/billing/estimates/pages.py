from decimal import Decimal

from django.urls import reverse
from django.utils import timezone

from billing.estimates import actions
from billing.estimates.models import Estimate, EstimateLine
from tests.factories.billing import drafted, sent, shoot_to_quote
from tests.house.pages import Deed, Page, Panel, Paper

MENU = {
    "is_own_promotion": True, "use_classes": ["advertising"], "use_media": ["print.menu"], "use_territories": ["DE"], "use_months": 12,
    "exclusivity": "none", "exclusive_months": None, "use_copies": 900,
}  # fmt: skip


def draft(rows: int) -> Estimate:
    """A draft with as many further lines, the first of them optional, and two options."""
    estimate = drafted(at=timezone.now())
    for row in range(rows):
        EstimateLine.objects.create(
            option=estimate.options.get(),
            what=f"Portrait {row}",
            unit_price=Decimal(150),
            is_optional=not row,
            order=20 + row,
        )
    actions.add_option(estimate, copied_from="A")
    return estimate


def uses_of(rows: int) -> str:
    """The uses of option A, as many further ones as an option takes at most."""
    estimate = drafted(at=timezone.now())
    for _ in range(min(rows, 5)):
        actions.add_item(estimate, letter="A", use=MENU)
    return reverse("option_uses", args=[estimate.pk, "A"])


def draft_sent(rows: int) -> Estimate:
    return sent(draft(rows), at=timezone.now())


def listed(rows: int) -> str:
    for _ in range(rows):
        drafted(at=timezone.now())
    return reverse("estimates")


def to_choose(rows: int) -> str:
    for _ in range(rows):
        shoot_to_quote(pictures=1)
    return reverse("choose_shoot")


def panel(rows: int) -> str:
    shoot = shoot_to_quote(pictures=1)
    for _ in range(rows):
        actions.draft_estimate(shoot, at=timezone.now())
    return reverse("shoot_estimates_panel", args=[shoot.pk])


def at(name, make=draft):
    return lambda rows: reverse(name, args=[make(rows).pk])


def to_copy(rows: int) -> str:
    for _ in range(rows):
        draft_sent(1)
    return reverse("draft_like", args=[shoot_to_quote().pk])


PAGES = {
    "draft_like": Page(to_copy, lists=True),
    "estimate_card": Page(at("estimate_card"), lists=True),
    "estimate_currency": Page(at("estimate_currency")),
    "estimates": Page(listed, lists=True),
    "choose_shoot": Page(to_choose, lists=True),
    "new_estimate": Page(lambda rows: reverse("new_estimate", args=[shoot_to_quote().pk])),
    "estimate": Page(at("estimate"), lists=True),
    "option_uses": Page(uses_of, lists=True),
    "estimate_preview": Page(at("estimate_preview"), lists=True),
    "estimate_paper": Paper(at("estimate_paper", draft_sent)),
    "shoot_estimates_panel": Panel(panel, lists=True),
    "revise_estimate": Deed(at("revise_estimate", draft_sent)),
    "discard_estimate": Deed(at("discard_estimate")),
}
