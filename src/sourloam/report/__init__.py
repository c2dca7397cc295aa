"""The plan made readable (``text``) and visible (``chart``, ``saving``), each loaded by itself."""
