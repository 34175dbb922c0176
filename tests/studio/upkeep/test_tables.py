from datetime import date
from decimal import Decimal

import pytest
from django.db import connection

from shared.business.models import BusinessProfile
from studio.upkeep.tables import columns_of, columns_there, own_models, own_tables, raw_tables, rows_of, written
from tests.factories.shared import BusinessProfileFactory


def test_a_cell_is_written_so_that_any_program_reads_it() -> None:
    cells = [None, True, Decimal("12.50"), date(2026, 11, 14), {"b": "Küche", "a": 1}, "€"]
    assert [written(cell) for cell in cells] == ["", "yes", "12.50", "2026-11-14", '{"a": 1, "b": "Küche"}', "€"]


@pytest.mark.django_db
def test_every_table_of_the_house_is_among_them_and_its_rows_come_whole() -> None:
    BusinessProfileFactory()
    tables = {model._meta.db_table for model in own_models()}
    assert {"shared_evidence", "shared_message_attachments"} <= tables <= set(raw_tables())
    (row,) = rows_of(BusinessProfile)
    assert (
        dict(zip([field.attname for field in columns_of(BusinessProfile)], row, strict=True))["legal_name"]
        == "Tindra Aldermoor"
    )


@pytest.mark.django_db
def test_a_table_of_another_program_in_the_same_database_is_not_ours() -> None:
    with connection.cursor() as cursor:
        cursor.execute("CREATE TABLE guestbook (guest text, dish text)")
    assert set(raw_tables()) - set(own_tables()) - {"sqlite_sequence"} == {"guestbook"}
    assert "django_migrations" in own_tables()
    assert columns_there("guestbook") == {"guest", "dish"}
