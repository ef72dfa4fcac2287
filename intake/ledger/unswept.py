"""Many events at once without the garbage collector walking over all of them again and again."""

import gc
from collections.abc import Iterator, Sized
from contextlib import contextmanager

MANY = 10_000
"""Events from which on what was read is left out of every later collection too."""


@contextmanager
def unswept(read: Sized = ()) -> Iterator[None]:
    """Inside, no cycles are looked for: events and states hold none, and there may be a million of their parts.

    Where `read` has become long in the end, its parts are never looked at again: one walk over all of them
    costs a phone a second. They are freed as ever when nobody holds them any more.
    """
    was_on = gc.isenabled()
    gc.disable()
    try:
        yield
    finally:
        if len(read) >= MANY:
            gc.freeze()
        if was_on:
            gc.enable()
