"""What an item of a supplier costs by the number that is bought."""

from decimal import Decimal

import pytest

from jobs.models import SupplierItem

BREAKS = [{"from": 10, "price": "8.50"}, {"from": 50, "price": "7.25"}]


@pytest.mark.parametrize(
    ("count", "price"),
    [("1", "9.00"), ("9.5", "9.00"), ("10", "8.50"), ("49", "8.50"), ("50", "7.25")],
)
def test_the_highest_break_that_is_reached_sets_the_price(
    count: str, price: str
) -> None:
    item = SupplierItem(price=Decimal("9.00"), breaks=BREAKS)
    assert item.price_for(Decimal(count)) == Decimal(price)
    assert item.price_each(Decimal(count)) == Decimal(price)


def test_a_flat_is_bought_whole_and_its_breaks_count_flats() -> None:
    flat = SupplierItem(
        price=Decimal("28.80"),
        pack_quantity=32,
        is_per_pack=True,
        breaks=[{"from": 3, "price": "25.60"}],
    )
    assert [flat.packs_for(Decimal(n)) for n in (1, 32, 33, 65)] == [1, 1, 2, 3]
    assert flat.price_each(Decimal(64)) == Decimal("0.90")
    assert flat.price_each(Decimal(65)) == Decimal("0.80")
