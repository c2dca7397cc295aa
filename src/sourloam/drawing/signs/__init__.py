"""A small picture for each sign of the rescue, 96 by 66: what one would see, smell or have done."""

from sourloam.drawing.signs.drawn import draw_sign

__all__ = ["draw_sign"]
