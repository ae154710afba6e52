#!/usr/bin/env python3
"""Makes barwright-lettering.ttf and .woff2, the one face that drawings are lettered in.

It is a subset of B612 Regular (SIL Open Font License 1.1, no reserved font name) with drafting
symbols added at their Unicode points. h is the height of a capital; the symbols keep the usual
proportions of ASME Y14.5 and ISO 129-1 (from memory). Hinting and kerning are dropped, so that
the sum of the advances is the width of a word in every reader.

To run it, in an empty folder:
    python3 -m venv env && env/bin/pip install fonttools brotli
    npm pack @fontsource/b612 && tar xf fontsource-b612-*.tgz
    env/bin/python PATH/make_lettering.py package/files/b612-latin-400-normal.woff2 PATH
where PATH is the folder of this script. The result is committed; nothing else needs it to run.
"""
import math
import os
import sys

from fontTools import subset
from fontTools.pens.ttGlyphPen import TTGlyphPen
from fontTools.ttLib import TTFont

NAME = "Barwright Lettering"
source, folder = sys.argv[1], sys.argv[2]

font = TTFont(source, recalcTimestamp=False)
font.flavor = None
h = font["OS/2"].sCapHeight
stem = h * 0.105  # the stem of the letters themselves
side = 0.15 * h  # white on either side of a symbol

known = font.getBestCmap()
wanted = list(range(0x20, 0x7F)) + list(range(0xA0, 0x100)) + [0x152, 0x153, 0x178]
wanted += [0x2013, 0x2014, 0x2018, 0x2019, 0x201C, 0x201D, 0x2026, 0x20AC, 0x2212]
wanted = [code for code in wanted if code in known and code != 0xAD]
options = subset.Options()
options.layout_features = []
options.hinting = False
options.notdef_outline = True
options.glyph_names = True
options.name_IDs = [0, 1, 2, 3, 4, 5, 6, 13, 14]
options.drop_tables += ["GSUB", "GPOS", "GDEF", "DSIG", "kern", "STAT", "FFTM"]
cutter = subset.Subsetter(options)
cutter.populate(unicodes=wanted)
cutter.subset(font)


def shape(pen, points):
    pen.moveTo(points[0])
    for point in points[1:]:
        pen.lineTo(point)
    pen.closePath()


def stroke(pen, a, b):
    dx, dy = b[0] - a[0], b[1] - a[1]
    length = math.hypot(dx, dy)
    nx, ny = -dy / length * stem / 2, dx / length * stem / 2
    shape(pen, [(a[0] + nx, a[1] + ny), (b[0] + nx, b[1] + ny), (b[0] - nx, b[1] - ny), (a[0] - nx, a[1] - ny)])


def circle(pen, centre, radius, clockwise):
    n = 8
    corner = radius / math.cos(math.pi / n)
    turn = [2 * math.pi * i / n for i in range(n + 1)]
    if clockwise:
        turn.reverse()
    at = lambda r, a: (centre[0] + r * math.cos(a), centre[1] + r * math.sin(a))
    pen.moveTo(at(radius, turn[0]))
    for a, b in zip(turn, turn[1:]):
        pen.qCurveTo(at(corner, (a + b) / 2), at(radius, b))
    pen.closePath()


def ring(pen, centre, radius):
    circle(pen, centre, radius + stem / 2, True)
    circle(pen, centre, radius - stem / 2, False)


def diameter(pen):  # circle of diameter h, slash 1.5 h long at 60 degrees
    centre = (side + 0.55 * h, h / 2)
    ring(pen, centre, h / 2 - stem / 2)
    dx, dy = math.cos(math.radians(60)) * 0.75 * h, math.sin(math.radians(60)) * 0.75 * h
    stroke(pen, (centre[0] - dx, centre[1] - dy), (centre[0] + dx, centre[1] + dy))


def counterbore(pen):
    shape(pen, [(side, h), (side + stem, h), (side + stem, stem), (side + 2 * h - stem, stem),
                (side + 2 * h - stem, h), (side + 2 * h, h), (side + 2 * h, 0), (side, 0)])


def countersink(pen):
    stroke(pen, (side + stem * 0.35, h - stem * 0.35), (side + h, stem * 0.35))
    stroke(pen, (side + h, stem * 0.35), (side + 2 * h - stem * 0.35, h - stem * 0.35))


def depth(pen):
    shape(pen, [(side, h), (side + h, h), (side + h, h - stem), (side, h - stem)])
    stroke(pen, (side + h / 2, h - stem / 2), (side + h / 2, 0.3 * h))
    shape(pen, [(side + h / 2, 0), (side + h / 4, 0.5 * h), (side + 0.75 * h, 0.5 * h)])


