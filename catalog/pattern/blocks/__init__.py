"""Blocks told by their colours: in come known blocks or a drawn one, out go pieces and a pattern.

`known_blocks` reads ``known-blocks.toml``, blocks of the public domain with their sources.
`coloured_block` is a block whose units name colours instead of pieces; `block_pieces` finds what is
cut for them at a size; `block_text` writes that as a pattern file.
"""
