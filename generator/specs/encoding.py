"""Values as bytes and back, and the fingerprint of values.

The bytes are MessagePack, which holds data and nothing that runs when it is read. Dataclasses, named tuples, dates and
numpy arrays come back as the type that the reader asks for.

* encode        a value as bytes
* decode        a value of a known type from bytes
* fingerprint   a hash by which values can be told apart
"""

import hashlib
from typing import Any, TypeVar

import msgspec

V = TypeVar("V")


def encode(value: Any) -> bytes:
    """Return a value as bytes, the same for equal values whose mappings have the same order."""
    return _ENCODER.encode(value)


def decode(kind: type[V], data: bytes) -> V:
    """Return the value of type `kind` that `encode` wrote.

    Raises
    ------
    ValueError
        When the bytes hold no such value; msgspec's errors are ValueErrors.
    """
    try:
        return msgspec.msgpack.decode(data, type=kind, dec_hook=_read_array)
    except RecursionError as error:
        raise ValueError("the bytes hold lists within lists without end") from error


def fingerprint(*parts: object) -> str:
    """Return a hash (SHA-256) of the parts: of text and bytes as they are, of anything else by its `repr`."""
    whole = hashlib.sha256()
    for part in parts:
        if not isinstance(part, bytes):
            text = part if isinstance(part, str) else repr(part)
            part = text.encode("utf-8", "surrogatepass")
        whole.update(b"%d:" % len(part) + part)
    return whole.hexdigest()


def _write_array(value: Any) -> Any:
    import numpy as np

    if isinstance(value, np.ndarray):
        return str(value.dtype), value.shape, value.tobytes()
    if isinstance(value, np.generic):
        return value.item()
    raise TypeError(f"{type(value).__name__} has no place in the encoding")


def _read_array(kind: Any, value: Any) -> Any:
    import numpy as np

    dtype, shape, data = value
    return np.frombuffer(data, dtype).reshape(shape)


_ENCODER = msgspec.msgpack.Encoder(enc_hook=_write_array)
