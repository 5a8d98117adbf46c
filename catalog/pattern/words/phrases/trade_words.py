"""The trade's words that the grammar knows, by what they do in a sentence."""

from __future__ import annotations

from typing import Final

from catalog.pattern.words.instruction_values import CutShape
from catalog.pattern.words.phrases.word_sets import words_in

CUT: Final = words_in(
    "cut cuts slice sliced halve halved quartered split divide divided rotary-cut"
)
RECUT: Final = words_in(
    "subcut subcuts sub-cut sub-cuts crosscut crosscuts cross-cut cross-cuts recut re-cut"
)
"""Cutting again what was cut."""
SEW: Final = words_in(
    "sew sewing stitch stitching press pressing join joining arrange baste trim pin nest "
    "repeat draw iron align assemble attach add topstitch appliqué applique hem snip clip "
    "wash discard unfold rotate combine"
)
"""What is done with pieces once they are cut; where a sentence begins so, it cuts nothing."""
SEW_FIRST: Final = SEW | words_in(
    "lay layer bind match rule mark place fold pair piece square center centre flip open "
    "ease measure position stack separate alternate pull turn put set leave keep label sort "
    "save store take finish hang check lightly starch repeat make wind"
)
"""Words that mean sewing only where a sentence begins with them; else they name things too."""
SEWN_THINGS: Final = words_in("seam seams segments segment strip-set strip-sets unit units")
SHAPES: Final[dict[str, CutShape | None]] = {
    **dict.fromkeys(("square", "squares", "sq", "sqs"), "square"),
    **dict.fromkeys(("rectangle", "rectangles", "rect", "rects", "oblongs"), "rectangle"),
    **dict.fromkeys(("strip", "strips"), "strip"),
    **dict.fromkeys(("piece", "pieces", "pcs", "pc", "patch", "patches"), None),
}
"""None: what the sides say."""
TRIANGLES: Final = words_in(
    "triangle triangles hst hsts qst qsts half-square-triangle half-square-triangles"
)
PARTS_OF_QUILT: Final = words_in(
    "block blocks border borders binding backing back sashing sash sashings cornerstone "
    "cornerstones post posts setting centre centres center centers corner corners side sides "
    "inner outer middle first second third top bottom lining edge edges unit units quilt "
    "frame frames hub spokes large small long short extra sashes label sleeve round rounds "
    "row rows end ends wide narrow left right upper lower large star stars point "
    "points batting wadding triangles smaller larger bigger ones"
)
"""Words for places in a quilt and for sizes; no cloth, unless nothing else names it."""
CLOTH_PARTS: Final = words_in(
    "border borders binding backing back sashing cornerstones background lining setting"
)
"""Of those, what cloth is bought for."""
NO_CLOTH_PARTS: Final = words_in(
    "block blocks quilt top unit units row rows piece pieces whole large small long short wide "
    "narrow extra first second third triangles"
)
"""Parts of a quilt that no cloth is called by."""
CLOTH_NOUNS: Final = words_in(
    "fabric fabrics cloth print prints solid solids yardage material fq fqs stripe stripes floral "
    "florals check checks dot dots plaid plaids batik batiks gingham ginghams quarter quarters "
    "scraps scrap colour color colours colors tone tones"
)
COLOURS: Final = words_in(
    "red blue green yellow orange purple pink brown black white grey gray cream navy teal "
    "aqua turquoise tan beige ivory gold silver rust plum lilac lavender mint olive coral "
    "peach violet charcoal khaki burgundy maroon light lights medium mediums dark darks print "
    "prints solid solids background assorted scrappy low-volume reds blues greens yellows "
    "oranges purples pinks browns blacks whites greys creams navies floral stripe stripes "
    "striped check checked plaid dot dots dotted spotted linen muslin calico denim ecru "
    "neutral neutrals pale bright"
)
"""That a word among them stands for cloth needs no heading."""
ARTICLES: Final = words_in("the a an your this that some any each every same all")
LEFT_OVER: Final = words_in(
    "remaining leftover left-over remainder rest leftovers remains remain remnant offcuts offcut"
)
PRONOUNS: Final = words_in("these them it those which this that strip strips one ones latter each")
FUNCTION: Final = words_in(
    "ea for from of into in to with and or at on by per as so that which should is are be will "
    "would then than if when until you you'll we what where i it its them these those they he "
    "she do does not no but because about after before up down out off over under between "
    "while again more measuring measure measures wide long high tall deep x gives give get "
    "gets make makes making made yield yields yielding need needs needed use uses using used "
    "have has had totaling total totalling first next finally also only just once twice cut "
    "cuts note see includes including include across along through remaining leftover "
    "left-over rest hold must can may want wants "
    "come comes took had went gave got keeping saving leaving anything whatever something buy"
)
"""Words that end the name of a cloth."""
NOTES: Final = words_in(
    "finished finishes finishing finish measures measure unfinished seam seams allowance "
    "allowances batting wadding interfacing ruler rulers template templates needle thread "
    "usable weighs degrees minutes template scale foundation paper freezer"
)
"""Words that tell of sizes that aren't cut."""
YARDS_OF_FAT: Final = {
    **{"quarter": 4, "quarters": 4, "eighth": 8, "eighths": 8},
    **{"sixteenth": 16, "sixteenths": 16},
}
"""Parts of a yard in fat quarters and fat eighths."""
COLUMN_NAMES: Final[dict[str, str]] = {
    **dict.fromkeys(
        ("fabric", "cloth", "colour", "color", "fabrics", "material", "print"), "cloth"
    ),
    **dict.fromkeys(("from", "fabric/colour"), "cloth"),
    **dict.fromkeys(("piece", "part", "patch", "letter", "label", "unit", "name", "shape"), "part"),
    **dict.fromkeys(("qty", "quantity", "number", "no", "count", "many", "pieces", "#"), "count"),
    **dict.fromkeys(("cut", "size", "sizes", "dimensions", "measurement", "squares"), "text"),
    **dict.fromkeys(("then", "subcut", "second", "subcuts", "crosscut", "sub-cut"), "then"),
    **dict.fromkeys(("strips", "notes", "note", "for", "use"), "text"),
    **dict.fromkeys(("first", "diagonal", "instructions", "cutting", "what", "to"), "text"),
    "how": "how",
    **dict.fromkeys(("width", "wide", "w"), "width"),
    **dict.fromkeys(("length", "long", "height", "high", "l", "h"), "length"),
    **dict.fromkeys(("yards", "yardage", "yard", "yds", "buy"), "yards"),
    **dict.fromkeys(("metres", "meters", "m"), "metres"),
}
"""What stands in a column of a table, by a word of its head."""
SECTIONS: Final = words_in(
    "please now following below list cutting cut instructions instruction directions "
    "materials material requirements requirement fabric fabrics supplies need needs yardage "
    "list chart pieces shopping what to you will the for and all quilt sizes size guide plan"
)
"""Headings made of these alone name no cloth."""
_ENDING: Final = words_in("cut cuts more once twice long wide total out up down off high tall deep")
"""Words of `FUNCTION` with which a line may well end."""
DANGLING: Final = (FUNCTION - _ENDING) | ARTICLES | {"cut", "x"}
"""A line that ends so goes on in the next."""
