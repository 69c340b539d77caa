"""Compiling a function with numba, and keeping the result on disk where that goes well.

* compiled     the decorator
* inner        the same for what only compiled code calls

What is kept only saves time. A file of it that was cut short, a full disk or a place that may not be read must not stop
a computation, and code that was compiled with other constants must not be used: numba looks at the time of the
function's own file alone, while a constant or a function that is called may come from another.
"""

import contextlib
from typing import Any

from numba import njit
from numba.core.caching import FunctionCache


def compiled(function):
    """Compile and keep the result on disk; without a place to keep it (a read-only home), compile anew each time."""
    made: Any = njit(nogil=True, error_model="numpy")(function)
    with contextlib.suppress(RuntimeError, OSError):
        made._cache = _Kept(function)
    return made


def inner(function):
    """Compile into its callers and nothing else; the way in from Python takes longer to make than most functions."""
    options: dict[str, Any] = {"no_cpython_wrapper": True, "no_cfunc_wrapper": True}
    return njit(nogil=True, error_model="numpy", forceinline=True, **options)(function)


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


def _constants(function: Any) -> tuple[tuple[str, Any], ...]:
    """Numbers, words and compiled functions from outside the function, which become part of its compiled code."""
    known = {name: function.__globals__.get(name) for name in function.__code__.co_names}
    return tuple(
        (name, _called(value.py_func) if hasattr(value, "py_func") else repr(value))
        for name, value in sorted(known.items(), key=lambda pair: pair[0])
        if isinstance(value, int | float | str | tuple) or hasattr(value, "py_func")
    )


def _called(function: Any) -> tuple[Any, ...]:
    """What a called function does, as far as it is known without its file."""
    code = function.__code__
    return code.co_code, repr(code.co_consts), code.co_names, _constants(function)
