"""Renders a random trim panel, its truth beside it, with Blender's Cycles.

    blender -b -P testdata/random/panel.py -- SEED DIR [--mode MODE] [--clean] [--scale PERCENT]

makes DIR/random-SEED.jpg and .json. Modes: "plain" is a bit of all; "flat" has all mouths in one plane with the square; "raised" has
bosses and a collar; "hard" adds chamfers, brass inserts, dust, screws' heads, gloss, a shadow's edge, more tilt and blur, small pictures;
"mock" puts a tweeter into the opening; "two" lays two squares before a lens that bends; "three" makes three photos of one panel, and a row
for all of them. --clean leaves edges sharp, paper thin and flat and the lens true. The panel and everything on it is invented by the seed.
Needs Debian's blender, python3-opencv and libimage-exiftool-perl.

Lengths are in mm and the frame is the panel's (see calib's package comment); Blender's unit is UNIT mm.
"""
import argparse
import json
import math
import os
import random
import subprocess
import sys

import bpy
from mathutils import Matrix, Vector

UNIT = 10.0
HALF_SHEET = 39.0  # from the square's middle to the cut line
SAMPLES = 14       # a pixel; what noise is left passes for the sensor's

parser = argparse.ArgumentParser(prog="panel.py")
parser.add_argument("seed", type=int)
parser.add_argument("dir")
parser.add_argument("--mode", choices=["plain", "flat", "raised", "hard", "mock", "two", "three"], default="plain")
parser.add_argument("--clean", action="store_true")
parser.add_argument("--scale", type=int, default=100, help="of a phone's picture size")
args = parser.parse_args(sys.argv[sys.argv.index("--") + 1:])
HARD = args.mode == "hard"
rng = random.Random(args.seed)
between = rng.uniform


def chance(p):
    return rng.random() < p


# Materials and solids


def material(rgb, rough=0.6, gloss=0.3, grain=0.0, mottle=0.0):
    """A plastic, paper or metal; grain is how rough its skin is, mottle by how much its colour varies."""
    m = bpy.data.materials.new("m")
    m.use_nodes = True
    nodes, links = m.node_tree.nodes, m.node_tree.links
    skin = nodes["Principled BSDF"]
    skin.inputs["Base Color"].default_value = (*rgb, 1)
    skin.inputs["Roughness"].default_value = rough
    skin.inputs["Specular"].default_value = gloss
    place = nodes.new("ShaderNodeTexCoord")

    def noise(scale):
        n = nodes.new("ShaderNodeTexNoise")
        n.inputs["Scale"].default_value = scale
        links.new(place.outputs["Object"], n.inputs["Vector"])
        return n.outputs["Fac"]

    if grain:
        bump = nodes.new("ShaderNodeBump")
        bump.inputs["Strength"].default_value = grain
        bump.inputs["Distance"].default_value = 0.01
        links.new(noise(between(4, 20)), bump.inputs["Height"])
        links.new(bump.outputs["Normal"], skin.inputs["Normal"])
    if mottle:
        mix = nodes.new("ShaderNodeMixRGB")
        for i, factor in ((1, 1 - mottle), (2, 1 + mottle)):
            mix.inputs[i].default_value = (*[min(1, c * factor) for c in rgb], 1)
        links.new(noise(between(0.3, 3)), mix.inputs[0])
        links.new(mix.outputs[0], skin.inputs["Base Color"])
    return m


def grey(low, high):
    return [between(low, high)] * 3


def slab(outline, openings, low, high, skin, fillet=0.0, facets=6):
    """A flat solid between two heights. Its edges are rounded, or chamfered by one facet: it grows out of the outline, and into the
    openings, by the fillet."""
    c = bpy.data.curves.new("slab", "CURVE")
    c.dimensions, c.fill_mode = "2D", "BOTH"
    for polygon in [outline] + openings:
        s = c.splines.new("POLY")
        s.points.add(len(polygon) - 1)
        for p, (x, y) in zip(s.points, polygon):
            p.co = (x / UNIT, y / UNIT, 0, 1)
        s.use_cyclic_u = True
    c.bevel_depth, c.bevel_resolution = fillet / UNIT, facets - 1
    c.extrude = max(0, (high - low) / 2 - fillet) / UNIT
    c.materials.append(skin)
    o = bpy.data.objects.new("slab", c)
    o.location.z = (low + high) / 2 / UNIT
    bpy.context.scene.collection.objects.link(o)


