"""Addresses of work and money, one module for each part of the work."""

from jobs.urls import books, care, gardens, links, quotes, suppliers, today, work

urlpatterns = [
    *gardens.urlpatterns,
    *quotes.urlpatterns,
    *links.urlpatterns,
    *work.urlpatterns,
    *care.urlpatterns,
    *today.urlpatterns,
    *books.urlpatterns,
    *suppliers.urlpatterns,
]
