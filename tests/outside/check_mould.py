"""Checks the parts of sample moulds with the independent kernel and a library of mesh booleans.

    python check_mould.py --dump target/debug/examples/mould_dump --work target/outside/mould
"""

import argparse
import itertools
import json
import math
import subprocess
import sys
from pathlib import Path

import manifold3d
import numpy as np
import shapely
import trimesh

import kernel
from report import Report

# Volumes of both kernels agree to this share.
SAME_VOLUME = 1e-9
# Length of STL's single precision at the size of a mould, mm.
SINGLE_MM = 1e-5


def main():
    """Entry point."""
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("--dump", type=Path, required=True)
    parser.add_argument("--work", type=Path, required=True)
    options = parser.parse_args()
    report = Report()
    command = [options.dump.resolve(), options.work]
    moulds = json.loads(subprocess.run(command, check=True, capture_output=True, text=True).stdout)
    report.check("sample moulds were made", [m["name"] for m in moulds] == ["end", "cut", "middle"], len(moulds))
    for mould in moulds:
        Mould(report, options.work, mould).check()
    sys.exit(report.finish())


def body(mesh):
    """A mesh as the library's solid."""
    return manifold3d.Manifold(manifold3d.Mesh(mesh.vertices.astype(np.float32), mesh.faces.astype(np.uint32)))


def block(low, high):
    """Solid box between two corners."""
    size = [b - a for a, b in zip(low, high)]
    return manifold3d.Manifold.cube(size).translate(low)


def holes(rings):
    """Rings of a section that run clockwise: its holes."""
    return [ring for ring in rings if not shapely.LinearRing(ring).is_ccw]


