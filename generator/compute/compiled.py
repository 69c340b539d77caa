"""Compiling a function with numba, and keeping the result on disk where that goes well.

* compiled     the decorator

What is kept only saves time. A file of it that was cut short, a full disk or a place that may not be read must not stop
a computation, and code that was compiled with other constants must not be used: numba looks at the time of the
function's own file alone, while a constant may come from another.
"""

import contextlib
from typing import Any

from numba import njit
from numba.core.caching import FunctionCache


def compiled(function, **options):
    """Compile and keep the result on disk; without a place to keep it (a read-only home), compile anew each time."""
    made = njit(nogil=True, error_model="numpy", **options)(function)
    with contextlib.suppress(RuntimeError, OSError):
        made._cache = _Kept(function)
    return made


class _Kept(FunctionCache):
    """Numba's cache of one function, without its errors."""

    def load_overload(self, *asked: Any) -> Any:
        try:
            return super().load_overload(*asked)
        except Exception:  # of reading, of unpickling, of linking what is damaged
            self._start_anew()
            return None

    def save_overload(self, *made: Any) -> None:
        try:
            super().save_overload(*made)
        except Exception:
            self._start_anew()

    def _start_anew(self) -> None:
        """Forget what is kept of this function."""
        with contextlib.suppress(OSError):
            self.flush()

    def _index_key(self, *of: Any) -> Any:
        return *super()._index_key(*of), _constants(self._py_func)


def _constants(function: Any) -> tuple[tuple[str, str], ...]:
    """Numbers and words from outside the function, which become part of its compiled code."""
    known = {name: function.__globals__.get(name) for name in function.__code__.co_names}
    return tuple(
        (name, repr(value))
        for name, value in sorted(known.items())
        if isinstance(value, int | float | str | tuple)
    )
