"""Commands that count a bundle against a pattern, and the pages made from a count.

In: photos or a kept bundle, and what is asked of it. Out: the count in words or JSON, its tables
and pictures in a folder, and the report. `count_options` says what may be typed; `typed_count`
checks it once and makes the one `catalog.count_request.CountRequest` that all else takes.
"""
