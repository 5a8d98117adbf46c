"""What a person says or does about a bundle: events in, the bundle as it then stands out.

Each kind of event is one class: its fields, what follows from it, and its sentence for the history.
`event_kinds` lists them all and reads them; `projection` applies them to what the photos said.
"""
