"""Expected values for six wheels from two general-purpose finite-element codes.

    python make_expected.py                 write expected.csv (about ten minutes)
    python make_expected.py --live          solve a small part again and compare it with expected.csv
    python make_expected.py --wheel dished  one wheel only, printed

About zero tension: PyNiteFEA, straight frame members. Tensioned: KratosStructuralMechanicsApplication,
corotational beams and bars of finite displacement. Neither shares code with this project.
Packages: see SOURCE.md. Units: N and mm in the files, N and m within.
"""

import argparse
import csv
import io
import math
import os
import sys
from pathlib import Path

import numpy as np

HERE = Path(__file__).parent
MODULUS = 1e11  # Pa; Kratos keeps its precision only with a modulus of a metal's size
PIECE_DEG = 1.0  # longest straight piece
SMALL_N = 5.0  # load by which stiffness is measured, both ways
SHORTEN_M = 2e-5  # shortening by which influence is measured, both ways
FOLLOWED = 8  # eigenvalues of the tangent that are followed to buckling
SHORT_OF_BUCKLING = 0.04  # share of the root at which the line to it counts: nearer, no equilibrium settles
LINE_N_PER_M = 200.0  # inward line load, both ways
RIDES = [("700;0@spoke_1", 700.0, 0.0, 0.0, False), ("700;100@spoke_1", 700.0, 100.0, 0.0, False),
         ("700;-100@mid_gap", 700.0, -100.0, 0.0, True), ("600;50;150@mid_gap", 600.0, 50.0, 150.0, True)]


class Wheel:
    """One wheel of wheels.csv."""

    def __init__(self, name):
        self.name, self.hubs, self.seats, self.axial, self.tension = name, [], [], [], []
        with open(HERE / "wheels.csv") as lines:
            rows = csv.DictReader(line for line in lines if not line.startswith("#"))
            for row in rows:
                if row["wheel"] != name:
                    continue
                if row["part"] == "rim":
                    self.radius, self.ea, self.in_plane, self.lateral, self.torsion = (
                        float(row[key]) * factor for key, factor in
                        [("hub_x_mm", 1e-3), ("hub_y_mm", 1.0), ("hub_z_mm", 1e-6), ("seat_x_mm", 1e-6),
                         ("seat_y_mm", 1e-6)])
                    continue
                self.hubs.append([float(row[f"hub_{axis}_mm"]) * 1e-3 for axis in "xyz"])
                self.seats.append([float(row[f"seat_{axis}_mm"]) * 1e-3 for axis in "xyz"])
                self.axial.append(float(row["axial_stiffness_n"]))
                self.tension.append(float(row["tension_n"]))
        self.hubs, self.seats = np.array(self.hubs), np.array(self.seats)
        self.axial, self.tension = np.array(self.axial), np.array(self.tension)
        self.angles = np.arctan2(self.seats[:, 1], self.seats[:, 0]) % (2 * math.pi)
        self.mid_gap = (self.angles[0] + self.angles[1]) / 2

    def ring(self, piece_deg=PIECE_DEG):
        """Node angles round the rim: every spoke, the first mid gap, and between them short straight pieces."""
        fixed = sorted(set(np.round(np.append(self.angles, self.mid_gap), 12)))
        angles = []
        for start, end in zip(fixed, fixed[1:] + [fixed[0] + 2 * math.pi]):
            pieces = max(1, math.ceil((end - start) / math.radians(piece_deg)))
            angles += list(start + (end - start) * np.arange(pieces) / pieces)
        return np.array(angles)

    def node_at(self, ring, angle):
        return int(np.argmin(np.abs((ring - angle + math.pi) % (2 * math.pi) - math.pi)))


def names():
    found = []
    with open(HERE / "wheels.csv") as lines:
        for row in csv.DictReader(line for line in lines if not line.startswith("#")):
            if row["part"] == "rim":
                found.append(row["wheel"])
    return found


def local(angle):
    return {"radial": np.array([-math.cos(angle), -math.sin(angle), 0.0]), "lateral": np.array([0.0, 0.0, 1.0]),
            "tangential": np.array([-math.sin(angle), math.cos(angle), 0.0])}


def asked(wheel):
    return [("at_spoke_1", wheel.angles[0], ["radial", "lateral", "tangential"]),
            ("mid_gap", wheel.mid_gap, ["radial", "lateral"])]


def all_radial(wheel):
    """Whether no spoke has a lever about the axle."""
    return np.abs(np.cross(wheel.hubs, wheel.seats)[:, 2]).max() < 1e-9


