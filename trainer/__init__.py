"""Topping Out: apprentice training, quizzes and roof clearance for masonry chimney-top work.

Layers, lowest first (each imports only those before it):

    calc → drawings, clearance → questions → lessons → records → web → cli
"""

__version__ = "0.1.0"