class Mould:
    """One mould: its parts in their places, and the figures that the program states."""

    def __init__(self, report, folder, figures):
        self.report, self.folder, self.figures = report, folder, figures
        self.name = figures["name"]
        self.meshes = {p: self.load(p) for part in figures["parts"] for p in part["pieces"]}
        self.bodies = {p: body(mesh) for p, mesh in self.meshes.items()}
        master = [self.load(f"{self.name}-master-{k}") for k in range(figures["masters"])]
        self.masters, self.master_area = [body(m) for m in master], sum(m.area for m in master)

    def load(self, name):
        """A mesh with equal corners merged."""
        return trimesh.load(self.folder / f"{name}.stl")

    def pieces(self, *kinds):
        """Names of the pieces of some kinds of parts."""
        return [p for part in self.figures["parts"] if part["kind"] in kinds for p in part["pieces"]]

    def solids(self, *kinds):
        """Solids of some kinds of parts, in their places."""
        return [self.bodies[p] for p in self.pieces(*kinds)]

    def room(self, low, high):
        """Room between the walls, from one height to another."""
        x, y = (s / 2 for s in self.figures["inner_mm"])
        return block((-x, -y, low), (x, y, high))

    def holds(self, claim, condition, figure):
        """Records a check."""
        self.report.check(f"{self.name}: {claim}", bool(condition), figure)

    def check(self):
        """All checks of this mould."""
        self.valid_parts()
        self.distances()
        self.walls()
        self.no_overlap()
        if self.name == "cut":
            self.whole_block()
        else:
            self.halves()
        if self.name == "end":
            self.flat_on_the_board()
        if self.name == "middle":
            self.pockets()

    def valid_parts(self):
        """Every part is valid in the kernel, with the stated volume, and watertight as a mesh."""
        worst, chord = 0.0, self.figures["chord_mm"]
        for part in self.figures["parts"]:
            reading = kernel.read_step(self.folder / f"{part['file']}.step")
            (product,) = reading.products
            (solid,) = kernel.solids(product.shape)
            volume, _ = kernel.volume(solid)
            off = abs(volume / part["volume_mm3"] - 1.0)
            worst = max(worst, off)
            fine = kernel.is_valid(product.shape) and not reading.messages and off < SAME_VOLUME
            self.holds(f"{part['name']} is valid in the kernel", fine, f"{volume:.3f} mm³, off by {off:.1e}")
            for piece in part["pieces"]:
                mesh = self.meshes[piece]
                bound = chord * part["area_mm2"]
                closed = mesh.is_watertight and mesh.is_winding_consistent
                if not (closed and abs(mesh.volume - part["volume_mm3"]) < bound):
                    self.holds(f"{piece} is watertight", False, f"{mesh.volume:.3f} mm³")
        count = len(self.meshes)
        self.holds("all pieces were read", count == len(self.bodies) and count > 8, f"{count}, volumes to {worst:.1e}")

    def distances(self):
        """Fins between masters, rubber to the walls."""
        fin, around = self.figures["fin_mm"], self.figures["round_mm"]
        pairs = list(itertools.combinations(self.masters, 2))
        least = min(a.min_gap(b, 5 * fin) for a, b in pairs)
        # A chord of the mesh lies inside an outer arc and outside an inner one.
        slack = 2 * self.figures["chord_mm"]
        self.holds("fins keep their thickness", fin - slack <= least <= fin + slack, f"{least:.3f} mm of {fin}")
        walls = self.solids("Wall")
        least = min(m.min_gap(w, 5 * around) for m in self.masters for w in walls)
        self.holds("rubber keeps its thickness", around - slack <= least, f"{least:.3f} mm of {around}")

    def walls(self):
        """Fingers have the printed clearance, and walls are pulled off sideways."""
        clearance, walls = self.figures["clearance_mm"], self.pieces("Wall")
        sides = [self.bodies[w] for w in walls]
        neighbours = [(0, 2), (0, 3), (1, 2), (1, 3)]
        for share, touches in [(0.98, False), (1.02, True)]:
            for direction in (1, -1):
                moved = [sides[a].translate((0, 0, direction * share * clearance)) ^ sides[b] for a, b in neighbours]
                volumes = [m.volume() for m in moved]
                found = all(v > 1e-4 for v in volumes) if touches else max(volumes) < 1e-4
                claim = "meet beyond" if touches else "slide within"
                self.holds(f"fingers {claim} the clearance ({direction:+d})", found, f"{max(volumes):.2e} mm³")
        others = self.masters + self.solids("Floor", "Board")
        for index, side in enumerate(sides):
            low, high = self.meshes[walls[index]].bounds
            middle = (low + high) / 2
            axis = int(np.argmax(abs(middle[:2])))
            worst = 0.0
            for step in (0.05, 0.5, 1.0, 2.0, 3.0, 5.0, 10.0):
                shift = np.zeros(3)
                shift[axis] = math.copysign(step, middle[axis])
                rest = others + [s for s in sides if s is not side]
                worst = max(worst, max((side.translate(shift) ^ other).volume() for other in rest))
            self.holds(f"{walls[index]} is pulled off sideways", worst < 1e-4, f"{worst:.1e} mm³ in the way")
        slack = 2 * SINGLE_MM
        for kind in ("Floor", "Board"):
            for solid in self.solids(kind):
                # The walls stand on the rim of the floor; its step alone slides between them.
                inner = solid ^ self.room(self.meshes[walls[0]].bounds[0][2] + 2 * SINGLE_MM, 1e3)
                gap = min(inner.min_gap(side, 2.0) for side in sides)
                self.holds(f"{kind.lower()} has the clearance to the walls", abs(gap - clearance) < slack, f"{gap:.5f} mm")

    def no_overlap(self):
        """No two parts, and no part and master, share room in one pour. Chords make pegs no thicker than they are."""
        first = ("Floor", "Board", "Wall", "Pin")
        second = ("Wall", "SprueRod", "VentRod", "ReservoirFormer")
        pours = [("Floor", "Wall", "SprueRod", "VentRod")] if self.name == "cut" else [first, second]
        for number, kinds in enumerate(pours):
            names = self.pieces(*kinds)
            worst = max(
                ((self.bodies[a] ^ self.bodies[b]).volume(), a, b) for a, b in itertools.combinations(names, 2)
            )
            self.holds(f"parts of pour {number + 1} do not overlap", worst[0] < 1e-2, worst)

    def off(self, claim, found, stated, area):
        """Checks a volume against the stated one within the chord bound over an area."""
        bound = self.figures["chord_mm"] * area
        self.holds(claim, abs(found - stated) < bound, f"{found:.2f} of {stated:.2f} mm³, bound {bound:.2f}")

    def rods(self):
        """Sprue rods with their holes filled, vent rods, formers, as one solid, and their area."""
        names = self.pieces("SprueRod", "VentRod", "ReservoirFormer")
        solids = [self.bodies[n] for n in names]
        area = sum(self.meshes[n].area for n in names)
        for name in self.pieces("SprueRod"):
            low, high = self.meshes[name].bounds
            x, y, _ = (low + high) / 2
            solids.append(manifold3d.Manifold.cylinder(4.0, 2.0, 2.0, 64).translate((x, y, low[2])))
        return manifold3d.Manifold.batch_boolean(solids, manifold3d.OpType.Add), area

    def all_masters(self):
        """All masters as one solid."""
        return manifold3d.Manifold.batch_boolean(self.masters, manifold3d.OpType.Add)

    def halves(self):
        """Rubber of both halves by booleans of meshes."""
        stated, depth = self.figures, 8.0
        (board,) = self.solids("Board")
        sockets = manifold3d.Manifold()
        for x, y in stated["keys"]:
            sockets += block((x - 5.5, y - 5.5, -depth), (x + 5.5, y + 5.5, 0.0)) - board
        area = self.master_area + sum(self.meshes[p].area for p in self.pieces("Board"))
        masters = self.all_masters()
        first = (self.room(0.0, stated["above_mm"]) - masters).volume() + sockets.volume()
        self.off("rubber of the first half", first, stated["first_rubber_mm3"], area)
        self.off("masters", masters.volume(), stated["masters_mm3"], self.master_area)
        rods, rod_area = self.rods()
        lid = self.room(-stated["below_mm"], 0.0)
        rubber = (lid - rods - masters).volume() - sockets.volume()
        self.off("rubber of the lid", rubber, stated["lid_rubber_mm3"], rod_area + area)
        flow = ((rods ^ lid) - masters).volume()
        self.off("rods and reservoirs", flow, stated["rods_mm3"] + stated["reservoirs_mm3"], rod_area)
        self.filled()

    def pockets(self):
        """The pockets of the bed leave the clearance all round and below the masters."""
        clearance, slack = self.figures["clearance_mm"], 2 * self.figures["chord_mm"]
        (board,), (name,) = self.solids("Board"), self.pieces("Board")
        least = min(m.min_gap(board, 2.0) for m in self.masters)
        self.holds("masters keep the clearance to the bed", abs(least - clearance) < slack, f"{least:.4f} mm")
        level = -2.0
        bed = shapely.union_all([shapely.Polygon(ring) for ring in holes(board.slice(level).to_polygons())])
        for number, master in enumerate(self.masters):
            foot = shapely.Polygon(master.slice(level).to_polygons()[0])
            at = [foot.exterior.interpolate(k / 400, normalized=True) for k in range(400)]
            gaps = [bed.boundary.distance(p) for p in at]
            inside = all(bed.contains(p) for p in at)
            fits = inside and clearance - slack < min(gaps) and max(gaps) < clearance * math.sqrt(2) + slack
            self.holds(f"pocket {number} follows its master", fits, f"{min(gaps):.4f} to {max(gaps):.4f} mm")
        floors = self.meshes[name].triangles[:, :, 2]
        depths = {round(float(z), 3) for z in floors[(np.ptp(floors, axis=1) < SINGLE_MM)].mean(axis=1)}
        for number, master in enumerate(self.masters):
            under = round(master.bounding_box()[2] - clearance, 3)
            near = min(abs(under - depth) for depth in depths)
            self.holds(f"pocket {number} has its floor below the master", near < 2e-3, f"{under} mm")

    def whole_block(self):
        """Rubber of a block by booleans of meshes."""
        stated = self.figures
        (floor,) = self.solids("Floor")
        rods, rod_area = self.rods()
        # The room above the step of the floor; the basins stand on it.
        room = self.room(-stated["below_mm"], stated["above_mm"])
        masters = self.all_masters()
        area = self.master_area + rod_area + sum(self.meshes[p].area for p in self.pieces("Floor"))
        found = (room - floor - rods - masters).volume()
        # The pegs of the rods stand in holes of the masters, which the sample masters do not have.
        self.off("rubber of the block", found, stated["first_rubber_mm3"], area)
        flow = ((rods + floor) ^ room) - masters
        self.off("rods and reservoirs", flow.volume(), stated["rods_mm3"] + stated["reservoirs_mm3"], rod_area)
        self.filled()

    def filled(self):
        """The stated volumes fill the room between the walls."""
        stated = self.figures
        names = ("first_rubber_mm3", "lid_rubber_mm3", "masters_mm3", "rods_mm3", "reservoirs_mm3")
        width, depth = stated["inner_mm"]
        room = width * depth * (stated["below_mm"] + stated["above_mm"])
        off = abs(sum(stated[n] for n in names) / room - 1.0)
        self.holds("volumes fill the box", off < 1e-6, f"off by {off:.1e}")

    def flat_on_the_board(self):
        """Under every master, the board is flat at height zero but for the holes of its pegs."""
        (name,) = self.pieces("Board")
        mesh = self.meshes[name]
        corners = mesh.triangles[(abs(mesh.triangles[:, :, 2]) < SINGLE_MM).all(axis=1)]
        top = shapely.union_all([shapely.Polygon(t[:, :2]).buffer(1e-6) for t in corners])
        length, width = (size + self.figures["clearance_mm"] for size in self.figures["peg_mm"])
        hole = (length - width) * width + math.pi * width**2 / 4
        for number, master in enumerate(self.masters):
            section = master.slice(0.01).to_polygons()
            foot = shapely.Polygon(section[0], section[1:])
            bare = foot.difference(top).area
            claim = f"master {number} lies flat on the board"
            self.holds(claim, abs(bare - hole) < 0.02 * hole, f"{bare:.3f} mm² open, hole {hole:.3f}")


if __name__ == "__main__":
    main()
