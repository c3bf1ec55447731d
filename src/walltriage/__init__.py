"""walltriage: does something stand on this wall?

An expert system for walls in light-frame houses.  ``knowledge``, ``case`` and
``structure`` stand at the bottom and import none of the others; ``inference``
builds on them; ``interview``, ``report`` and ``study`` build on ``inference``;
``cli`` ties the rooms together.
"""

__version__ = "0.4.0"
