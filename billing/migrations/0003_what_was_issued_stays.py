from django.db import migrations

from shared.triggers import refuse_changes


class Migration(migrations.Migration):
    """An issued paper, its lines and the money received on it are never edited or deleted; a mistake is taken back by a new row."""

    dependencies = [("billing", "0002_initial")]
    operations = [
        refuse_changes("billing_invoice", but=("is_cancelled", "sent_at")),
        refuse_changes("billing_invoiceline"),
        refuse_changes("billing_payment"),
        refuse_changes("billing_reminder"),
    ]
