from django.db import migrations

from shared.triggers import refuse_changes


class Migration(migrations.Migration):
    """What was pressed on set never changes; Undo is a later row. A shot nobody worked on may go."""

    dependencies = [("shoots", "0003_agreed_terms_stay")]
    operations = [refuse_changes("shoots_take", deletes=False)]
