"""Sourced values: TOML tables and one typed loader; no other room holds a constant of nature.

A table is a file ``tables/TOPIC.toml`` of rows whose ids begin with ``TOPIC.``.
``book()`` reads them all once; ``Book.central`` and ``Book.sample`` hand the values on
as one explicit ``Parameters`` object.
"""

from sourloam.evidence.book import Book, EvidenceError, book
from sourloam.evidence.parameters import Parameters
from sourloam.evidence.row import DISTRIBUTIONS, STANDINGS, Row

__all__ = ["DISTRIBUTIONS", "STANDINGS", "Book", "EvidenceError", "Parameters", "Row", "book"]
