"""Templates as an earlier build compiled them, so that a build after a small edit need not.

A template is compiled again where its text is another, or the program: Jinja looks at the one, the store's key tells the
other.
"""

from jinja2.bccache import Bucket, BytecodeCache

from generator.publish.cache.inputs import Inputs
from generator.publish.cache.store import Store


class TemplatesKept(BytecodeCache):
    def __init__(self, store: Store, inputs: Inputs | None) -> None:
        self._store = store
        self._key = f"templates\n{inputs.program}" if inputs else ""
        self._known: dict[str, bytes] = store.get(self._key) or {}
        self._new: dict[str, bytes] = {}

    def load_bytecode(self, bucket: Bucket) -> None:
        if bucket.key in self._known:
            bucket.bytecode_from_string(self._known[bucket.key])

    def dump_bytecode(self, bucket: Bucket) -> None:
        self._new[bucket.key] = bucket.bytecode_to_string()

    def keep(self) -> None:
        """Put into the store what was compiled in this process."""
        if self._new:
            self._store.put(self._key, self._known | self._new)
