from django.db import migrations

from shared.triggers import refuse_changes


class Migration(migrations.Migration):
    """What was agreed in a licence never changes: another licence takes its place. Its days are counted from delivery or payment."""

    dependencies = [("shoots", "0002_what_was_signed_stays")]
    operations = [
        refuse_changes(
            "shoots_licence",
            columns=(
                "number",
                "shoot_id",
                "licensee_id",
                "billing_party_id",
                "trade",
                "is_own_promotion",
                "use_classes",
                "use_media",
                "use_territories",
                "use_months",
                "exclusivity",
                "exclusive_months",
                "use_copies",
                "pictures_agreed",
                "embargo_until",
                "begins",
                "begins_on",
                "lapse_days",
                "credit_line",
                "fee_net",
                "currency",
                "frozen",
                "frozen_sha256",
                "renews_id",
                "supersedes_id",
                "accepted_at",
                "accepted_by",
                "signed_by",
            ),
            when="OLD.state NOT IN ('draft', 'offered')",
            deletes=True,
        ),
    ]