def circle(x, y, r):
    n = int(min(360, max(24, 24 * r)))
    r /= math.sqrt(math.cos(math.pi / n))  # as much outside the polygon as inside
    return [(x + r * math.cos(2 * math.pi * i / n), y + r * math.sin(2 * math.pi * i / n)) for i in range(n)]


def oblong(x, y, length, width, turn, corner=1.0):
    """A rectangle with round corners; a slot when the corner is half its width."""
    points = []
    for i in range(4 * 9):
        t = math.radians(90 * (i // 9) + 90 * (i % 9) / 8)
        px = (1 if i // 9 in (0, 3) else -1) * (length / 2 - corner) + corner * math.cos(t)
        py = (1 if i // 9 in (0, 1) else -1) * (width / 2 - corner) + corner * math.sin(t)
        points.append((x + px * math.cos(turn) - py * math.sin(turn), y + px * math.sin(turn) + py * math.cos(turn)))
    return points


# The reference square


def square_code(number):
    """Rows of the code from the top left, true for black, by calib/square.go: written anew, so that each checks the other."""
    crc = 0xB704CE ^ number << 16  # CRC-24 of RFC 4880, 6.1
    for _ in range(8):
        crc <<= 1
        if crc & 0x1000000:
            crc ^= 0x1864CFB
    word, at = number << 24 | crc & 0xFFFFFF, 31
    rows = [[False] * 6 for _ in range(6)]
    for r in range(6):
        for c in range(6):
            if r in (0, 5) and c in (0, 5):
                rows[r][c] = (r, c) != (0, 0)
            else:
                rows[r][c] = bool(word >> at & 1)
                at -= 1
    return rows


def sheet(number, size, bend, at=(0, 0), turned=0):
    """The printed square: a face for each cell, so that its edges are exact; bent about one line by so many mm at the edge."""
    code, turn, parts = square_code(number), between(0, math.pi), 3
    lines = [-6.5] + [i - 5 for i in range(11)] + [6.5]
    corners, faces, black = [], [], []
    for r in range(12):
        for c in range(12):
            row, column = 10 - r, c - 1
            inside = 0 <= row <= 9 and 0 <= column <= 9
            frame = inside and (row in (0, 9) or column in (0, 9))
            coded = 2 <= row <= 7 and 2 <= column <= 7 and code[row - 2][column - 2]
            for i in range(parts * parts):
                for u, v in ((0, 0), (1, 0), (1, 1), (0, 1)):
                    x = (lines[c] + (lines[c + 1] - lines[c]) * (i % parts + u) / parts) * size[0] / 10
                    y = (lines[r] + (lines[r + 1] - lines[r]) * (i // parts + v) / parts) * size[1] / 10
                    z = bend * ((x * math.cos(turn) + y * math.sin(turn)) / HALF_SHEET) ** 2
                    a, b = math.cos(turned), math.sin(turned)
                    corners.append(((at[0] + a * x - b * y) / UNIT, (at[1] + b * x + a * y) / UNIT, z / UNIT))
                faces.append(tuple(range(len(corners) - 4, len(corners))))
                black.append(frame or coded)
    mesh = bpy.data.meshes.new("sheet")
    mesh.from_pydata(corners, [], faces)
    mesh.materials.append(material(grey(0.7, 0.85), 0.85, 0.2))
    mesh.materials.append(material(grey(0.015, 0.05), between(0.3, 0.8)))
    for face, ink in zip(mesh.polygons, black):
        face.material_index = int(ink)
    bpy.context.scene.collection.objects.link(bpy.data.objects.new("sheet", mesh))


# The panel


class Panel:
    """Draws a panel and keeps its truth."""

    def __init__(self):
        kind = rng.choice(["dark", "dark", "grey", "grey", "light", "colour"])
        value = {"dark": between(0.012, 0.05), "grey": between(0.08, 0.3), "light": between(0.45, 0.75), "colour": between(0.1, 0.35)}[kind]
        spread = (0.3, 1.2) if kind == "colour" else (0.92, 1.08)
        self.colour = [min(0.9, value * between(*spread)) for _ in range(3)]
        self.skin = material(self.colour, between(0.12 if HARD else 0.3, 0.75), between(0.2, 0.5), rng.choice([0, between(0.05, 0.6)]), rng.choice([0, 0, between(0.02, 0.12)]))
        self.bend = 0 if args.clean else rng.choice([0, between(-0.15, 0.15)])  # of the sheet
        self.face = -0.01 if args.clean else -rng.choice([0.01, 0.1, 0.1])  # below the print by the paper's thickness,
        self.face -= 2 * max(0, -self.bend)        # and by as much as the corners hang down
        self.back = self.face - between(2.2, 4.5)
        self.fillet = rng.choice([0.0, between(0.05, 0.2), between(0.1, 0.35)])
        if args.clean:
            self.fillet = 0
        self.chamfer = between(0.2, 0.6) if HARD and chance(0.3) else 0  # in place of the fillet
        self.insert = between(0.6, 1) if HARD and chance(0.25) else 0    # how thick a brass insert's wall is
        self.args, self.others, self.about = [], [], kind + " plastic"
        self.lay_out()
        self.cut()
        self.fill_grille()
        if args.mode == "mock":
            self.mock_up()
        self.clutter()

    def lay_out(self):
        """Chooses where the grille and the mounting holes lie, clear of the sheet."""
        self.width, self.bore, count = between(26, 64), between(3.0, 6.5), rng.choice([2, 3, 3, 4, 4])
        bosses = args.mode in ("three", "raised") or args.mode in ("plain", "hard") and chance(0.3)
        collar = args.mode == "raised" or args.mode in ("plain", "hard", "three") and chance(0.3)
        self.collar_wall, self.collar = (between(1.2, 2.6), round(between(1, 5), 1)) if collar else (0, 0)
        self.boss = self.bore / 2 + between(1.5, 3) if bosses else 0
        ring = self.width / 2 + self.bore / 2 + self.collar_wall + between(3.5, 14) + (2 if bosses else 0)
        clear = max(self.boss, self.bore / 2) + 2
        off, turn = HALF_SHEET * 1.3 + ring + self.bore / 2 + between(3, 18), between(0, 2 * math.pi)
        self.grille = (off * math.cos(turn), off * math.sin(turn))
        even = chance(0.55)
        while True:
            first, self.holes = between(0, 2 * math.pi), []
            for i in range(count):
                at = first + 2 * math.pi * i / count + (0 if even else between(-0.35, 0.35))
                reach = ring + (0 if even else between(0, 9))
                self.holes.append((self.grille[0] + reach * math.cos(at), self.grille[1] + reach * math.sin(at)))
            if all(max(abs(x), abs(y)) > HALF_SHEET + clear for x, y in self.holes):
                break
        height = round(between(3, 10), 1) if bosses else 0
        self.heights = [height] * count
        if args.mode == "three":
            self.heights = [round(max(2, height + rng.choice([0, between(-3, 3)])), 1) for _ in self.holes]
        elif bosses:
            self.args += ["--hole-height", "%g" % height]
        if collar and args.mode != "three":
            self.args += ["--grille-height", "%g" % self.collar]
        self.about += (", bosses" if bosses else "") + (", collar" if collar else "")
        self.taken = [(0, 0, 56), (*self.grille, self.width / 2 + self.collar_wall + 2)] + [(x, y, clear) for x, y in self.holes]
        self.second = None
        if args.mode == "two":
            while True:
                way, far = math.atan2(self.grille[1], self.grille[0]) + between(-0.6, 0.6), between(150, 240)
                at = far * math.cos(way), far * math.sin(way)
                if all(math.hypot(at[0] - x, at[1] - y) > 56 + r for x, y, r in self.taken[1:]):
                    break
            self.second = (*at, between(0, 2 * math.pi))
            self.taken.append((*at, 56))

    def room(self, r, border=None):
        """A free place for something of a radius, or None."""
        for _ in range(300):
            x = between(-50, 50) + self.grille[0] * between(-0.2, 1.5)
            y = between(-50, 50) + self.grille[1] * between(-0.2, 1.5)
            inside = not border or border[0] + r + 4 < x < border[1] - r - 4 and border[2] + r + 4 < y < border[3] - r - 4
            if inside and all(math.hypot(x - a, y - b) > r + c + 3 for a, b, c in self.taken):
                self.taken.append((x, y, r))
                return x, y
        return None

    def note(self, kind, x, y, z, diameter):
        self.others.append(dict(kind=kind, x_mm=x, y_mm=y, z_mm=z, diameter_mm=diameter))

    def cut(self):
        """The face with what is cut through it, the bosses and the collar."""
        b = self.chamfer or self.fillet
        edge = dict(fillet=b, facets=1 if self.chamfer else 6)
        openings = [circle(x, y, self.bore / 2 + (self.insert or (0.8 if self.boss else b))) for x, y in self.holes]
        openings.append(circle(*self.grille, self.width / 2 + (0.3 if self.collar else b)))
        for _ in range(rng.randint(0, 3)):
            d = between(2.5, 9)
            if abs(d - self.bore) < 0.8:
                d = self.bore + 1.2
            if at := self.room(d / 2):
                openings.append(circle(*at, d / 2 + b))
                self.note("hole", *at, self.face, d)
        for _ in range(rng.randint(0, 3)):
            width = between(3, 7)
            length = width + between(4, 16)
            if at := self.room(length / 2):
                openings.append(oblong(*at, length + 2 * b, width + 2 * b, between(0, math.pi), width / 2 + b))
                self.note("slot", *at, self.face, width)
        margin = between(8, 40)
        self.border = (min(x - r for x, _, r in self.taken) - margin, max(x + r for x, _, r in self.taken) + margin,
                       min(y - r for _, y, r in self.taken) - margin, max(y + r for _, y, r in self.taken) + margin)
        x0, x1, y0, y1 = self.border
        slab(oblong((x0 + x1) / 2, (y0 + y1) / 2, x1 - x0 - 2 * b, y1 - y0 - 2 * b, 0, between(4, 14)), openings, self.back, self.face, self.skin, **edge)
        for (x, y), h in zip(self.holes, self.heights):
            if self.boss:
                slab(circle(x, y, self.boss - b), [circle(x, y, self.bore / 2 + (self.insert or b))], self.back, self.face + h, self.skin, **edge)
                self.note("boss", x, y, self.face + h, 2 * self.boss)
            if self.insert:
                slab(circle(x, y, self.bore / 2 + self.insert), [circle(x, y, self.bore / 2)], self.back, self.face + h + 0.05,
                     material([0.5, 0.37, 0.14], 0.3, 0.8))
                self.note("insert", x, y, self.face + h, self.bore + 2 * self.insert)
        if self.collar:
            slab(circle(*self.grille, self.width / 2 + self.collar_wall - b), [circle(*self.grille, self.width / 2 + b)],
                 self.back, self.face + self.collar, self.skin, **edge)
            self.note("collar", *self.grille, self.face + self.collar, self.width + 2 * self.collar_wall)

    def fill_grille(self):
        """A mesh, a cloth, or nothing."""
        inside = rng.choice(["mesh", "mesh", "mesh", "open", "cloth"])
        if inside == "cloth":
            slab(circle(*self.grille, self.width / 2 + 3), [], self.back - 1.2, self.back, material(grey(0.01, 0.4), 0.95, 0.1, 0.8))
        if inside == "mesh":
            d = between(1.2, 3.2)
            pitch, turn, most = d * between(1.25, 1.7), between(0, 1), int(self.width / d)
            field = []
            for i in range(-most, most + 1):
                for j in range(-most, most + 1):
                    u, v = pitch * (i + j / 2), pitch * j * math.sqrt(3) / 2
                    x, y = u * math.cos(turn) - v * math.sin(turn), u * math.sin(turn) + v * math.cos(turn)
                    if math.hypot(x, y) < self.width / 2 - 0.7 * d:
                        field.append(circle(self.grille[0] + x, self.grille[1] + y, d / 2))
            colour = rng.choice([self.colour, grey(0.02, 0.02), grey(0.2, 0.5)])
            slab(circle(*self.grille, self.width / 2 + 1), field, self.back - 0.6, self.back, material(colour, between(0.3, 0.7)))
        self.about += ", " + inside

    def mock_up(self):
        """A tweeter's body in the opening, its back to the camera."""
        d, rim = round(self.width - between(0.6, 5), 1), round(between(0, 3), 1)
        x, y = (c + between(-0.2, 0.2) * (self.width - d) for c in self.grille)
        edge = between(0.1, 0.4)
        slab(circle(x, y, d / 2 - edge), [], -14, rim, material(grey(*rng.choice([(0.02, 0.05), (0.4, 0.7)])), between(0.2, 0.6), 0.5), edge)
        slab(circle(x, y, d / 2 * between(0.5, 0.85)), [], -1, rim + between(3, 12), material(grey(0.03, 0.6), between(0.2, 0.5), 0.6), 0.4)
        self.args += ["--tweeter-diameter", "%.1f" % d, "--tweeter-height", "%g" % rim]
        self.tweeter = dict(x_mm=x, y_mm=y, z_mm=rim, diameter_mm=d)

    def clutter(self):
        """Posts, towers, ribs, a label, a foam pad."""
        low = self.face - 1
        for _ in range(rng.randint(0, 4)):
            r, h = between(1.5, 5), self.face + between(2, 10)
            if at := self.room(r, self.border):
                slab(circle(*at, r), rng.choice([[], [circle(*at, r * between(0.3, 0.6))]]), low, h, self.skin)
                self.note("post", *at, h, 2 * r)
        for _ in range(rng.randint(0, 4)):
            length = between(15, 60)
            if at := self.room(length / 2, self.border):
                slab(oblong(*at, length, between(1, 2.2), between(0, math.pi), 0.3), [], low, self.face + between(1.5, 7), self.skin)
        for share, high, skin in ((0.3, 0.1, material(rng.choice([[0.8] * 3, [0.6, 0.5, 0.1], [0.05] * 3]))),
                                  (0.25, between(2, 6), material(grey(0.01, 0.15), 1, 0, 1))):
            at = chance(share) and self.room(11, self.border)
            if at:
                slab(oblong(*at, between(10, 18), between(8, 14), between(0, math.pi)), [], low, self.face + high, skin)

        if HARD:
            self.wear()

    def wear(self):
        """Screws' heads, and dust."""
        for _ in range(rng.randint(0, 3)):
            r = between(2.5, 4.5)
            if at := self.room(r, self.border):
                slab(circle(*at, r - 0.4), [oblong(*at, 1.4 * r, 0.25 * r, between(0, math.pi), 0.1)], self.face - 1, self.face + between(1, 2.5),
                     material(rng.choice([grey(0.02, 0.6), [0.5, 0.4, 0.2]]), between(0.2, 0.5), 0.8), 0.4)
                self.note("screw", *at, self.face, 2 * r)
        if chance(0.4):
            x0, x1, y0, y1 = self.border
            dust, skin = bpy.data.meshes.new("dust"), material(grey(0.3, 0.6), 0.9)
            corners, faces = [], []
            for _ in range(rng.randint(500, 5000)):
                x, y, r = between(x0, x1), between(y0, y1), 0.05 + 0.5 * rng.random() ** 4
                if all(math.hypot(x - a, y - b) > c for a, b, c in [(*p, self.bore / 2 + 2) for p in self.holes] + [(*self.grille, self.width / 2 + 2), (0, 0, 56)]):
                    faces.append(range(len(corners), len(corners) + 5))
                    corners += [((x + r * between(0.5, 1) * math.cos(t)) / UNIT, (y + r * between(0.5, 1) * math.sin(t)) / UNIT, (self.face + 0.02) / UNIT)
                                for t in [0.4 * math.pi * i for i in range(5)]]
            dust.from_pydata(corners, [], faces)
            dust.materials.append(skin)
            bpy.context.scene.collection.objects.link(bpy.data.objects.new("dust", dust))
            self.about += ", dust"

    def truth(self):
        def mouth(diameter, z):
            if self.chamfer:
                return dict(z_mm=z, diameter_mm=diameter, mouth_outer_mm=diameter + 2 * self.chamfer)
            return dict(z_mm=z, diameter_mm=diameter, **({"fillet_mm": self.fillet} if self.fillet else {}))

        def bore(z):
            return dict(z_mm=z + 0.05, diameter_mm=self.bore) if self.insert else mouth(self.bore, z)

        out = dict(holes=[dict(x_mm=x, y_mm=y, **bore(self.face + h)) for (x, y), h in zip(self.holes, self.heights)],
                   grille=dict(x_mm=self.grille[0], y_mm=self.grille[1], **mouth(self.width, self.face + self.collar)),
                   others=self.others)
        if args.mode == "mock":
            out["tweeter"] = self.tweeter
            out["grille"]["half_hidden"] = True
        return out

    def keep_in_view(self):
        """Points that the photo must show."""
        r = self.width / 2
        second = [(self.second[0] + 54 * x, self.second[1] + 54 * y) for x in (-0.7, 0.7) for y in (-0.7, 0.7)] if self.second else []
        return (second + [(x * HALF_SHEET, y * HALF_SHEET) for x in (-1, 1) for y in (-1, 1)] + self.holes +
                [(self.grille[0] + x, self.grille[1] + y) for x, y in ((r, 0), (-r, 0), (0, r), (0, -r))])


# Light and camera


def light(toward):
    """A sky, a window, lamps or the sun; returns which."""
    kind = rng.choice(["sky", "window", "window", "lamp", "lamp", "sun"])
    world = bpy.data.worlds.new("sky")
    world.use_nodes = True
    bpy.context.scene.world = world
    sky = world.node_tree.nodes["Background"]
    sky.inputs[0].default_value = (1, between(0.93, 1.05), between(0.85, 1.15), 1)
    sky.inputs[1].default_value = {"sky": between(0.8, 1), "window": between(0.15, 0.5), "lamp": between(0.08, 0.35), "sun": between(0.2, 0.5)}[kind]
    lamps = {"sky": 0, "window": 1, "lamp": rng.randint(1, 2), "sun": 1}[kind]
    for _ in range(lamps):
        lamp = bpy.data.lights.new("lamp", "AREA")
        lamp.size = {"window": between(500, 1200), "lamp": between(60, 350), "sun": 14}[kind] / UNIT
        away, up, around = between(900, 2200), between(0.45, 1.25), between(0, 2 * math.pi)
        lamp.energy = 16 * (away / UNIT) ** 2 * between(0.6, 1.4) / lamps
        o = bpy.data.objects.new("lamp", lamp)
        from_there = Vector((math.cos(up) * math.cos(around), math.cos(up) * math.sin(around), math.sin(up)))
        o.location = (Vector((*toward, 0)) + away * from_there) / UNIT
        o.rotation_euler = (-from_there).to_track_quat("-Z", "Y").to_euler()
        bpy.context.scene.collection.objects.link(o)
    if HARD and kind in ("lamp", "sun") and chance(0.4):
        throw_shadow(toward, from_there)
        kind += ", shadow"
    return kind


def throw_shadow(toward, from_there):
    """A board's shadow, its edge somewhere between the square and the grille's far side. The camera does not see the board."""
    bpy.ops.mesh.primitive_plane_add(size=200 / UNIT)
    board, way = bpy.context.object, between(0, 2 * math.pi)
    edge = Vector((toward[0] * between(0, 2), toward[1] * between(0, 2), 0)) + between(60, 300) * from_there
    board.location = (edge + 100 * Vector((math.cos(way), math.sin(way), 0))) / UNIT
    board.rotation_euler = 0, 0, way
    board.visible_camera = False


class Camera:
    """A phone: its lens is one for all its photos."""

    def __init__(self):
        self.w, self.h = rng.choice([(4032, 3024), (4032, 3024), (4000, 3000), (3264, 2448), (4000, 2250)])
        if args.mode == "three" or args.clean:
            self.w, self.h = 3264, 2448
        if HARD:
            self.w, self.h = rng.choice([(2048, 1536), (2592, 1944), (3264, 2448), (4032, 3024)])
        self.w, self.h = self.w * args.scale // 100, self.h * args.scale // 100
        if chance(0.35):
            self.w, self.h = self.h, self.w
        equiv = rng.choice([23, 24, 25, 26, 27, 28, 30]) + between(-0.3, 0.3)
        self.exif = None if chance(0.12) else round(equiv)
        self.focal = equiv / math.hypot(36, 24) * math.hypot(self.w, self.h)  # px
        self.pupil = rng.choice([0, between(1.5, 3.0)])  # mm; 0: all is in focus
        self.roll = rng.choice([0, 1, 2, 3]) * math.pi / 2 + between(-0.25, 0.25)
        self.k1 = between(-0.012, 0.012) if chance(0.3) and not args.clean else 0
        if args.mode == "two":
            self.k1 = between(-0.05, 0.05)
        self.data = bpy.data.cameras.new("camera")
        self.data.sensor_fit, self.data.sensor_width, self.data.lens = "HORIZONTAL", 36, self.focal * 36 / self.w
        self.data.clip_end = 5000
        self.object = bpy.data.objects.new("camera", self.data)
        bpy.context.scene.collection.objects.link(self.object)
        bpy.context.scene.camera = self.object

    def pose(self, tilt, way, away, aim):
        """Rotation (rows: the camera's x right, y down, z ahead) and eye."""
        back = Vector((math.sin(tilt) * math.cos(way), math.sin(tilt) * math.sin(way), math.cos(tilt)))
        up = Vector((-math.sin(self.roll), math.cos(self.roll), 0))
        right = up.cross(back).normalized()
        return Matrix((right, -back.cross(right), -back)), Vector((*aim, 0)) + away * back

    def look(self, tilt, way, keep):
        """Stands as near as it can see what is to be kept, or somewhat farther, and returns the truth of that."""
        aim = [(min(p[i] for p in keep) + max(p[i] for p in keep)) / 2 + between(-8, 8) for i in (0, 1)]

        def sees(turn, eye):
            for x, y in keep:
                q = turn @ (Vector((x, y, 0)) - eye)
                if abs(self.focal * q.x / q.z) > 0.47 * self.w or abs(self.focal * q.y / q.z) > 0.47 * self.h:
                    return False
            return True

        away = 230
        while not sees(*self.pose(tilt, way, away, aim)):
            away += 5
        away *= between(1.02, 1.25)
        turn, eye = self.pose(tilt, way, away, aim)
        world = Matrix((turn[0], -turn[1], -turn[2])).transposed().to_4x4()
        world.translation = eye / UNIT
        self.object.matrix_world = world
        self.data.dof.use_dof = self.pupil > 0
        if self.pupil:
            self.data.dof.focus_distance = (away + between(-12, 12)) / UNIT
            self.data.dof.aperture_fstop = self.data.lens * 1e-3 / (self.pupil / UNIT)
        return dict(width_px=self.w, height_px=self.h, fx_px=self.focal, fy_px=self.focal, cx_px=(self.w - 1) / 2, cy_px=(self.h - 1) / 2,
                    k1=self.k1, k2=0, p1=0, p2=0, k3=0, r=[list(row) for row in turn], t_mm=list(-(turn @ eye)),
                    tilt_deg=math.degrees(tilt), distance_mm=away)


def shoot(name, truth, developing):
    """Renders the scene and develops it (develop.py) to NAME.jpg, the truth beside it."""
    scene, path = bpy.context.scene, os.path.join(args.dir, name)
    scene.render.engine = "CYCLES"
    scene.render.resolution_x, scene.render.resolution_y = truth["camera"]["width_px"], truth["camera"]["height_px"]
    scene.render.resolution_percentage = 100
    scene.cycles.samples, scene.cycles.seed = SAMPLES, args.seed
    scene.cycles.use_adaptive_sampling = scene.cycles.use_denoising = False
    scene.cycles.max_bounces, scene.cycles.sample_clamp_indirect = 5, 5
    scene.view_settings.view_transform = "Raw"
    scene.render.image_settings.file_format = "OPEN_EXR"
    scene.render.filepath = path + ".exr"
    bpy.ops.render.render(write_still=True)
    developer = os.path.join(os.path.dirname(os.path.abspath(__file__)), "develop.py")
    subprocess.run(["/usr/bin/python3", developer, path, json.dumps(developing)], check=True)
    with open(path + ".json", "w") as f:
        json.dump(truth, f, indent=1)


def main():
    bpy.ops.wm.read_factory_settings(use_empty=True)
    panel = Panel()
    size, number = [60.0, 60.0], rng.randint(1, 255)
    if chance(0.2):
        size = [round(60 * between(0.992, 1.008), 1) for _ in size]
        panel.args += ["--square-size", "%gx%g" % tuple(size)]
    sheet(number, size, panel.bend)
    table = panel.back - between(1.5, 40)
    slab(oblong(0, 0, 1600, 1600, 0), [], table - 5, table, material(rng.choice([grey(0.02, 0.1), grey(0.3, 0.7), [0.35, 0.22, 0.12]]), 0.7, 0.3, 0, 0.2))
    lit = light([c / 2 for c in panel.grille])
    camera = Camera()
    developing = dict(focal=camera.focal, k1=camera.k1, exif=camera.exif, seed=args.seed, blur=between(0.25, 0.8), noise=between(0.004, 0.016),
                      exposure=between(0.62, 0.8), tone=between(0, 0.35), sharpening=between(0, 0.9), quality=rng.choice([75, 85, 90, 93, 95]),
                      motion=between(1, 4) if chance(0.12) else 0, way=between(0, math.pi))
    if HARD:
        developing.update(blur=between(0.3, 1.5), noise=between(0.004, 0.03), quality=rng.randint(60, 95),
                          motion=between(1, 5) if chance(0.25) else 0)
    name = "random-%d" % args.seed
    squares = []
    if panel.second:
        x, y, turn = panel.second
        squares.append(dict(number=number % 255 + 1, size_mm=size, x_mm=x, y_mm=y, turn_deg=math.degrees(turn)))
        sheet(number % 255 + 1, size, 0, (x, y), turn)
    truth = dict(about="invented: a random panel, %s, %s" % (panel.about, lit), args=panel.args, status=0,
                 square=dict(number=number, size_mm=size, x_mm=0, y_mm=0, turn_deg=0), squares=squares, **panel.truth())
    if args.mode != "three":
        truth["camera"] = camera.look(math.radians(between(1, {"flat": 12, "hard": 20}.get(args.mode, 14))), between(0, 2 * math.pi), panel.keep_in_view())
        shoot(name, truth, developing)
        return
    first = between(0, 2 * math.pi)
    for k in range(3):
        truth["camera"] = camera.look(math.radians(between(4, 16)), first + 2.1 * k + between(-0.5, 0.5), panel.keep_in_view())
        shoot("%s-%d" % (name, k + 1), truth, developing)
    with open(os.path.join(args.dir, name + ".json"), "w") as f:
        json.dump(dict(about="invented: three photos of a random panel", args=panel.args, status=0,
                       photos=["%s-%d.jpg" % (name, k + 1) for k in range(3)]), f)


main()
