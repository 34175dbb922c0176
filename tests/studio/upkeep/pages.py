from django.urls import reverse

from tests.house.pages import Deed, Page

PAGES = {
    "keep_safe": Page(lambda rows: reverse("keep_safe")),
    "download_backup": Deed(lambda rows: reverse("download_backup")),
    "download_export": Deed(lambda rows: reverse("download_export")),
}
