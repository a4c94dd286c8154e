"""The examples in the docstrings give what they show."""

from __future__ import annotations

import doctest
from typing import TYPE_CHECKING

import pytest

from rearing.science import heat, proportions, rates

if TYPE_CHECKING:
    from types import ModuleType


@pytest.mark.parametrize("module", [heat, rates, proportions], ids=lambda m: m.__name__)
def test_the_docstrings_examples_give_what_they_show(module: ModuleType) -> None:
    found = doctest.testmod(module)
    assert found.attempted > 0
    assert found.failed == 0
