"""The sections of a plan, each made from the computed work and put into words."""
