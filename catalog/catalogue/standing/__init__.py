"""The sets of a kept bundle that stand: a bundle in, its sets with their numbers out.

`standing_records` holds them, `choices` works out which sets a bundle has and what of that is to be
written down, `shown_sets` writes it, `set_changes` compares sets before and after a change, and
`set_change_words` says that. Which choices hold is told by
`catalog.catalogue.events.standing_events`.
"""
