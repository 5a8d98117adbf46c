"""The usual cautions for the cutting table, and the tests that the real cloth has to pass."""

from __future__ import annotations

from typing import Final

CAUTIONS: Final = (
    "Rotary cutter: close the guard after every cut, cut away from yourself, keep the fingers back "
    "from the ruler's edge, and never catch a cutter that falls.",
    "Change a dull blade: it needs force, and slips. Tape up the old one before you throw it away.",
    "Keep cutters, needles and pins where no child and no animal gets at them, and count the pins.",
    "Iron: cord out of the way, and unplug it before you leave the room.",
    "Needles and pins: take each pin out before the needle reaches it, and foot off the pedal when "
    "you thread.",
    "What the makers of your cutter, iron and machine say comes before any of this.",
    "Before you cut, wash and press a measured scrap of each cloth: measure again to see how much "
    "it shrinks, and lay it wet on white cloth to see whether its colour bleeds.",
)
"""Rotary cutter: https://thepatchworkgarden.co.uk/blog/using-a-rotary-cutter and
https://nationalquilterscircle.com/video/rotary-cutter-safety-004014. Blades and children:
http://www.scribblerdesigns.com/my-blog/category/some-things-not-included-in-the-directions;
animals: `common practice`. Iron: https://b-quilts.com/blog/?p=2684. Needles and pins:
https://nationalsewingcircle.com/video/sewing-room-safety-007512. Tests on the cloth: `common
practice`."""
