from importlib import import_module

from django.db import migrations, models

from clients.trades import trade_key
from shared.triggers import refuse_changes

put_on_the_list = import_module("clients.migrations.0004_trades").put_on_the_list


def list_trades(apps, _schema_editor):
    """Trades that only licences and shoots name go on the list too; the words of a licence stay as they were agreed."""
    tables = apps.get_model("clients", "Trade"), apps.get_model("clients", "TradeWord")
    licence_table, shoot_table = apps.get_model("shoots", "Licence"), apps.get_model("shoots", "Shoot")
    for typed in licence_table.objects.exclude(trade="").order_by("trade").values_list("trade", flat=True).distinct():
        if trade_key(typed):
            named = licence_table.objects.filter(trade=typed)
            named.update(trade_listed=put_on_the_list(*tables, typed))
    for shoot in shoot_table.objects.filter(selling_on="not_to").order_by("pk"):
        names = [put_on_the_list(*tables, each) for each in shoot.selling_on_not_to if trade_key(each)]
        shoot.selling_on_not_to = list(dict.fromkeys(names))
        shoot.save(update_fields=["selling_on_not_to"])


class Migration(migrations.Migration):
    """A licence keeps the name its trade had when it was agreed, and beside it what the list calls that trade today."""

    dependencies = [("clients", "0004_trades"), ("shoots", "0022_life")]
    operations = [
        migrations.AddField(
            model_name="licence",
            name="trade_listed",
            field=models.CharField(blank=True, max_length=60),
        ),
        migrations.RunPython(list_trades, migrations.RunPython.noop),
        # A column with a default remakes the table on SQLite, and its trigger with it: it is named again.
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
