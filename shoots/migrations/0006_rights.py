from django.db import migrations

from shared.triggers import refuse_changes


class Migration(migrations.Migration):
    """What somebody was asked to sign is not changed while they read it; an answer and a withdrawal are not taken back."""

    dependencies = [("shoots", "0005_a_printed_licence_stays")]
    operations = [
        refuse_changes(
            "shoots_release",
            name="keeps_offer",
            but=(
                "state",
                "capacity",
                "signer_name",
                "signer_email",
                "signature_path",
                "typed_name",
                "signed_at",
                "refused_at",
                "refused_reason",
                "withdrawn_at",
                "withdrawn_reason",
                "paper_id",
            ),
            when="OLD.state IN ('offered', 'called_back')",
            deletes=False,
        ),
        refuse_changes(
            "shoots_release",
            name="keeps_answer",
            columns=("state", "withdrawn_at", "withdrawn_reason"),
            when="OLD.state IN ('withdrawn', 'refused', 'called_back')"
            " OR (OLD.state = 'signed' AND NEW.state NOT IN ('signed', 'withdrawn'))"
            " OR (OLD.state = 'offered' AND NEW.state = 'draft')",
            deletes=False,
        ),
    ]
