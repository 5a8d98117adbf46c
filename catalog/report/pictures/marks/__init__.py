"""A picture and where a piece of cloth lies in it, in; the marks are drawn onto the picture."""
