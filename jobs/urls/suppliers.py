"""Addresses of suppliers, their lists and items, and of the prices of a quote."""

from django.urls import path

from jobs.views.suppliers import items, lists, prices, suppliers

urlpatterns = [
    path("suppliers/", suppliers.suppliers, name="suppliers"),
    path("suppliers/new/", suppliers.supplier_new, name="supplier-new"),
    path("suppliers/<int:pk>/", suppliers.supplier, name="supplier"),
    path(
        "suppliers/<int:pk>/change/", suppliers.supplier_change, name="supplier-change"
    ),
    path("suppliers/<int:pk>/lists/new/", lists.list_new, name="price-list-new"),
    path("suppliers/<int:pk>/items/new/", items.item_new, name="supplier-item-new"),
    path("suppliers/items/<int:pk>/", items.item, name="supplier-item"),
    path("suppliers/lists/<int:pk>/", lists.price_list, name="price-list"),
    path(
        "suppliers/lists/<int:pk>/columns/",
        lists.list_columns,
        name="price-list-columns",
    ),
    path("suppliers/lists/<int:pk>/names/", lists.list_names, name="price-list-names"),
    path("suppliers/lists/<int:pk>/take/", lists.list_take, name="price-list-take"),
    path("suppliers/lists/<int:pk>/drop/", lists.list_drop, name="price-list-drop"),
    path("quotes/<int:pk>/bought/", prices.quote_bought, name="quote-bought"),
    path(
        "quotes/<int:pk>/lines/<int:line>/price/",
        prices.line_price,
        name="quote-line-price",
    ),
]
