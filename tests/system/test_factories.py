"""Each factory makes a row that the database takes."""

import pytest
from factory.django import DjangoModelFactory

from tests import factories

ALL = [
    value
    for value in vars(factories).values()
    if isinstance(value, type)
    and issubclass(value, DjangoModelFactory)
    and value is not DjangoModelFactory
]


@pytest.mark.django_db
@pytest.mark.parametrize("factory", ALL, ids=lambda f: f.__name__)
def test_the_factory_makes_a_stored_row(factory: type[DjangoModelFactory]) -> None:
    row = factory()
    assert type(row).objects.get(pk=row.pk) == row
