"""The JSON API: what the pages do, for programs and sensors that hold a token.

``urls`` mounts it, ``document`` describes it (OpenAPI 3.1). Every answer is made by the functions
that the pages call; every refusal is one ``problem+json`` line.
"""
