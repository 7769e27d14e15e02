"""Sound pressure in a box with one body in it, by finite elements.

Makes bodies.csv, which tests/engine/bass_bodies.rs holds the wave field against. Needs the general
finite-element library scikit-fem with numpy and scipy:

    pip install numpy scipy scikit-fem
    python bodies.py > bodies.csv

Weak form of the Helmholtz equation for e^(+jwt), with locally reacting surfaces dp/dn = -jk b p:

    int grad p . grad v - k^2 p v  dV  +  jk oint b p v dS  =  4 pi v(source)

so that the source alone would make e^(-jkr)/r. Quadratic hexahedra, smaller at the edges of the body. A solid
body is left out of the mesh; a plate is a slit in it, the nodes on it double. Printed beside each figure is the
same on a coarser grid: their difference is the error.
"""

import sys
import numpy as np
from scipy.sparse.linalg import splu
from skfem import Basis, BilinearForm, ElementHex2, FacetBasis, MeshHex, asm

SPEED = 343.2
SIZE = (4.2, 3.0, 2.4)
SOURCE = (0.6, 0.8, 1.1)
RECEIVERS = [(2.3, 1.5, 1.2), (1.6, 2.1, 1.7), (3.7, 2.6, 0.9)]
# Impedance over rho c of front, back, left, right, floor, ceiling.
WALLS = [30.0, 18.0 - 6.0j, 40.0, 40.0, 60.0, 25.0 - 10.0j]
FREQUENCIES = [30.0 * 2.0 ** (i / 4) for i in range(12)]
# Name, from and to along each axis (a plate has one coordinate twice), impedance over rho c.
BODIES = [
    ("sofa", ((2.6, 3.4), (0.8, 2.4), (0.0, 0.6)), 3.0 - 3.0j),
    ("block in a corner", ((3.2, 4.2), (0.0, 1.0), (0.0, 2.4)), 50.0),
    ("cloud", ((0.9, 2.3), (0.7, 2.3), (1.95, 1.95)), 2.0 - 3.0j),
    ("screen", ((2.0, 2.0), (0.0, 1.4), (0.0, 1.5)), 1000.0),
]


@BilinearForm
def stiffness(u, v, w):
    return sum(u.grad[i] * v.grad[i] for i in range(3))


@BilinearForm
def product(u, v, w):
    return u * v


def ticks(axis, marks, step):
    """Grid lines that hold every mark, no farther apart than the step, closer beside the marks."""
    inside = [mark for mark in marks if 0.0 < mark < SIZE[axis]]
    near = [mark + side * part * step for mark in inside for side in (-1, 1) for part in (0.2, 0.55)]
    marks = sorted({0.0, SIZE[axis], *inside, *(x for x in near if 0.0 < x < SIZE[axis])})
    marks = [m for i, m in enumerate(marks) if i == 0 or m - marks[i - 1] > 1e-6]
    parts = [np.linspace(a, b, int(np.ceil((b - a) / step - 1e-9)) + 1) for a, b in zip(marks, marks[1:])]
    return np.unique(np.concatenate(parts).round(12))


def mesh_around(body, step):
    """The mesh, and the facets of the body."""
    mesh = MeshHex.init_tensor(*(ticks(axis, body[axis], step) for axis in range(3)))
    thin = [axis for axis in range(3) if body[axis][0] == body[axis][1]]
    if not thin:
        middles = mesh.p[:, mesh.t].mean(axis=1)
        within = np.all([(body[a][0] < middles[a]) & (middles[a] < body[a][1]) for a in range(3)], axis=0)
        mesh = mesh.remove_elements(np.nonzero(within)[0])
    else:
        (axis,) = thin
        level = body[axis][0]
        on_plate = np.abs(mesh.p[axis] - level) < 1e-9
        for other in {0, 1, 2} - {axis}:
            low, high = body[other]
            x = mesh.p[other]
            on_plate &= ((low + 1e-9 < x) | (low < 1e-9)) & ((x < high - 1e-9) | (high > SIZE[other] - 1e-9))
        old = np.nonzero(on_plate)[0]
        new = np.arange(mesh.p.shape[1])
        new[old] = mesh.p.shape[1] + np.arange(len(old))
        beyond = mesh.p[:, mesh.t].mean(axis=1)[axis] > level
        t = mesh.t.copy()
        t[:, beyond] = new[t[:, beyond]]
        mesh = MeshHex(np.hstack([mesh.p, mesh.p[:, old]]), t, sort_t=False)
    middles = mesh.p[:, mesh.facets].mean(axis=1)
    boundary = mesh.boundary_facets()
    at = middles[:, boundary]
    of_room = np.any([(np.abs(at[a]) < 1e-9) | (np.abs(at[a] - SIZE[a]) < 1e-9) for a in range(3)], axis=0)
    return mesh, boundary[~of_room]


def solve(body, impedance, step):
    mesh, facets_of_body = mesh_around(body, step)
    element = ElementHex2()
    basis = Basis(mesh, element)
    stiff, mass = asm(stiffness, basis), asm(product, basis)
    middles = mesh.p[:, mesh.facets].mean(axis=1)
    boundary = mesh.boundary_facets()
    damping = asm(product, FacetBasis(mesh, element, facets=facets_of_body)) / impedance
    for surface in range(6):
        axis, far = surface // 2, surface % 2
        level = SIZE[axis] if far else 0.0
        facets = boundary[np.abs(middles[axis, boundary] - level) < 1e-9]
        damping = damping + asm(product, FacetBasis(mesh, element, facets=facets)) / WALLS[surface]
    load = 4.0 * np.pi * basis.probes(np.array(SOURCE)[:, None]).toarray().ravel()
    heard = basis.probes(np.array(RECEIVERS).T)
    rows = []
    for hz in FREQUENCIES:
        k = 2.0 * np.pi * hz / SPEED
        matrix = (stiff - k * k * mass + 1j * k * damping).tocsc()
        rows.append(heard @ splu(matrix).solve(load.astype(complex)))
    print(f"step {step} m: {mesh.t.shape[1]} elements", file=sys.stderr)
    return np.array(rows)


def main():
    print("body,hz," + ",".join(f"re_{i},im_{i},coarse_db_{i}" for i in range(len(RECEIVERS))))
    for name, body, impedance in BODIES:
        coarse, fine = solve(body, impedance, 0.4), solve(body, impedance, 0.28)
        for hz, exact, other in zip(FREQUENCIES, fine, coarse):
            cells = [
                f"{p.real:.6e},{p.imag:.6e},{20 * np.log10(abs(q)):.4f}" for p, q in zip(exact, other)
            ]
            print(f"{name},{hz:.6f}," + ",".join(cells), flush=True)


if __name__ == "__main__":
    main()
