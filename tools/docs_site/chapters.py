"""Which documents the site has, by what a reader came for."""

from __future__ import annotations

from dataclasses import dataclass


@dataclass(frozen=True)
class Chapter:
    """A heading of the contents and its pages: file in the repository, word in the contents."""

    title: str
    pages: tuple[tuple[str, str], ...]


CHAPTERS = (
    Chapter("Begin", (("README.md", "What it does"), ("CHANGELOG.md", "What is new"))),
    Chapter(
        "Do the work",
        (
            ("docs/guide.md", "The guide, task by task"),
            ("docs/commands.md", "The commands"),
            ("docs/site-file.md", "Describe a place"),
            ("docs/reading-a-plan.md", "Read a plan"),
            ("docs/rescue.md", "When something is wrong"),
            ("docs/bran.md", "Make bran"),
            ("docs/documents.md", "Print cards and sheets"),
            ("docs/impact.md", "Say what it achieved"),
            ("docs/programmes.md", "Look after many places"),
        ),
    ),
    Chapter(
        "How do we know?",
        (
            ("docs/model.md", "The vessel in equations"),
            ("docs/soil-model.md", "The soil in equations"),
            ("docs/forecast.md", "How it learns"),
            ("docs/failing.md", "The chance of failing"),
            ("docs/validation.md", "Beside published figures"),
            ("docs/speed.md", "How fast and exact"),
        ),
    ),
    Chapter(
        "Keep it running",
        (
            ("docs/operations.md", "Install, copy, look after"),
            ("docs/exchange.md", "In and out"),
            ("docs/api.md", "Programs and sensors"),
            ("docs/entries.md", "Every kind of entry"),
        ),
    ),
    Chapter(
        "Change it",
        (
            ("CONTRIBUTING.md", "A first change"),
            ("rooms", "The rooms of the house"),
            ("docs/look.md", "The look"),
            ("docs/tasks.md", "Ten tasks on a phone"),
            ("docs/words.md", "Every word shown"),
        ),
    ),
)
