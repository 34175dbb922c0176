from datetime import date
from decimal import Decimal

import pytest

from shared.business.models import BusinessProfile
from studio.upkeep.tables import columns_of, own_models, raw_tables, rows_of, written
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