def inward_line_load(wheel, ring):
    """Nodal loads of a uniform inward line load of 1 N/m, each node its share of the arc."""
    ahead = np.diff(np.append(ring, ring[0] + 2 * math.pi))
    share = wheel.radius * (ahead + np.roll(ahead, 1)) / 2
    return [-share[node] * np.array([math.cos(angle), math.sin(angle), 0.0]) for node, angle in enumerate(ring)]


# ------------------------------------------------------------------ about zero tension: PyNiteFEA


def at_zero_tension(wheel):
    from Pynite import FEModel3D

    ring = wheel.ring()
    model = FEModel3D()
    # Unit materials: EA, EI and GJ stand in the sections.
    model.add_material("unit", 1.0, 1.0, 0.0, 0.0)
    model.add_section("rim", wheel.ea, wheel.in_plane, wheel.lateral, wheel.torsion)
    model.add_section("arm", 1e10, 1e5, 1e5, 1e5)
    for node, angle in enumerate(ring):
        model.add_node(f"R{node}", wheel.radius * math.cos(angle), wheel.radius * math.sin(angle), 0.0)
    for node in range(len(ring)):
        # Local y and z: PyNite puts local z of a member in the plane level with X and Z; the rim is turned so
        # that its local y axis lies along the axle: see `turned`.
        model.add_member(f"B{node}", f"R{node}", f"R{(node + 1) % len(ring)}", "unit", "rim",
                         rotation=turned(ring, node))
    for spoke in range(len(wheel.axial)):
        near = f"R{wheel.node_at(ring, wheel.angles[spoke])}"
        seat = near
        centroid = wheel.radius * np.array([math.cos(wheel.angles[spoke]), math.sin(wheel.angles[spoke]), 0.0])
        if 1e-9 < np.linalg.norm(wheel.seats[spoke] - centroid):
            seat = f"S{spoke}"
            model.add_node(seat, *wheel.seats[spoke])
            model.add_member(f"A{spoke}", near, seat, "unit", "arm")
        model.add_node(f"H{spoke}", *wheel.hubs[spoke])
        model.def_support(f"H{spoke}", True, True, True, True, True, True)
        model.add_section(f"spoke{spoke}", wheel.axial[spoke], 1e-12, 1e-12, 1e-12)
        model.add_member(f"P{spoke}", f"H{spoke}", seat, "unit", f"spoke{spoke}")
        model.def_releases(f"P{spoke}", False, False, False, False, True, True, False, False, False, False, True, True)
    for place, angle, axes in asked(wheel):
        for axis in axes:
            if axis == "tangential" and all_radial(wheel):
                continue
            case = f"{axis}_{place}"
            force = local(angle)[axis]
            for component, name in zip(force, ["FX", "FY", "FZ"]):
                model.add_node_load(f"R{wheel.node_at(ring, angle)}", name, float(component), case)
            model.add_load_combo(case, {case: 1.0})
    for node, force in enumerate(inward_line_load(wheel, ring)):
        for component, name in zip(force, ["FX", "FY", "FZ"]):
            model.add_node_load(f"R{node}", name, float(component), "line")
    model.add_load_combo("line", {"line": 1.0})
    for spoke in [0, 1]:
        case = f"short{spoke}"
        along = wheel.seats[spoke] - wheel.hubs[spoke]
        grip = wheel.axial[spoke] / np.linalg.norm(along)  # N per m of shortening, both ends held
        seat = f"S{spoke}" if f"S{spoke}" in model.nodes else f"R{wheel.node_at(ring, wheel.angles[spoke])}"
        for component, name in zip(-grip * along / np.linalg.norm(along), ["FX", "FY", "FZ"]):
            model.add_node_load(seat, name, float(component), case)
        model.add_load_combo(case, {case: 1.0})
    if all_radial(wheel):  # nothing holds it against turning about the axle, and no load here turns it
        model.def_support_spring("R0", "DY", 1e6)
    model.analyze_linear(sparse=True)

    def moved(name, combo):
        node = model.nodes[name]
        return np.array([node.DX[combo], node.DY[combo], node.DZ[combo]])

    def tension_changes(combo):
        changes = []
        for spoke in range(len(wheel.axial)):
            along = wheel.seats[spoke] - wheel.hubs[spoke]
            length = np.linalg.norm(along)
            seat = f"S{spoke}" if f"S{spoke}" in model.nodes else f"R{wheel.node_at(ring, wheel.angles[spoke])}"
            changes.append(wheel.axial[spoke] / length * moved(seat, combo) @ along / length)
        return np.array(changes)

    rows = []
    for place, angle, axes in asked(wheel):
        for axis in axes:
            if axis == "tangential" and all_radial(wheel):
                continue
            shift = moved(f"R{wheel.node_at(ring, angle)}", f"{axis}_{place}") @ local(angle)[axis]
            rows.append((f"{axis}_{place}_n_per_mm", "", 1e-3 / shift))
    for spoke, change in enumerate(tension_changes("line")):
        rows.append(("line_load_n", spoke + 1, change * 1e3))
    for turned_spoke in [0, 1]:
        combo = f"short{turned_spoke}"
        changes = tension_changes(combo)
        along = wheel.seats[turned_spoke] - wheel.hubs[turned_spoke]
        changes[turned_spoke] += wheel.axial[turned_spoke] / np.linalg.norm(along)
        for spoke, change in enumerate(changes):
            rows.append((f"influence_of_{turned_spoke + 1}_n_per_mm", spoke + 1, change * 1e-3))
    return rows


