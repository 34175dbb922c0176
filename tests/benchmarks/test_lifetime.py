from collections import Counter
from datetime import date

import pytest
from django.db import transaction
from django.db.models import Count, F

from billing.estimates.models import Estimate
from billing.invoices.models import Invoice
from billing.payments.models import Payment
from shoots.licences.boxes import boxes_of
from shoots.licences.conflicts import find_clashes
from shoots.licences.models import Licence, LicencePicture
from shoots.licences.queries import grant_of, holdings_on
from shoots.pictures.models import Picture, PicturePerson
from tests.benchmarks.licence_times import Timed, table
from tests.benchmarks.lifetime import Size, fill
from tests.factories import billing, invoices
from tests.factories.licences import picture_of

ON = date(2026, 11, 26)


def test_the_whole_lifetime_has_the_rows_that_are_asked_for():
    whole = Size(600_000)
    assert (whole.shoots, whole.pictures, whole.licences, whole.invoices) == (5_000, 200_000, 30_000, 20_000)


@pytest.mark.both
@pytest.mark.django_db
def test_a_lifetime_holds_together_and_no_two_of_its_licences_clash():
    like, billed, offered = picture_of(), invoices.issued(), billing.accepted()
    before = Counter({table: table.objects.count() for table in (Picture, Licence, LicencePicture, Invoice)})
    size = Size(1_200)
    fill(size, on=ON, like=like, billed=billed, offered=offered)
    made = {table: table.objects.count() - before[table] for table in before}
    assert made[Picture] == 400
    assert made[Licence] == 60
    assert made[Invoice] == 40
    assert made[LicencePicture] == pytest.approx(1_200, rel=0.25)
    licences = list(Licence.objects.filter(number__startswith="LT-").annotate(n=Count("boxes", distinct=True)))
    assert all(each.n == len(boxes_of(grant_of(each, ()))) > 0 for each in licences)
    assert not Estimate.objects.filter(number__startswith="LT-").exclude(accepted_option__lines__isnull=False).exists()
    shown = PicturePerson.objects.filter(picture__number__startswith="LT-")
    assert shown.exists()
    assert not shown.exclude(person__releases__shoot=F("picture__shoot"), person__releases__state="signed").exists()
    assert not Payment.objects.filter(amount__gt=F("invoice__to_pay")).exists()
    of_another = LicencePicture.objects.filter(licence__in=licences).exclude(picture__shoot=F("licence__shoot"))
    assert not of_another.exists()
    assert any(each.renews_id for each in licences)
    held = [holding.grant for holding in holdings_on(Picture.objects.filter(number__startswith="LT-"))]
    assert any(grant.is_exclusive for grant in held)
    assert [clash for grant in held if grant.is_exclusive for clash in find_clashes(grant, held)] == []


@pytest.mark.django_db
def test_the_same_seed_writes_the_same_lifetime():
    like, billed = picture_of(), invoices.issued()

    def written() -> list[tuple[object, ...]]:
        with transaction.atomic():
            fill(Size(240), on=ON, like=like, billed=billed, seed=7)
            found = Licence.objects.filter(number__startswith="LT-").order_by("number")
            said = list(found.values_list("use_media", "use_from", "pictures_agreed"))
            transaction.set_rollback(True)
        return said

    assert written() == written() != []


def test_the_table_names_what_each_question_costs_beside_a_lookup_and_a_scan():
    lookup = Timed("one picture by its key", [0.001] * 20, [0.001] * 20, 1)
    asked = Timed("clash check", [0.004] * 20, [0.002] * 20, 6)
    scan = Timed("clash check", [0.1] * 20, [0.002] * 20, 0)
    lines = table([asked], lookup, [scan])
    assert lines[-1].split() == ["4.00", "4.00", "6", "2.0", "0.040", "clash", "check"]
    assert lines[1].split()[:4] == ["1.00", "1.00", "1", "1.0"]
