import django.db.models.deletion
import django.db.models.functions.text
from django.db import migrations, models

from clients.trades import read_trade, trade_key

# The list a studio starts with: common practice, no source. The names in other languages are from memory, without a native reader;
# the studio changes, adds and takes out what it likes.
STARTING = [
    ("agency", "Agentur", "agence", "agencia", "agenzia", "byrå"),
    ("bakery", "Bäckerei", "boulangerie", "panadería", "panificio", "bageri"),
    ("beer", "Bier", "bière", "cerveza", "birra", "öl"),
    ("book publisher", "Buchverlag", "édition de livres", "editorial de libros", "casa editrice", "bokförlag"),
    ("catering", "Catering", "traiteur", "catering", "catering", "catering"),
    ("coffee", "Kaffee", "café", "café", "caffè", "kaffe"),
    ("dairy", "Molkerei", "laiterie", "lácteos", "latticini", "mejeri"),
    ("grocer", "Lebensmittelhandel", "épicerie", "alimentación", "alimentari", "livsmedelshandel"),
    ("hotel", "Hotel", "hôtel", "hotel", "albergo", "hotell"),
    ("magazine", "Zeitschrift", "magazine", "revista", "rivista", "tidskrift"),
    ("restaurant", "Restaurant", "restaurant", "restaurante", "ristorante", "restaurang"),
    ("wine", "Wein", "vin", "vino", "vino", "vin"),
]
LANGUAGES = ("de", "fr", "es", "it", "sv")


def put_on_the_list(trade_table, word_table, typed):
    """The name the list has for what was typed, put there where it is new: one trade for every way of writing it."""
    word = word_table.objects.filter(key=trade_key(typed)).select_related("trade").first()
    if word is not None:
        return word.trade.name
    trade = trade_table.objects.create(name=" ".join(typed.split()))
    word_table.objects.create(key=trade_key(typed), trade=trade)
    return trade.name


def begin(apps, _schema_editor):
    trade_table, word_table = apps.get_model("clients", "Trade"), apps.get_model("clients", "TradeWord")
    client_table = apps.get_model("clients", "Client")
    for name, *others in STARTING:
        trade = trade_table.objects.create(name=name, names=dict(zip(LANGUAGES, others, strict=True)), is_shipped=True)
        keys = {trade_key(each) for each in (read_trade(name), *others)}
        word_table.objects.bulk_create(word_table(key=key, trade=trade) for key in sorted(keys))
    for typed in client_table.objects.exclude(trade="").order_by("trade").values_list("trade", flat=True).distinct():
        name = put_on_the_list(trade_table, word_table, typed) if trade_key(typed) else ""
        if name != typed:
            client_table.objects.filter(trade=typed).update(trade=name)


class Migration(migrations.Migration):
    """Trades become one list. What clients were said to be goes on it, each trade once however it was typed."""

    dependencies = [("clients", "0003_words")]
    operations = [
        migrations.CreateModel(
            name="Trade",
            fields=[
                ("id", models.BigAutoField(auto_created=True, primary_key=True, serialize=False, verbose_name="ID")),
                ("version", models.PositiveIntegerField(default=1, editable=False)),
                ("changed_at", models.DateTimeField(auto_now=True)),
                ("name", models.CharField(max_length=60, unique=True)),
                ("names", models.JSONField(blank=True, default=dict)),
                ("is_shipped", models.BooleanField(default=False)),
            ],
            options={"ordering": [django.db.models.functions.text.Lower("name"), "pk"]},
        ),
        migrations.CreateModel(
            name="TradeWord",
            fields=[
                ("id", models.BigAutoField(auto_created=True, primary_key=True, serialize=False, verbose_name="ID")),
                ("key", models.CharField(max_length=120, unique=True)),
                (
                    "trade",
                    models.ForeignKey(
                        on_delete=django.db.models.deletion.CASCADE, related_name="words", to="clients.trade"
                    ),
                ),
            ],
            options={"ordering": ["key"]},
        ),
        migrations.RunPython(begin, migrations.RunPython.noop),
    ]
