"""Line drawings in black and white, for the screen and for paper.

In comes what is to be shown, such as a `ClothLayout`; `plan_drawing` makes a `Drawing` of it, in
millimetres on paper, and nothing else knows what it shows: `drawing_jpeg` makes a picture of a
drawing, `drawing_svg` a part of a page, `drawing_on_paper` puts it on a sheet of a PDF.
"""
