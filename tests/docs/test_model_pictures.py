"""The pictures of the two models are those that the drawings make today."""

from pathlib import Path

from tools.model_pictures import trench, vessel

FIGURES = Path(__file__).parents[2] / "docs/figures"


def test_the_pictures_of_the_models_are_up_to_date():
    """Renew them with ``python tools/model_pictures.py``."""
    for name, drawn in (("vessel", vessel()), ("soil", trench())):
        assert (FIGURES / f"model-{name}.svg").read_text(encoding="utf-8") == drawn + "\n", name
