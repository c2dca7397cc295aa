"""Setting a place up: sliders, the quick plan, what then stands there."""
