import django.db.models.deletion
from django.db import migrations, models

from shared.triggers import refuse_changes


class Migration(migrations.Migration):
    """A licence as it was printed is kept for good: no version of its paper is ever changed or deleted."""

    dependencies = [
        ("shared", "0002_keep_evidence_and_files"),
        ("shoots", "0004_takes_are_only_added"),
    ]
    operations = [
        migrations.CreateModel(
            name="LicencePaper",
            fields=[
                ("id", models.BigAutoField(auto_created=True, primary_key=True, serialize=False, verbose_name="ID")),
                ("version", models.PositiveSmallIntegerField()),
                ("snapshot", models.JSONField()),
                ("made_at", models.DateTimeField()),
                (
                    "file",
                    models.ForeignKey(
                        on_delete=django.db.models.deletion.PROTECT, related_name="+", to="shared.storedfile"
                    ),
                ),
                (
                    "licence",
                    models.ForeignKey(
                        on_delete=django.db.models.deletion.PROTECT, related_name="papers", to="shoots.licence"
                    ),
                ),
            ],
            options={
                "ordering": ["pk"],
                "constraints": [
                    models.UniqueConstraint(fields=("licence", "version"), name="one_paper_per_licence_version")
                ],
            },
        ),
        refuse_changes("shoots_licencepaper"),
    ]
