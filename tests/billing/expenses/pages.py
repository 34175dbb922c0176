from decimal import Decimal

from django.urls import reverse

from billing.expenses.actions import ask_for_more
from shared.links.models import PrivateLink
from shared.links.queries import link_path
from tests.factories.expenses import AT, ExpenseFactory, JourneyFactory, capped_line
from tests.factories.shared import BusinessProfileFactory, kept_file
from tests.house.pages import Deed, Page, Panel, Paper


def _listed(rows):
    BusinessProfileFactory()
    for _ in range(rows):
        ExpenseFactory()
        JourneyFactory()
    return reverse("expenses")


def _new(name):
    BusinessProfileFactory()
    return reverse(name)


def _panel(rows):
    line = capped_line()
    shoot = line.option.estimate.shoot
    for _ in range(rows):
        ExpenseFactory(shoot=shoot, estimate_line=line)
        JourneyFactory(shoot=shoot)
    return reverse("shoot_costs_panel", args=[shoot.pk])


def _link(rows):
    asked = ask_for_more(capped_line(), amount_net=Decimal("72.40"), why="Figs were dear.", at=AT)
    return link_path(PrivateLink.objects.get(subject=f"cap_raise:{asked.pk}"))


PAGES = {
    "expenses": Page(_listed, lists=True),
    "new_expense": Page(lambda rows: _new("new_expense")),
    "expense_page": Page(lambda rows: reverse("expense_page", args=[ExpenseFactory().pk])),
    "remove_expense": Deed(lambda rows: reverse("remove_expense", args=[ExpenseFactory().pk])),
    "receipt": Paper(lambda rows: reverse("receipt", args=[ExpenseFactory(receipt=kept_file()).pk])),
    "new_journey": Page(lambda rows: _new("new_journey")),
    "remove_journey": Deed(lambda rows: reverse("remove_journey", args=[JourneyFactory().pk])),
    "ask_for_more": Page(lambda rows: reverse("ask_for_more", args=[capped_line().pk])),
    "answer_for_more": Page(_link, seen_by="stranger"),
    "shoot_costs_panel": Panel(_panel),
    "shoot_costs_line": Panel(lambda rows: _panel(rows).replace("/panel/", "/line/")),
}