def turned(ring, node):
    """Degrees by which PyNite's default section axes of a rim member are turned.

    In its default for a member that is not upright, local z is level (no share along global Y) and local y
    leans upward; the rim's section wants local y along the wheel's axle (global z), so that `Iz` bends it
    sideways and `Iy` in its plane.
    """
    a, b = ring[node], ring[(node + 1) % len(ring)]
    x = np.array([math.cos(b) - math.cos(a), math.sin(b) - math.sin(a), 0.0])
    x /= np.linalg.norm(x)
    z = np.cross(x, [0.0, 1.0, 0.0])
    z /= np.linalg.norm(z)
    y = np.cross(z, x)
    axle = np.array([0.0, 0.0, 1.0])
    # Rotation about x that carries y into the axle.
    return math.degrees(math.atan2(axle @ z, axle @ y))


# ------------------------------------------------------------------ tensioned: Kratos


class Tensioned:
    """A wheel in Kratos: corotational rim beams, bars with prestress, stiff seat arms."""

    def __init__(self, wheel, piece_deg=PIECE_DEG):
        import KratosMultiphysics as KM
        import KratosMultiphysics.StructuralMechanicsApplication as SMA

        KM.Logger.GetDefaultOutput().SetSeverity(KM.Logger.Severity.WARNING)
        self.KM, self.SMA, self.wheel = KM, SMA, wheel
        self.ring = ring = wheel.ring(piece_deg)
        self.model = KM.Model()
        part = self.part = self.model.CreateModelPart("wheel")
        part.ProcessInfo[KM.DOMAIN_SIZE] = 3
        for variable in [KM.DISPLACEMENT, KM.ROTATION, KM.REACTION, KM.REACTION_MOMENT, SMA.POINT_LOAD,
                         SMA.POINT_MOMENT]:
            part.AddNodalSolutionStepVariable(variable)
        part.SetBufferSize(2)
        for node, angle in enumerate(ring):
            part.CreateNewNode(node + 1, wheel.radius * math.cos(angle), wheel.radius * math.sin(angle), 0.0)
        count = len(ring)
        rim = self._beam(1, wheel.ea, wheel.in_plane, wheel.lateral, wheel.torsion)
        arm = self._beam(2, 1e9, 1e4, 1e4, 1e4)
        element = 0
        for node in range(count):
            element += 1
            beam = part.CreateNewElement("CrBeamElement3D2N", element, [node + 1, (node + 1) % count + 1], rim)
            # Local y points along the axle, so that I33 (about local z, radial) bends the rim sideways.
            beam.SetValue(KM.LOCAL_AXIS_2, KM.Array3([0.0, 0.0, 1.0]))
        self.seat_nodes, self.bars, self.prestress = [], [], []
        next_node = count
        for spoke in range(len(wheel.axial)):
            near = wheel.node_at(ring, wheel.angles[spoke]) + 1
            centroid = wheel.radius * np.array([math.cos(wheel.angles[spoke]), math.sin(wheel.angles[spoke]), 0.0])
            seat = near
            if 1e-9 < np.linalg.norm(wheel.seats[spoke] - centroid):
                next_node += 1
                seat = next_node
                part.CreateNewNode(seat, *wheel.seats[spoke])
                element += 1
                part.CreateNewElement("CrBeamElement3D2N", element, [near, seat], arm)
            next_node += 1
            part.CreateNewNode(next_node, *wheel.hubs[spoke])
            bar = part.CreateNewProperties(100 + spoke)
            bar[KM.YOUNG_MODULUS], bar[SMA.CROSS_AREA] = MODULUS, wheel.axial[spoke] / MODULUS
            bar[KM.DENSITY] = 1.0
            bar[SMA.TRUSS_PRESTRESS_PK2] = 0.0
            bar[KM.CONSTITUTIVE_LAW] = SMA.TrussConstitutiveLaw()
            element += 1
            part.CreateNewElement("TrussElement3D2N", element, [next_node, seat], bar)
            self.seat_nodes.append(seat)
            self.bars.append(bar)
            self.prestress.append(0.0)
        hubs = [node for node in part.Nodes if any(
            np.linalg.norm(np.array([node.X0, node.Y0, node.Z0]) - hub) < 1e-12 for hub in wheel.hubs)]
        for axis in "XYZ":
            KM.VariableUtils().AddDof(getattr(KM, f"DISPLACEMENT_{axis}"), getattr(KM, f"REACTION_{axis}"), part)
            KM.VariableUtils().AddDof(getattr(KM, f"ROTATION_{axis}"), getattr(KM, f"REACTION_MOMENT_{axis}"), part)
        for node in hubs:
            for axis in "XYZ":
                node.Fix(getattr(KM, f"DISPLACEMENT_{axis}"))
                node.Fix(getattr(KM, f"ROTATION_{axis}"))
        load = part.CreateNewProperties(3)
        for node in range(count):
            part.CreateNewCondition("PointLoadCondition3D1N", node + 1, [node + 1], load)
        scheme = KM.ResidualBasedIncrementalUpdateStaticScheme()
        criterion = KM.ResidualCriteria(1e-10, 1e-7)
        criterion.SetEchoLevel(0)
        from KratosMultiphysics import LinearSolversApplication  # noqa: F401
        from KratosMultiphysics.python_linear_solver_factory import ConstructSolver
        solver = ConstructSolver(KM.Parameters('{"solver_type": "LinearSolversApplication.sparse_lu"}'))
        self.builder = KM.ResidualBasedBlockBuilderAndSolver(solver)
        self.strategy = KM.ResidualBasedNewtonRaphsonStrategy(part, scheme, criterion, self.builder, 60, True, False,
                                                              True)
        self.strategy.SetEchoLevel(0)
        self.strategy.Initialize()
        self.step = 0

    def _beam(self, number, ea, in_plane, lateral, torsion):
        KM, SMA = self.KM, self.SMA
        beam = self.part.CreateNewProperties(number)
        beam[KM.YOUNG_MODULUS], beam[KM.POISSON_RATIO], beam[KM.DENSITY] = MODULUS, 0.0, 1.0
        beam[SMA.CROSS_AREA], beam[SMA.I22], beam[SMA.I33] = ea / MODULUS, in_plane / MODULUS, lateral / MODULUS
        beam[SMA.TORSIONAL_INERTIA] = 2.0 * torsion / MODULUS  # G = E/2 without lateral contraction
        beam[KM.CONSTITUTIVE_LAW] = SMA.BeamConstitutiveLaw()
        return beam

    def solve(self):
        self.step += 1
        self.part.CloneTimeStep(float(self.step))
        self.part.ProcessInfo[self.KM.STEP] = self.step
        self.strategy.Predict()
        self.strategy.InitializeSolutionStep()
        converged = self.strategy.SolveSolutionStep()
        self.strategy.FinalizeSolutionStep()
        return converged

    def put(self, forces):
        """Loads on rim nodes, {node: force}; all others none."""
        for node in range(len(self.ring)):
            force = forces.get(node, np.zeros(3))
            self.part.GetNode(node + 1).SetSolutionStepValue(self.SMA.POINT_LOAD, self.KM.Array3(list(map(float, force))))

    def moved(self, node):
        return np.array(list(self.part.GetNode(node).GetSolutionStepValue(self.KM.DISPLACEMENT)))

    def lengths(self):
        wheel = self.wheel
        reference = np.linalg.norm(wheel.seats - wheel.hubs, axis=1)
        now = np.array([np.linalg.norm(wheel.seats[spoke] + self.moved(node) - wheel.hubs[spoke])
                        for spoke, node in enumerate(self.seat_nodes)])
        return reference, now

    def tensions(self):
        """The bar's law: second Piola-Kirchhoff stress on Green's strain."""
        reference, now = self.lengths()
        strain = (now**2 - reference**2) / (2 * reference**2)
        return (self.wheel.axial * strain + np.array(self.prestress)) * now / reference

    def stress(self, prestress):
        self.prestress = list(prestress)
        for bar, value in zip(self.bars, prestress):
            bar[self.SMA.TRUSS_PRESTRESS_PK2] = float(value) / bar[self.SMA.CROSS_AREA]

    def tension_to(self, wanted):
        """Prestress until the spokes carry what is wanted in equilibrium, the rim having been round before."""
        wanted = np.array(wanted)
        scale = 1.0
        for _ in range(8):
            self.settle(wanted * scale)
            scale *= wanted.mean() / self.tensions().mean()
        prestress, found = np.array(self.prestress), self.tensions()
        gain = np.zeros((len(wanted), len(wanted)))
        for spoke in range(len(wanted)):
            more = prestress.copy()
            more[spoke] += 10.0
            self.settle(more)
            gain[:, spoke] = (self.tensions() - found) / 10.0
        for _ in range(20):
            # Tensions balance, so some combinations of prestress change none of them: least squares.
            prestress = prestress + np.linalg.lstsq(gain, wanted - found, rcond=1e-3)[0]
            self.settle(prestress)
            found = self.tensions()
            if np.abs(wanted - found).max() < 1e-5 * wanted.max():
                return
        raise RuntimeError(f"prestress does not settle: {np.abs(wanted - found).max()}")

    def settle(self, prestress):
        self.stress(prestress)
        if not self.solve():
            raise RuntimeError("no equilibrium")

    def matrix(self):
        from KratosMultiphysics import scipy_conversion_tools
        return scipy_conversion_tools.to_csr(self.strategy.GetSystemMatrix())


