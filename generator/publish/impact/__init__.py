"""What a change does to the published guide: two states of a publication, computed and compared.

Gathering: `revisions` (git), `sides` (read), `pairing` (which bike is which), `tables` (compute).
Comparing: `moves` and `why`, `ranks`, `lists`, `live_text`, `spec_keys`, `settings`, `pages`.
Telling:   `as_text`, `as_markdown`, `as_json`. `compare.impact` ties them together.
"""
