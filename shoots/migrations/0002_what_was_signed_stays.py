from django.db import migrations

from shared.triggers import refuse_changes


class Migration(migrations.Migration):
    """What was signed, or refused, never changes; a withdrawal is a later mark beside it."""

    dependencies = [("shoots", "0001_initial")]
    operations = [
        refuse_changes(
            "shoots_release",
            but=("withdrawn_at", "withdrawn_reason", "state"),
            when="OLD.state IN ('signed', 'refused', 'withdrawn')",
            deletes=True,
        ),
    ]