def tensioned(wheel, full=True):
    kratos = Tensioned(wheel)
    kratos.tension_to(wheel.tension)
    ring = kratos.ring
    rows = []
    for place, angle, axes in asked(wheel):
        node = wheel.node_at(ring, angle)
        for axis in axes:
            shifts = []
            for sign in [1.0, -1.0]:
                kratos.put({node: sign * SMALL_N * local(angle)[axis]})
                kratos.solve()
                shifts.append(kratos.moved(node + 1))
            shift = (shifts[0] - shifts[1]) @ local(angle)[axis] / 2
            rows.append((f"{axis}_{place}_n_per_mm", "", SMALL_N / shift * 1e-3))
    kratos.put({})
    kratos.solve()
    base = kratos.tensions()
    line = inward_line_load(wheel, ring)
    found = []
    for sign in [1.0, -1.0]:
        kratos.put({node: sign * LINE_N_PER_M * force for node, force in enumerate(line)})
        kratos.solve()
        found.append(kratos.tensions())
    for spoke, change in enumerate((found[0] - found[1]) / (2 * LINE_N_PER_M)):
        rows.append(("line_load_n", spoke + 1, change * 1e3))
    kratos.put({})
    kratos.solve()
    prestress = list(kratos.prestress)
    for spoke in [0, 1]:
        found = []
        for sign in [1.0, -1.0]:
            reference, now = (length[spoke] for length in kratos.lengths())
            ea, tension = wheel.axial[spoke], wheel.tension[spoke]
            natural = now / (1 + tension / ea)
            # Hooke's law on the natural length says what the bar would carry in place; its prestress follows.
            gain = ea * (now / (natural - sign * SHORTEN_M) - 1) - tension
            changed = list(prestress)
            changed[spoke] += gain * reference / now
            kratos.stress(changed)
            kratos.solve()
            found.append(kratos.tensions())
            kratos.stress(prestress)
            kratos.solve()
        for other, change in enumerate((found[0] - found[1]) / (2 * SHORTEN_M)):
            rows.append((f"influence_of_{spoke + 1}_n_per_mm", other + 1, change * 1e-3))
    if not full:
        return rows
    for name, radial, lateral, along, mid in RIDES:
        angle = wheel.mid_gap if mid else wheel.angles[0]
        axes = local(angle)
        force = radial * axes["radial"] + lateral * axes["lateral"] + along * axes["tangential"]
        for share in [0.5, 1.0]:
            kratos.put({wheel.node_at(ring, angle): share * force})
            if not kratos.solve():
                raise RuntimeError("no equilibrium")
        for spoke, change in enumerate(kratos.tensions() - base):
            rows.append((f"ride_{name}_n", spoke + 1, change))
        kratos.put({})
        kratos.solve()
    rows.append(("first_slack_n", "", first_slack(wheel, kratos)))
    rows.append(("buckling_multiplier", "", buckling(wheel)))
    return rows


