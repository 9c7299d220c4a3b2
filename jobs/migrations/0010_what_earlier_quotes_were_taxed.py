"""Lines and agreements from before get what the new columns say of them."""

from typing import Any

from django.db import migrations
from django.db.models import F


def fill(apps: Any, _schema: Any) -> None:
    """Categories, rates and hours of old lines; amounts of old agreements."""
    line = apps.get_model("jobs", "QuoteLine")
    line.objects.filter(is_taxed=False).update(tax_category="not taxed")
    line.objects.filter(kind="labour", hours=0).update(hours=F("quantity"))
    quotes = apps.get_model("jobs", "Quote").objects
    for quote in quotes.exclude(tax_percent=0).iterator():
        line.objects.filter(quote=quote, is_taxed=True).update(
            tax_percent=quote.tax_percent
        )
    agreements = apps.get_model("jobs", "Agreement").objects
    for agreement in (
        agreements.filter(quote__isnull=False, net__isnull=True)
        .select_related("quote")
        .iterator()
    ):
        quote = agreement.quote
        agreement.cost = quote.cost
        agreement.net, agreement.tax, agreement.gross = (
            quote.net,
            quote.tax,
            quote.gross,
        )
        agreement.save(update_fields=["cost", "net", "tax", "gross"])


class Migration(migrations.Migration):
    dependencies = [("jobs", "0009_pricing_of_quotes")]

    operations = [migrations.RunPython(fill, migrations.RunPython.noop)]
