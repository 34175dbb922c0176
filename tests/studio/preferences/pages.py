from datetime import date, timedelta

from django.urls import reverse

from shared.access.models import User
from shared.access.queries import welcome_token
from shared.business.models import BusinessProfile
from tests.factories.shared import BusinessProfileFactory, kept_file
from tests.house.pages import Page, Paper
from tests.shared.files.test_pictures import picture


def business_profile(rows: int) -> str:
    for number in range(rows):
        BusinessProfileFactory(valid_from=date(2026, 1, 1) + timedelta(days=number))
    return reverse("business_profile")


def business_picture(rows: int) -> str:
    logo = kept_file(picture("PNG"), name="logo.png", kind="logo")
    profile = BusinessProfileFactory()
    BusinessProfile.objects.filter(pk=profile.pk).update(logo=logo)
    return reverse("business_picture", args=[profile.pk, "logo"])


def welcome(rows: int) -> str:
    User.objects.all().delete()  # the page opens only to books without an owner
    return reverse("welcome", args=[welcome_token()])


PAGES = {
    "welcome": Page(welcome, seen_by="stranger"),
    "preferences": Page(lambda rows: reverse("preferences")),
    "business_profile": Page(business_profile, lists=True),
    "business_picture": Paper(business_picture),
}
