"""Lines from before keep the tax that was ticked for them, under its name."""

from typing import Any

from django.db import migrations


def fill(apps: Any, _schema: Any) -> None:
    """What was ticked was chosen by hand; a taxed line bore its quote's tax."""
    line = apps.get_model("jobs", "QuoteLine")
    line.objects.update(tax_is_typed=True)
    quotes = apps.get_model("jobs", "Quote").objects
    for quote in quotes.exclude(tax_name="").iterator():
        line.objects.filter(quote=quote, is_taxed=True).update(tax_name=quote.tax_name)


class Migration(migrations.Migration):
    dependencies = [("jobs", "0013_tax_of_a_line")]

    operations = [migrations.RunPython(fill, migrations.RunPython.noop)]
