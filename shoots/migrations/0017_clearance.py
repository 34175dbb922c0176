import django.db.models.deletion
from django.db import migrations, models

from shared.triggers import refuse_changes


class Migration(migrations.Migration):
    """For which shoots a release counts, who signs for somebody under age, and what was decided about a withdrawal.

    What was signed before says "pictures taken for" one shoot, so each counts for its own shoot. SQLite rebuilds the table and loses
    its rules: they are named again, the new words of a release among what they keep.
    """

    dependencies = [
        ('clients', '0002_kitchen_words'),
        ('shared', '0002_keep_evidence_and_files'),
        ('shoots', '0016_light'),
    ]

    operations = [
        migrations.AddField(
            model_name='pictureperson',
            name='is_minor',
            field=models.BooleanField(default=False),
        ),
        migrations.AddField(
            model_name='release',
            name='decided_at',
            field=models.DateTimeField(blank=True, null=True),
        ),
        migrations.AddField(
            model_name='release',
            name='decision',
            field=models.CharField(blank=True, choices=[('keep', 'Uses agreed before go on'), ('stop', 'The pictures come down everywhere'), ('some', 'Some uses end, as written below')], max_length=4),
        ),
        migrations.AddField(
            model_name='release',
            name='decision_words',
            field=models.CharField(blank=True, max_length=500),
        ),
        migrations.AddField(
            model_name='release',
            name='guardian_name',
            field=models.CharField(blank=True, max_length=120),
        ),
        migrations.AddField(
            model_name='release',
            name='is_minor',
            field=models.BooleanField(default=False),
        ),
        migrations.AddField(
            model_name='release',
            name='reach',
            field=models.CharField(choices=[('shoot', 'Pictures of this shoot'), ('house', 'Pictures of every shoot for the house'), ('all', 'Pictures of every shoot')], default='shoot', max_length=5),
        ),
        migrations.AddField(
            model_name='release',
            name='reach_house',
            field=models.ForeignKey(blank=True, null=True, on_delete=django.db.models.deletion.PROTECT, related_name='releases_of_all_shoots', to='clients.client'),
        ),
        migrations.AlterField(
            model_name='release',
            name='capacity',
            field=models.CharField(blank=True, choices=[('self', 'For myself'), ('owner', 'I own this place'), ('for_owner', 'I may sign for the owner'), ('guardian', 'Parent or guardian')], max_length=9),
        ),
        migrations.AddConstraint(
            model_name='release',
            constraint=models.CheckConstraint(condition=models.Q(models.Q(('reach', 'house'), ('reach_house__isnull', False)), models.Q(('reach__in', ['shoot', 'all']), ('reach_house__isnull', True)), _connector='OR'), name='release_for_a_house_names_it'),
        ),
        migrations.AddConstraint(
            model_name='release',
            constraint=models.CheckConstraint(condition=models.Q(models.Q(('guardian_name', ''), ('is_minor', False)), models.Q(('guardian_name__gt', ''), ('is_minor', True), ('kind', 'model'), ('reach', 'shoot')), _connector='OR'), name='release_under_age_names_a_guardian'),
        ),
        migrations.AddConstraint(
            model_name="release",
            constraint=models.CheckConstraint(
                condition=models.Q(
                    ("kind", "model"), ("kitchen__isnull", False), ("reach__in", ["shoot", "house"]), _connector="OR"
                ),
                name="release_of_a_thing_stays_in_its_house",
            ),
        ),
        refuse_changes(
            "shoots_release",
            but=("withdrawn_at", "withdrawn_reason", "state", "decision", "decision_words", "decided_at"),
            when="OLD.state IN ('signed', 'refused', 'withdrawn')",
            deletes=True,
        ),
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