def first_slack(wheel, kratos):
    node, inward = wheel.node_at(kratos.ring, wheel.angles[0]), local(wheel.angles[0])["radial"]

    def least(load):
        kratos.put({node: load * inward})
        if not kratos.solve():
            raise RuntimeError("no equilibrium")
        return kratos.tensions().min()

    low, high = (0.0, least(0.0)), (500.0, least(500.0))
    for _ in range(30):
        load = low[0] + (high[0] - low[0]) * low[1] / (low[1] - high[1])
        for share in [0.5, 1.0]:
            left = least(high[0] + (load - high[0]) * share)
        low, high = high, (load, left)
        if abs(left) < 1e-4:
            kratos.put({})
            return load
    raise RuntimeError("slack load does not settle")


def buckling(wheel):
    """The multiplier of all tensions at which the tangent turns singular, equilibrium found on the way.

    The smallest eigenvalues of the tangent are followed from below, where equilibrium is stable; the last steps are
    short, so that the straight line through two of them meets zero. Turning against the hub is nearly free on some
    wheels and does not soften: it is passed over.
    """
    from scipy.linalg import eigh

    kratos = Tensioned(wheel, piece_deg=3.0)
    kratos.tension_to(wheel.tension)
    base = np.array(kratos.prestress)
    free = [(node, getattr(kratos.KM, f"{kind}_{axis}")) for node in kratos.part.Nodes
            for kind in ["DISPLACEMENT", "ROTATION"] for axis in "XYZ"]
    free = [(node, variable) for node, variable in free if not node.IsFixed(variable)]

    def softest(multiplier):
        factor = multiplier
        for _ in range(20):
            kratos.settle(base * factor)
            ratio = multiplier * wheel.tension.mean() / kratos.tensions().mean()
            factor *= ratio
            if abs(ratio - 1) < 1e-7:
                break
        ids = np.array([node.GetDof(variable).EquationId for node, variable in free])
        matrix = kratos.matrix()[ids][:, ids].toarray()
        return eigh((matrix + matrix.T) / 2, eigvals_only=True, subset_by_index=[0, FOLLOWED - 1])

    before, here = (1.0, softest(1.0)), (1.1, softest(1.1))
    while True:
        (low, stiffer), (high, softer) = before, here
        falling = stiffer - softer > 1e-6 * stiffer
        root = high + (softer * (high - low) / (stiffer - softer))[falling].min()
        if root - high < SHORT_OF_BUCKLING * root:
            return root
        # Eigenvalues fall faster and faster, so the line's root lies too far ahead.
        ahead = high + min(0.3 * (root - high), 0.1)
        before, here = here, (ahead, softest(ahead))


