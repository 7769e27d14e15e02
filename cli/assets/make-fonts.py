"""Cut the bundled faces from Fira Sans. See README.md beside this file."""

import sys

from fontTools import subset
from fontTools.ttLib import TTFont

FAMILY = "Earline Sans"
# Letters of scene titles and names: Latin, Greek, Cyrillic; then marks that the pictures use.
LETTERS = "U+0020-007E,U+00A0-017F,U+0218-021B,U+0391-03A9,U+03B1-03C9,U+0410-044F,U+0401,U+0451"
MARKS = (
    "U+2009,U+2013,U+2014,U+2018-201E,U+2022,U+2026,U+2153,U+2154,U+215B-215E,"
    "U+2190-2193,U+2202,U+2206,U+221A,U+2212,U+2248,U+2260,U+2264,U+2265"
)


def cut(source: str, style: str, target: str) -> None:
    options = subset.Options()
    # Kerning stays; everything that swaps letters goes, so that widths are sums of advances.
    options.layout_features = ["kern"]
    options.hinting = False
    options.name_IDs = [0, 1, 2, 4, 5, 6, 13, 14]
    options.recalc_timestamp = False
    font = TTFont(source, recalcTimestamp=False)
    digits_of_one_width(font)
    cutter = subset.Subsetter(options)
    cutter.populate(unicodes=subset.parse_unicodes(f"{LETTERS},{MARKS}"))
    cutter.subset(font)
    for record in font["name"].names:
        new = {1: FAMILY, 2: style, 4: f"{FAMILY} {style}", 6: f"EarlineSans-{style}"}
        if record.nameID in new:
            record.string = new[record.nameID]
    font["OS/2"].usWeightClass = {"Regular": 400, "Semibold": 600}[style]
    font.save(f"{target}.ttf")
    font.flavor = "woff2"
    font.save(f"{target}.woff2")


def digits_of_one_width(font: TTFont) -> None:
    """Point the digits at the face's own tabular forms, so that columns of figures line up."""
    gsub = font["GSUB"].table
    wanted = {i for r in gsub.FeatureList.FeatureRecord if r.FeatureTag == "tnum" for i in r.Feature.LookupListIndex}
    swap = {}
    for index in sorted(wanted):
        for table in gsub.LookupList.Lookup[index].SubTable:
            swap.update(getattr(table, "ExtSubTable", table).mapping)
    for table in font["cmap"].tables:
        for code in range(ord("0"), ord("9") + 1):
            if code in table.cmap:
                table.cmap[code] = swap.get(table.cmap[code], table.cmap[code])


if __name__ == "__main__":
    regular, semibold = sys.argv[1:3]
    cut(regular, "Regular", "earline-sans-regular")
    cut(semibold, "Semibold", "earline-sans-semibold")
