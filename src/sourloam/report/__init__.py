"""Answers made readable in the terminal and visible as charts: plans, gardens, what it all brings.

- ``text``, ``garden_text``, ``impact_text``: an answer as pages of text, with ``page`` for blocks
  and ``quantities`` for figures with their ranges.
- ``chart``, ``impact_chart``: an answer as pictures; ``saving`` makes files of them.

Each is loaded by itself, as charts need more than text does.
"""
