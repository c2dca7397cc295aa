"""The pages: what people see and touch, on a phone in a cold shed first of all.

A Django app without models. ``urls`` lists the pages; ``views`` holds one module a page;
``reading`` is the only door to the logbook's store.
"""
