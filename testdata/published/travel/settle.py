#!/usr/bin/env python3
"""A car on four coil springs, settled by another solver, as a check on model/linkage.

The corners are those of corners.py, each solved with its own equations. What a
wheel carries is how the energy of its corner's weights and springs changes when the
floor rises under it, by differences of energies; scipy's root finds the floor at
which these carry the weight where it is. The program instead works out forces from
velocities, and has a Newton of its own.

    python3 settle.py > settle.json

Own geometry and masses, invented. Lengths in mm, forces in N, masses in kg; the
floor is z = a + b x + c y in the frame's coordinates.
"""
import json

import numpy as np
from scipy.optimize import least_squares, root

from corners import Solver, corners

G = 9.80665
FRAME = [(118, [1180, 0, 330]), (128, [330, 15, 330]), (60, [1000, -30, 320])]
CORNER = {"special front left": dict(name="front", radius=270, rate=24.0, free=400.0, masses=[(0, 3, [2290, 450, 155]), (2, 29, [2303, 668, 271])]),
          "special rear left": dict(name="rear", radius=280, rate=30.0, free=450.0, masses=[(0, 3.5, [0, 430, 157]), (2, 33, [0, 662, 282])])}


def mirrored(c):
    f = lambda p: [p[0], -p[1], p[2]]
    return dict(bodies=c["bodies"], balls=[(a, b, f(p)) for a, b, p in c["balls"]], bars=[(a, b, f(p), f(q)) for a, b, p, q in c["bars"]],
                strut=(c["strut"][0], c["strut"][1], f(c["strut"][2]), f(c["strut"][3])), wheel=(c["wheel"][0], f(c["wheel"][1])))


class OnFloor(Solver):
    def __init__(self, c, spec, side):
        super().__init__(c)
        self.spec, self.side = spec, side
        self.q = np.tile(np.concatenate([np.eye(3).ravel(), np.zeros(3)]), self.n)

    def lowest(self, q, n):
        """Height along n of the lowest point of the tyre's disc."""
        body, p = self.c["wheel"]
        axis = self.turned(q, body, [0, self.side, 0])
        return n @ self.at(q, body, p) - self.spec["radius"] * np.sqrt(1 - (n @ axis) ** 2)

    def ground(self, q, n):
        """Where that point is."""
        body, p = self.c["wheel"]
        axis = self.turned(q, body, [0, self.side, 0])
        down = (n @ axis) * axis - n
        return self.at(q, body, p) + self.spec["radius"] * down / np.linalg.norm(down)

    def settle(self, n, d):
        def res(q):
            r = self.residual(q, 0)
            r[-1] = self.lowest(q, n) - d
            return r
        s = least_squares(res, self.q, jac="3-point", method="trf", xtol=1e-15, ftol=1e-15, gtol=1e-15)
        assert np.abs(s.fun).max() < 1e-7
        self.q = s.x
        return s.x

    def length(self, q):
        a, b, pa, pb = self.c["strut"]
        return np.linalg.norm(self.at(q, a, pa) - self.at(q, b, pb))

    def energy(self, q, n):
        e = 0.5 * self.spec["rate"] * max(0.0, self.spec["free"] - self.length(q)) ** 2
        for body, m, p in self.spec["masses"]:
            p = [p[0], self.side * p[1], p[2]]
            e += m * G * (n @ self.at(q, body, p))
        return e


def plane(x):
    n = np.array([-x[1], -x[2], 1.0])
    n /= np.linalg.norm(n)
    return n, x[0] * n[2]


def stand(frame, list_):
    """The floor [mm, 1, 1] under a frame on corners, its normal and distance, and what the wheels carry, N."""
    weight = G * (sum(m for m, _ in frame) + sum(m for c in list_ for _, m, _ in c.spec["masses"]))

    def load(c, n, d, h=0.05):
        return (c.energy(c.settle(n, d + h), n) - c.energy(c.settle(n, d - h), n)) / (2 * h)

    def off(y):
        """Force and moments that are left over, over the weight and a metre."""
        n, d = plane([y[0], y[1] / 1000, y[2] / 1000])
        force, moment = -weight, np.zeros(3)
        for m, p in frame:
            moment -= m * G * np.array(p, float)
        for c in list_:
            f = load(c, n, d)
            q = c.settle(n, d)
            force += f
            moment += f * c.ground(q, n)
            for body, m, p in c.spec["masses"]:
                moment -= m * G * c.at(q, body, [p[0], c.side * p[1], p[2]])
        return np.array([force, *(np.cross(n, moment)[:2] / 1000)]) / weight

    y = root(off, np.zeros(3), method="hybr", options=dict(xtol=1e-10)).x
    assert np.abs(off(y)).max() < 1e-8
    x = [y[0], y[1] / 1000, y[2] / 1000]
    n, d = plane(x)
    return x, [(round(load(c, n, d), 3), round(c.length(c.settle(n, d)), 5)) for c in list_]


NAMES = ("front left", "front right", "rear left", "rear right")

if __name__ == "__main__":
    found = dict(corners())
    list_ = []
    for name in ("special front left", "special rear left"):
        list_.append(OnFloor(found[name], CORNER[name], 1))
        list_.append(OnFloor(mirrored(found[name]), CORNER[name], -1))
    x, answers = stand(FRAME, list_)
    wheels = [dict(name=name, load=load, strut=strut) for name, (load, strut) in zip(NAMES, answers)]
    out = dict(floor=[round(x[0], 5), round(x[1], 8), round(x[2], 8)], frame=FRAME, corners=[dict(geometry=k, **CORNER[k]) for k in CORNER], wheels=wheels)
    print("{\n" + ",\n".join(f' "{k}": ' + json.dumps(v) for k, v in out.items()) + "\n}")
