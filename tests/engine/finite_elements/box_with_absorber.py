"""Sound pressure in a box with one absorber, by finite elements.

Makes box_with_absorber.csv, which tests/engine/bass.rs holds the modal solution against. Needs the
general finite-element library scikit-fem with numpy and scipy:

    pip install numpy scipy scikit-fem
    python box_with_absorber.py > box_with_absorber.csv

Weak form of the Helmholtz equation for e^(+jwt), with locally reacting walls dp/dn = -jk b p:

    int grad p . grad v - k^2 p v  dV  +  jk oint b p v dS  =  4 pi v(source)

so that the source alone would make e^(-jkr)/r. Quadratic hexahedra whose faces follow the rim of the
absorber. Printed beside each figure is the same on a coarser grid: their difference is the error.
"""

import sys
import numpy as np
from scipy.sparse.linalg import splu
from skfem import Basis, BilinearForm, ElementHex2, FacetBasis, MeshHex, asm

SPEED = 343.2
SIZE = (4.2, 3.0, 2.4)
SOURCE = (0.9, 0.8, 1.1)
RECEIVERS = [(2.3, 1.5, 1.2), (1.6, 2.1, 1.7), (3.7, 0.5, 0.4)]
# Impedance over rho c of front, back, left, right, floor, ceiling.
WALLS = [30.0, 18.0 - 6.0j, 40.0, 40.0, 60.0, 25.0 - 10.0j]
# On the left wall: from and to, from the front wall and above the floor.
ABSORBER = ((1.2, 2.4), (0.6, 1.8))
ABSORBER_IMPEDANCE = 1.6 - 1.2j
FREQUENCIES = [30.0 * 2.0 ** (i / 8) for i in range(22)]


@BilinearForm
def stiffness(u, v, w):
    return sum(u.grad[i] * v.grad[i] for i in range(3))


@BilinearForm
def product(u, v, w):
    return u * v


def ticks(axis, marks, step):
    """Grid lines that hold every mark, no farther apart than the step."""
    marks = sorted({0.0, SIZE[axis], *marks})
    parts = [np.linspace(a, b, int(np.ceil((b - a) / step - 1e-9)) + 1) for a, b in zip(marks, marks[1:])]
    return np.unique(np.concatenate(parts).round(12))


def solve(step):
    mesh = MeshHex.init_tensor(
        ticks(0, ABSORBER[0], step), ticks(1, (), step), ticks(2, ABSORBER[1], step)
    )
    element = ElementHex2()
    basis = Basis(mesh, element)
    stiff, mass = asm(stiffness, basis), asm(product, basis)

    middles = mesh.p[:, mesh.facets].mean(axis=1)
    boundary = mesh.boundary_facets()
    damping = 0
    for surface in range(6):
        axis, far = surface // 2, surface % 2
        level = SIZE[axis] if far else 0.0
        facets = boundary[np.abs(middles[axis, boundary] - level) < 1e-9]
        within = np.zeros(len(facets), dtype=bool)
        if surface == 2:
            x, z = middles[0, facets], middles[2, facets]
            (a, b), (c, d) = ABSORBER
            within = (a < x) & (x < b) & (c < z) & (z < d)
        for part, impedance in ((facets[~within], WALLS[surface]), (facets[within], ABSORBER_IMPEDANCE)):
            if len(part):
                damping = damping + asm(product, FacetBasis(mesh, element, facets=part)) / impedance

    load = 4.0 * np.pi * basis.probes(np.array(SOURCE)[:, None]).toarray().ravel()
    heard = basis.probes(np.array(RECEIVERS).T)
    rows = []
    for hz in FREQUENCIES:
        k = 2.0 * np.pi * hz / SPEED
        matrix = (stiff - k * k * mass + 1j * k * damping).tocsc()
        rows.append(heard @ splu(matrix).solve(load.astype(complex)))
        print(f"step {step} m: {hz:.1f} Hz", file=sys.stderr)
    return np.array(rows)


def main():
    fine, coarse = solve(0.2), solve(0.3)
    print("hz," + ",".join(f"re_{i},im_{i},coarse_db_{i}" for i in range(len(RECEIVERS))))
    for hz, exact, other in zip(FREQUENCIES, fine, coarse):
        cells = [
            f"{p.real:.6e},{p.imag:.6e},{20 * np.log10(abs(q)):.4f}" for p, q in zip(exact, other)
        ]
        print(f"{hz:.6f}," + ",".join(cells))


if __name__ == "__main__":
    main()
