from django.db import migrations

from shared.triggers import refuse_changes


class Migration(migrations.Migration):
    """The evidence chain only grows, and the row of a kept file stays what it was (it may go)."""

    dependencies = [("shared", "0001_initial")]
    operations = [
        refuse_changes("shared_evidence"),
        refuse_changes("shared_storedfile", deletes=False),
    ]