def table(wheel, full=True):
    rows = [(wheel.name, "zero", *row) for row in at_zero_tension(wheel)]
    return rows + [(wheel.name, "tensioned", *row) for row in tensioned(wheel, full)]


def live():
    """A small part solved again: stiffness, influence and line load of one wheel against what is committed."""
    with open(HERE / "expected.csv") as lines:
        known = {tuple(row[:4]): float(row[4]) for row in csv.reader(lines) if row[0] != "wheel" and row[0][0] != "#"}
    worst = 0.0
    for name, state, what, spoke, value in table(Wheel("two-to-one-radial"), full=False):
        scale = max(abs(v) for key, v in known.items() if key[:3] == (name, state, what))
        worst = max(worst, abs(value - known[name, state, what, str(spoke)]) / scale)
    print(f"largest departure from expected.csv: {worst:.2e}")
    return 0 if worst < 1e-4 else 1


def main():
    arguments = argparse.ArgumentParser(description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter)
    arguments.add_argument("--live", action="store_true")
    arguments.add_argument("--wheel")
    chosen = arguments.parse_args()
    if chosen.live:
        return live()
    rows = []
    for name in [chosen.wheel] if chosen.wheel else names():
        rows += table(Wheel(name))
        print(name, "done", file=sys.stderr)
    out = io.StringIO()
    writer = csv.writer(out, lineterminator="\n")
    writer.writerow(["wheel", "state", "what", "spoke", "value"])
    for *head, value in rows:
        writer.writerow([*head, f"{value:.9g}"])
    if chosen.wheel:
        print(out.getvalue())
    else:
        (HERE / "expected.csv").write_text(out.getvalue())
    return 0


if __name__ == "__main__":
    os.environ.setdefault("OMP_NUM_THREADS", "1")
    sys.exit(main())
