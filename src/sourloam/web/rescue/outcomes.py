"""How a rescue went, in words."""

from __future__ import annotations

from django.utils.translation import gettext_lazy

from sourloam.web.wording import Words

OUTCOMES: Words = {
    "mended": gettext_lazy("It is well again"),
    "unchanged": gettext_lazy("No change"),
    "lost": gettext_lazy("It was lost"),
    "another_cause": gettext_lazy("It was something else"),
}
