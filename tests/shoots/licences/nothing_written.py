"""Whether a page that refused wrote anything: every row about licences before and after."""

from contextlib import contextmanager

from shared.evidence.models import Evidence
from shared.outbox.models import Message
from shoots.brief.models import Shoot
from shoots.found.models import FoundUse
from shoots.licences.models import Licence, LicenceBox, LicencePicture
from shoots.pictures.models import Picture

KEPT = (Licence, LicencePicture, LicenceBox, FoundUse, Evidence, Message, Shoot, Picture)


def all_rows():
    return {model.__name__: list(model.objects.order_by("pk").values()) for model in KEPT}


@contextmanager
def nothing_is_written():
    before = all_rows()
    yield
    assert all_rows() == before
