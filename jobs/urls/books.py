"""Addresses of receipts, bills, totals."""

from django.urls import URLPattern, path

from jobs.views import accounts, bill_money, bills, books

urlpatterns: list[URLPattern] = [
    path("books/", books.books, name="books"),
    path("books/totals.csv", books.totals_as_csv, name="totals-csv"),
    path("books/totals.xlsx", books.totals_as_xlsx, name="totals-xlsx"),
    path("books/open/", accounts.open_bills, name="open-bills"),
    path("books/tax/", accounts.taxes, name="tax-totals"),
    path("books/tax.csv", accounts.taxes_as_csv, name="tax-totals-csv"),
    path(
        "books/clients/<int:pk>/statement/",
        accounts.client_statement,
        name="client-statement",
    ),
    path(
        "books/clients/<int:pk>/statement.pdf",
        accounts.statement_pdf,
        name="statement-pdf",
    ),
    path(
        "books/bills/<int:pk>/overdue/",
        accounts.overdue_letter,
        name="overdue-letter",
    ),
    path("books/receipts/", books.receipts, name="receipts"),
    path("books/receipts/new/", books.receipt_new, name="receipt-new"),
    path("books/receipts/<int:pk>/", books.receipt, name="receipt"),
    path(
        "books/receipts/<int:pk>/strike-out/",
        books.receipt_strike_out,
        name="receipt-strike-out",
    ),
    path("books/bills/", bills.bills, name="bills"),
    path("books/bills/<int:pk>/", bills.bill, name="bill"),
    path("books/bills/<int:pk>/bill.pdf", bills.bill_pdf, name="bill-pdf"),
    path("books/bills/<int:pk>/payment/", bill_money.payment_new, name="payment-new"),
    path("books/bills/<int:pk>/credit/", bill_money.credit_new, name="credit-new"),
    path(
        "books/bills/<int:pk>/credit-part/",
        bill_money.credit_part_new,
        name="credit-part-new",
    ),
    path("books/bills/<int:pk>/pay-back/", bill_money.pay_back_new, name="pay-back"),
    path(
        "books/bills/<int:pk>/set-against/",
        bill_money.set_against_new,
        name="set-against",
    ),
    path(
        "books/payments/<int:pk>/strike-out/",
        bill_money.payment_strike_out,
        name="payment-strike-out",
    ),
    path("books/bills/<int:pk>/send/", bills.bill_send, name="bill-send"),
    path("books/jobs/<int:pk>/", bills.of_job, name="job-bills"),
    path(
        "books/jobs/<int:pk>/parts/<int:place>/bill/",
        bills.part_bill_new,
        name="part-bill-new",
    ),
    path(
        "books/additions/<int:pk>/bill/",
        bills.addition_bill_new,
        name="addition-bill-new",
    ),
    path("books/jobs/<int:pk>/bill/", bills.job_bill_new, name="job-bill-new"),
    path("books/jobs/<int:pk>/deposit/", bills.deposit_new, name="deposit-new"),
    path(
        "books/instalments/<int:pk>/bill/",
        bills.instalment_bill_new,
        name="instalment-bill-new",
    ),
]
