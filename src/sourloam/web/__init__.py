"""The pages: what people see and touch, on a phone in a cold shed first of all.

A Django app without models. ``urls`` lists the pages; ``views`` holds one module a page: it asks
``reading``, the only door to the logbook's store, and renders what the folder of its subject
(``place``, ``vessel``, ``ground``, ``bran``, ``rescue``, ``setup``, ``programmes``, ``try_it``,
``finding``) makes of it. ``forms`` and ``log`` write down; ``wording`` holds the words.
"""
