"""The units themselves, a folder for each kind and in it a file for each unit.

In come the building blocks of `catalog.cutting.units`; out goes from every module a `UnitKind` or a
`UnitFamily` that holds all that is known of it. `units_by_name` reads them from here, so a file put
into a folder is a unit in every command, pattern and picture.
"""
