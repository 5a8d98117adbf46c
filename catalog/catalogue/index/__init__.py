"""The index by which all bundles are looked through: bundles in, packed parts out, and back.

It follows from what is kept and is never believed over it. `colour_index` packs squares and their
colours, `pairing_index` what was said of sets, `picture_index` which squares a bundle's picture
shows, `index_rows` keeps the parts with the digest of what they were made from, and `index_writing`
writes them with every change and compares them.
"""
