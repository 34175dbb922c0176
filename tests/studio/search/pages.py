from django.urls import reverse

from tests.factories.clients import ClientFactory
from tests.house.pages import Page


def _search(rows):
    for _ in range(rows):
        ClientFactory()
    return reverse("search") + "?text=walnut"


PAGES = {"search": Page(_search, lists=True)}
