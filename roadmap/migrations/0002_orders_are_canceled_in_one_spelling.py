"""Orders called off are stored as "canceled", as the rest of the program spells; British readers see their own."""

from django.db import migrations, models

STATES = [
    ("asked for price", "asked for price"),
    ("priced", "priced"),
    ("ordered", "ordered"),
    ("date confirmed", "date confirmed"),
    ("running late", "running late"),
    ("part arrived", "part arrived"),
    ("all arrived", "all arrived"),
    ("checked and working", "checked and working"),
    ("going back", "going back"),
    ("canceled", "canceled"),
]
STATE = {"choices": STATES, "default": "asked for price", "max_length": 20, "verbose_name": "state"}


def respell(was, becomes):
    def write(apps, schema_editor):
        for name in ("Order", "HistoricalOrder"):
            rows = apps.get_model("roadmap", name)._default_manager.using(schema_editor.connection.alias)
            rows.filter(state=was).update(state=becomes)

    return write


class Migration(migrations.Migration):
    dependencies = [("roadmap", "0001_steps_orders_and_money")]

    operations = [
        migrations.AlterField("historicalorder", "state", models.CharField(**STATE)),
        migrations.AlterField("order", "state", models.CharField(**STATE)),
        migrations.RunPython(respell("cancelled", "canceled"), respell("canceled", "cancelled")),
    ]
