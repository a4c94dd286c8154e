"""The collector is put off while an answer is gathered, and never left off."""

from __future__ import annotations

import gc

import pytest

from rearing.keeping.undisturbed import undisturbed


def test_the_collector_is_off_within_and_on_after() -> None:
    with undisturbed():
        within = gc.isenabled()
    assert (within, gc.isenabled()) == (False, True)


def test_the_collector_is_on_again_after_a_failure() -> None:
    with pytest.raises(ZeroDivisionError), undisturbed():
        raise ZeroDivisionError
    assert gc.isenabled()


def test_a_collector_that_was_off_stays_off() -> None:
    gc.disable()
    try:
        with undisturbed():
            pass
        assert not gc.isenabled()
    finally:
        gc.enable()
