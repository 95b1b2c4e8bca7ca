"""Makes scantling.ttf: see README.md in this folder."""
import sys
from fontTools.ttLib import TTFont
from fontTools import subset

source, target = sys.argv[1:3]
font = TTFont(source, recalcTimestamp=False)

# Figures of equal width, a capital I with serifs, a small l with a tail: plain substitutions of the font itself.
def substitutions(tag):
    table, found = font["GSUB"].table, {}
    for record in table.FeatureList.FeatureRecord:
        if record.FeatureTag == tag:
            for place in record.Feature.LookupListIndex:
                for part in table.LookupList.Lookup[place].SubTable:
                    part = getattr(part, "ExtSubTable", part)
                    if hasattr(part, "mapping"):
                        found.update(part.mapping)
    return found

wanted = {}
for tag, characters in [("cv08", "I"), ("cv05", "l"), ("tnum", "0123456789")]:
    mapping = substitutions(tag)
    for character in characters:
        for table in font["cmap"].tables:
            name = table.cmap.get(ord(character))
            if name in mapping:
                table.cmap[ord(character)] = mapping[name]

characters = set(range(0x20, 0x7F)) | set(range(0xA0, 0x180)) | {ord(c) for c in "×±°″′–—‘’“”…⁄½¼¾→↑←↓≤≥≈²³·•✓Ø€−√"}
options = subset.Options()
options.layout_features = []
options.hinting = False
options.notdef_outline = True
options.glyph_names = False
options.name_IDs = ["*"]
options.drop_tables += ["GSUB", "GPOS", "GDEF", "STAT", "meta", "DSIG", "gasp"]
subsetter = subset.Subsetter(options)
subsetter.populate(unicodes=characters)
subsetter.subset(font)

names = {1: "Scantling", 2: "Regular", 3: "Scantling Regular 1", 4: "Scantling Regular", 5: "Version 1.000", 6: "Scantling-Regular"}
keep = {n.nameID: str(n) for n in font["name"].names if n.nameID in (0, 13, 14)}
font["name"].names = []
for number, text in sorted({**names, **keep}.items()):
    font["name"].setName(text, number, 3, 1, 0x409)
font.save(target)
missing = [chr(c) for c in sorted(characters) if c not in font.getBestCmap()]
widths = {font["hmtx"][font.getBestCmap()[ord(c)]][0] for c in "0123456789"}
print("missing", missing, "figure widths", widths, "per em", font["head"].unitsPerEm)
