"""The second door, for devices on the user's own network: codes in, who is let in out.

It is shut until it is asked for, listens on one private address, and ends with the page. What a
device may do is what `table_app` lists: it has an application of its own, with fewer addresses.
"""
