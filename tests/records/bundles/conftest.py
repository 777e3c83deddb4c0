"""The laptops of the tests of merging, and what takes long of them put first."""

import pytest

from tests.records.merging.conftest import some_laptops

__all__ = ["some_laptops"]
LONG = "over_hundreds_of_histories"


@pytest.hookimpl(trylast=True)
def pytest_collection_modifyitems(items: list[pytest.Item]) -> None:
    """Put the many histories first: others take the rest meanwhile, and no worker is left with them in the end."""
    items.sort(key=lambda item: LONG not in item.name)
