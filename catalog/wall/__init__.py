"""The design wall: in come a quilt, its layout and the chosen sets; out goes a `WallPlan`.

`wall_plan` is the order of the steps: what each block is made of (`block_contents`), where it hangs
(`arrangement`), where its pieces go (`block_sides`, `piece_places`, `leftover_pieces`) and how its
seams are pressed (`wall_pressing`: `quilt_seams`, `pressing`, `pressing_words`). `exchanged_blocks`
hangs blocks where a person wants them, `contrast` says what would be lost on its background.
`put_right` is what follows from a photo of the wall.
"""
