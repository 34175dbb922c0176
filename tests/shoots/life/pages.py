from django.urls import reverse

from tests.factories import licences as make
from tests.house.pages import Deed, Page


def _paid():
    return make.paid_at_once(1)[0]


PAGES = {
    "decline_licence": Deed(lambda rows: reverse("decline_licence", args=[make.offered().pk])),
    "renew_licence": Page(lambda rows: reverse("renew_licence", args=[_paid().pk])),
    "revoke_licence": Page(lambda rows: reverse("revoke_licence", args=[_paid().pk])),
    "change_licence": Page(lambda rows: reverse("change_licence", args=[_paid().pk])),
    "report_copies": Deed(lambda rows: reverse("report_copies", args=[_paid().pk])),
}
