import pytest
from django.db import IntegrityError, connection, transaction

from shared.evidence.actions import record_evidence
from shared.evidence.models import Evidence
from shared.files.models import StoredFile
from shared.triggers import refuse_changes
from tests.factories.shared import EARLY, kept_file

pytestmark = [pytest.mark.both, pytest.mark.django_db]


def refused() -> object:
    return pytest.raises(IntegrityError, match="is kept as it was issued")


def test_nobody_changes_or_deletes_a_row_of_the_evidence() -> None:
    row = record_evidence("shown", subject="release:7", payload={}, at=EARLY)
    with refused(), transaction.atomic():
        Evidence.objects.filter(pk=row.pk).update(kind="signed")
    with refused(), transaction.atomic():
        Evidence.objects.filter(pk=row.pk).delete()
    assert Evidence.objects.get().kind == "shown"


def test_the_row_of_a_kept_file_stays_what_it_was() -> None:
    file = kept_file()
    with refused(), transaction.atomic():
        StoredFile.objects.filter(pk=file.pk).update(sha256="0" * 64)


@pytest.fixture
def papers() -> object:
    with connection.cursor() as cursor:
        cursor.execute(
            "CREATE TABLE papers_of_a_test (id integer PRIMARY KEY, state varchar(8), total integer, paid_on date)"
        )
    yield
    with connection.cursor() as cursor:
        cursor.execute("DROP TABLE papers_of_a_test")


def run(sql: str) -> None:
    with transaction.atomic(), connection.cursor() as cursor:
        cursor.execute(sql)


def close(**how: object) -> None:
    with connection.schema_editor(atomic=False) as editor:
        editor.deferred_sql = []
        refuse_changes("papers_of_a_test", **how).code(None, editor)  # type: ignore[arg-type]


@pytest.mark.django_db(transaction=True)
def test_an_issued_paper_is_frozen_but_for_its_state_and_a_draft_is_free(papers: None) -> None:
    close(but=("state", "paid_on"), when="OLD.state <> 'draft'")
    run("INSERT INTO papers_of_a_test VALUES (1, 'draft', 10, NULL)")
    run("UPDATE papers_of_a_test SET total = 12, state = 'issued'")
    run("UPDATE papers_of_a_test SET state = 'paid', paid_on = '2026-11-14', total = 12")
    with refused():
        run("UPDATE papers_of_a_test SET total = 13")
    with refused():
        run("DELETE FROM papers_of_a_test")
    run("INSERT INTO papers_of_a_test VALUES (2, 'draft', 10, NULL)")
    run("DELETE FROM papers_of_a_test WHERE id = 2")


@pytest.mark.django_db(transaction=True)
def test_named_columns_are_frozen_and_an_empty_value_counts_as_a_change(papers: None) -> None:
    close(columns=("total",), deletes=False)
    run("INSERT INTO papers_of_a_test VALUES (1, 'draft', NULL, NULL)")
    run("UPDATE papers_of_a_test SET state = 'sent'")
    with refused():
        run("UPDATE papers_of_a_test SET total = 1")
    run("DELETE FROM papers_of_a_test")


@pytest.mark.django_db(transaction=True)
def test_a_column_that_is_not_there_is_named(papers: None) -> None:
    with pytest.raises(ValueError, match="has no column payed_on"):
        close(but=("payed_on",))
