"""Totals of issued papers added again by plain arithmetic on what is printed.

No code of jobs.pricing or firm.money is used: another way to the same figures.
"""

from decimal import ROUND_HALF_UP, Decimal
from typing import Any

CENT = Decimal("0.01")


def faults_of(kind: str, snapshot: dict[str, Any]) -> list[str]:
    """What does not add up on one paper; nothing on a right one."""
    if kind == "quote":
        return _quote(snapshot)
    if kind == "bill":
        return _bill(snapshot)
    return []


def _sum(rows: list[dict[str, Any]], name: str) -> Decimal:
    return sum((Decimal(row[name]) for row in rows), Decimal(0))


def _quote(paper: dict[str, Any]) -> list[str]:
    totals = paper["totals"]
    found = []
    for group in paper["groups"]:
        if _sum(group["lines"], "price") != Decimal(group["price"]):
            found.append(f"lines of {group['label']}")
    lines = _sum(paper["groups"], "price")
    if lines != Decimal(totals["lines"]):
        found.append("the lines together")
    net = lines - Decimal(totals["discount"]) + Decimal(totals["top_up"])
    if net != Decimal(totals["net"]):
        found.append("net")
    found += _taxes(totals)
    found += [
        f"option {option['title']}"
        for option in paper["options"]
        if Decimal(option["net"]) + Decimal(option["tax"]) != Decimal(option["gross"])
        or Decimal(option["net"]) - Decimal(totals["net"]) != Decimal(option["adds"])
    ]
    if paper["payments"]:
        found += [
            f"payments, {name}"
            for name in ("net", "tax", "gross")
            if _sum(paper["payments"], name) != Decimal(totals[name])
        ]
    return found


def _taxes(totals: dict[str, Any]) -> list[str]:
    found = []
    taxes = totals["taxes"]
    for name in ("net", "tax"):
        if _sum(taxes, name) != Decimal(totals[name]):
            found.append(f"{name} of the taxes")
    for tax in taxes:
        due = Decimal(tax["net"]) * Decimal(tax["percent"]) / 100
        if due.quantize(CENT, rounding=ROUND_HALF_UP) != Decimal(tax["tax"]):
            found.append(f"{tax['name']} {tax['percent']}")
    if Decimal(totals["net"]) + Decimal(totals["tax"]) != Decimal(totals["gross"]):
        found.append("gross")
    return found


def _bill(paper: dict[str, Any]) -> list[str]:
    found = []
    if _sum(paper["lines"], "net") != Decimal(paper["net"]):
        found.append("net")
    if Decimal(paper["net"]) + Decimal(paper["tax"]) != Decimal(paper["gross"]):
        found.append("gross")
    # Parts of a tax take its odd cents, so a part's own tax is not rounded anew.
    if taxes := paper["taxes"]:
        found += [
            f"{name} of the taxes"
            for name in ("net", "tax")
            if _sum(taxes, name) != Decimal(paper[name])
        ]
    return found


def account(
    papers: list[dict[str, Any]], payments: list[dict[str, Any]], *, day: str
) -> dict[str, Any]:
    """What each client owes, which bills are open, and the tax, at the end of DAY.

    PAPERS are the snapshots of bills and credits with their "client_id"; PAYMENTS have
    number of the bill, client, day, kind and amount. Days are ISO text, which sorts.
    """
    balance: dict[int, Decimal] = {}
    open_amount: dict[str, Decimal] = {}
    due_on: dict[str, str] = {}
    taxes: dict[tuple[str, Decimal], list[Decimal]] = {}
    for paper in papers:
        if paper["day"] > day:
            continue
        gross = Decimal(paper["gross"])
        client = paper["client_id"]
        balance[client] = balance.get(client, Decimal(0)) + gross
        bill = paper["credits"] or paper["number"]
        open_amount[bill] = open_amount.get(bill, Decimal(0)) + gross
        if not paper["credits"]:
            due_on[bill] = paper["due_on"]
        for tax in paper["taxes"]:
            sums = taxes.setdefault(
                (tax["name"], Decimal(tax["percent"])), [Decimal(0), Decimal(0)]
            )
            sums[0] += Decimal(tax["net"])
            sums[1] += Decimal(tax["tax"])
    for payment in payments:
        if payment["day"] > day:
            continue
        out = payment["kind"] in ("paid back", "set against")
        amount = payment["amount"] if out else -payment["amount"]
        balance[payment["client_id"]] += amount
        open_amount[payment["number"]] += amount
    return {
        "balance": {client: owes for client, owes in balance.items() if owes},
        "open": {
            number: (amount, due_on[number])
            for number, amount in open_amount.items()
            if amount
        },
        "taxes": {key: tuple(sums) for key, sums in taxes.items() if any(sums)},
    }
