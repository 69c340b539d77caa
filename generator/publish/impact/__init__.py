"""What a change does to the published guide: two states of a publication, computed and compared.

* model    the report as plain data
* compare  reads two states, compares them and returns the report
* record   `impact --record`: keeps what is published on a day

* states   opens and reads a state: `revisions` (git), `sides` (files), `pairing` (which bike is which)
* changes  finds what differs: `tables` (figures of both states), `moves`, `leaves`, `why` and `idle` (changed figures
           and their causes), `ranks`, `standings`, `lists`, `live_text`, `spec_keys`, `settings`, `pages`
* report   formats the report: `telling`, `as_text`, `as_markdown`, `as_json`, `wording`, `wording_lists`
"""
