"""The laptops of the tests of merging."""

from tests.records.merging.conftest import some_laptops

__all__ = ["some_laptops"]
