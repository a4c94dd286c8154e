"""Gathering a large answer without Python's search for rubbish half-way."""

from __future__ import annotations

import gc
from contextlib import contextmanager
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from collections.abc import Iterator


@contextmanager
def undisturbed() -> Iterator[None]:
    """Put the collector off while an answer is gathered.

    What a question reads it keeps until it is answered, and rows hold no rings:
    looking through twenty thousand of them again and again finds nothing and takes a
    third of the time of a large round. Where two threads overlap, the one that
    found the collector on puts it on again.
    """
    was_on = gc.isenabled()
    gc.disable()
    try:
        yield
    finally:
        if was_on:
            gc.enable()
