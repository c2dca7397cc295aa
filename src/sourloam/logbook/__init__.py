"""The logbook's store: who looks after which place, and every entry ever written there.

A Django app, so nothing is imported here; its modules by what they do:

- ``settings``, ``databases``, ``data_folder``: how it is set up; one folder holds everything.
- ``models``: places, roles, links to join, entries, photos, forecasts kept.
- ``permissions``: the one table of who may do what.
- ``recording``: ``record_entry``, the only way in for an entry.
- ``standing``: ``state_of`` a place, folded from its entries and kept in memory.
- ``foreseeing``, ``renewing``, ``foreseeing_process``: forecasts, computed beside the server;
  ``foreseeing_all``, ``foreseeing_away``: all of them now, over processes or machines.
- ``programmes``: programmes of places, their people, log, mornings and rounds;
  ``summarising``: what they know of each place, kept ready.
- ``achieving``, ``saving``: what places achieved, reckoned beside the server, and added up.
- ``chain``: whether entries are still what they were when they came in.
- ``people``, ``photos``, ``signing_in``: the first keeper, places, links, photos, preferences.
- ``tokens``, ``calendar_addresses``: what programs come in with.
- ``serving``: the server that ``sourloam serve`` starts; ``demo``: what the demo puts into it.
"""