def square(pen):
    shape(pen, [(side, 0), (side, h), (side + h, h), (side + h, 0)])
    shape(pen, [(side + stem, stem), (side + h - stem, stem), (side + h - stem, h - stem), (side + stem, h - stem)])


def perpendicular(pen):
    shape(pen, [(side, 0), (side, stem), (side + 1.5 * h, stem), (side + 1.5 * h, 0)])
    middle = side + 0.75 * h
    shape(pen, [(middle - stem / 2, 0), (middle - stem / 2, 1.2 * h), (middle + stem / 2, 1.2 * h), (middle + stem / 2, 0)])


def parallel(pen):
    for k in (0.35, 0.95):
        stroke(pen, (side + k * h - 0.2 * h, -0.1 * h), (side + k * h + 0.3 * h, 1.1 * h))


def flat(pen):
    corners = [(side, 0), (side + 0.5 * h, h), (side + 1.75 * h, h), (side + 1.25 * h, 0)]
    for a, b in zip(corners, corners[1:] + corners[:1]):
        stroke(pen, a, b)


def position(pen):
    centre = (side + 0.9 * h, h / 2)
    ring(pen, centre, 0.5 * h)
    stroke(pen, (side, h / 2), (side + 1.8 * h, h / 2))
    stroke(pen, (centre[0], h / 2 - 0.9 * h), (centre[0], h / 2 + 0.9 * h))


def at_most(pen):
    stroke(pen, (side + 0.9 * h, 0.95 * h), (side, 0.6 * h))
    stroke(pen, (side, 0.6 * h), (side + 0.9 * h, 0.25 * h))
    stroke(pen, (side, stem / 2), (side + 0.9 * h, stem / 2))


def root(pen):
    stroke(pen, (side, 0.5 * h), (side + 0.35 * h, 0))
    stroke(pen, (side + 0.35 * h, 0), (side + 0.8 * h, 1.2 * h))
    stroke(pen, (side + 0.8 * h, 1.2 * h), (side + 1.3 * h, 1.2 * h))


def bracket(left):
    # The base face has brackets so square that "(5)" reads as "[5]", which on a drawing is a size
    # in the other unit. These are arcs.
    def draw(pen):
        radius, half, n = 1.0 * h, math.radians(44), 12
        deep = radius * (1 - math.cos(half))
        def at(r, a):
            x = radius - r * math.cos(a)
            return (side + stem / 2 + (x if left else deep - x), 0.5 * h + r * math.sin(a))
        turns = [half * (2 * i / n - 1) for i in range(n + 1)]
        points = [at(radius + stem / 2, a) for a in turns] + [at(radius - stem / 2, a) for a in reversed(turns)]
        shape(pen, points if not left else list(reversed(points)))
    return draw


symbols = {
    0x28: (0.4, bracket(True)), 0x29: (0.4, bracket(False)),
    0x2300: (1.1, diameter), 0x2334: (2.0, counterbore), 0x2335: (2.0, countersink), 0x21A7: (1.0, depth),
    0x25A1: (1.0, square), 0x27C2: (1.5, perpendicular), 0x2225: (1.5, parallel), 0x23E5: (1.75, flat),
    0x2316: (1.8, position), 0x2264: (0.9, at_most), 0x221A: (1.3, root),
}
names = {code: font.getBestCmap().get(code, "uni%04X" % code) for code in symbols}
order = font.getGlyphOrder() + [name for name in names.values() if name not in font.getGlyphOrder()]
for code, (width, draw) in symbols.items():
    pen = TTGlyphPen(None)
    draw(pen)
    glyph = pen.glyph()
    name = names[code]
    font["glyf"].glyphs[name] = glyph
    glyph.recalcBounds(font["glyf"])
    font["hmtx"].metrics[name] = (round(width * h + 2 * side), glyph.xMin)
    for table in font["cmap"].tables:
        table.cmap[code] = name
font.setGlyphOrder(order)
font["glyf"].glyphOrder = order
font["maxp"].numGlyphs = len(order)
for record in font["name"].names:
    if record.nameID in (1, 16):
        record.string = NAME
    elif record.nameID == 3:
        record.string = NAME + " 1.0"
    elif record.nameID == 4:
        record.string = NAME + " Regular"
    elif record.nameID == 6:
        record.string = NAME.replace(" ", "") + "-Regular"

target = os.path.join(folder, "barwright-lettering")
font.save(target + ".ttf")
again = TTFont(target + ".ttf", recalcTimestamp=False)
again.flavor = "woff2"
again.save(target + ".woff2")
print(len(order), "glyphs,", os.path.getsize(target + ".ttf"), "bytes ttf,", os.path.getsize(target + ".woff2"), "bytes woff2,",
      "capital height / em =", h / font["head"].unitsPerEm)
