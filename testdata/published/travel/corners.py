#!/usr/bin/env python3
"""Six corners solved by another solver, as a check on model/linkage.

Each body is a matrix of nine numbers and a shift of three; that the matrix turns
and does not stretch is six equations of its own. The equations are solved by
scipy's least_squares with differences for derivatives, from the pose before, in
steps of a millimetre. Nothing of this is as in the program: it turns bodies by
quaternions, keeps no equations for them and has derivatives of its own.

    python3 corners.py > corners.json

The geometry is our own and invented. Lengths in mm, angles in degrees; the travel
is the height of the wheel's face; toe in is positive, camber is that of ISO 8855,
positive with the top of the wheel outward.
"""
import json

import numpy as np
from scipy.optimize import least_squares

GROUND = -1


def wishbones(p):
    lower, upper, upright = 0, 1, 2
    return dict(
        bodies=3,
        balls=[(lower, GROUND, p[0]), (lower, GROUND, p[1]), (upright, lower, p[2]),
               (upper, GROUND, p[3]), (upper, GROUND, p[4]), (upright, upper, p[5])],
        bars=[(GROUND, upright, p[6], p[7])],
        strut=(GROUND, lower, p[8], p[9]),
        wheel=(upright, p[10]))


def corners():
    yield "special rear left", wishbones([[130, 215, 160], [-130, 215, 160], [10, 590, 155], [110, 285, 345], [-110, 285, 345], [-8, 560, 375],
                                         [-165, 225, 190], [-160, 588, 190], [50, 250, 520], [45, 475, 172], [0, 650, 280]])
    yield "special front left", wishbones([[2420, 215, 150], [2140, 235, 150], [2308, 600, 160], [2390, 270, 330], [2150, 285, 330], [2284, 570, 365],
                                          [2190, 245, 195], [2180, 592, 203], [2300, 265, 470], [2305, 480, 172], [2300, 660, 270]])
    yield "five links", dict(
        bodies=1, balls=[],
        bars=[(GROUND, 0, [180, 250, 150], [30, 600, 150]), (GROUND, 0, [-160, 240, 155], [-40, 605, 148]),
              (GROUND, 0, [140, 310, 350], [25, 570, 370]), (GROUND, 0, [-130, 300, 345], [-35, 572, 366]),
              (GROUND, 0, [-210, 260, 200], [-170, 590, 205])],
        strut=(GROUND, 0, [10, 330, 600], [5, 560, 200]), wheel=(0, [0, 650, 280]))
    yield "semi-trailing arm", dict(
        bodies=1, balls=[(0, GROUND, [420, 180, 270]), (0, GROUND, [330, 520, 285])], bars=[],
        strut=(GROUND, 0, [90, 430, 640], [40, 500, 250]), wheel=(0, [0, 660, 290]))
    yield "strut", dict(  # lower arm, upright with the damper's body, damper rod
        bodies=3,
        balls=[(0, GROUND, [2450, 330, 190]), (0, GROUND, [2150, 340, 185]), (1, 0, [2310, 640, 180]), (2, GROUND, [2280, 540, 780])],
        sliders=[(1, 2, [2296, 590, 480], [-32, -100, 600])],
        bars=[(GROUND, 1, [2190, 320, 230], [2180, 630, 235])],
        strut=(1, GROUND, [2300, 602, 420], [2280, 540, 780]), wheel=(1, [2300, 690, 300]))
    rocker = wishbones([[2450, 220, 160], [2160, 230, 158], [2320, 590, 165], [2400, 290, 340], [2180, 295, 335], [2290, 560, 370],
                        [2200, 240, 200], [2190, 585, 208], [0, 0, 0], [0, 0, 0], [2300, 650, 275]])
    rocker["bodies"] = 4
    rocker["hinges"] = [(3, GROUND, [2320, 300, 420], [1, 0.05, 0])]
    rocker["bars"].append((0, 3, [2318, 540, 180], [2322, 350, 450]))
    rocker["strut"] = (3, GROUND, [2318, 290, 500], [2300, 40, 480])
    yield "pushrod and rocker", rocker


def unit(v):
    return np.asarray(v, float) / np.linalg.norm(v)


def across(u):
    e = unit(np.cross(u, [0.3, -0.7, 0.2]))
    return e, np.cross(u, e)


class Solver:
    def __init__(self, c):
        self.c = c
        self.n = c["bodies"]
        points = [np.array(p, float) for b in c["balls"] for p in [b[2]]] + [np.array(c["wheel"][1], float)]
        self.mid = np.mean(points, axis=0)

    def at(self, q, body, p):
        p = np.asarray(p, float)
        if body == GROUND:
            return p
        m, s = q[12 * body:12 * body + 9].reshape(3, 3), q[12 * body + 9:12 * body + 12]
        return self.mid + m @ (p - self.mid) + 100 * s

    def turned(self, q, body, d):
        d = np.asarray(d, float)
        return d if body == GROUND else q[12 * body:12 * body + 9].reshape(3, 3) @ d

    def residual(self, q, height):
        c, r = self.c, []
        for b in range(self.n):
            m = q[12 * b:12 * b + 9].reshape(3, 3)
            r += list(100 * (m.T @ m - np.eye(3))[np.triu_indices(3)])
        for a, b, p in c["balls"]:
            r += list(self.at(q, a, p) - self.at(q, b, p))
        for a, b, p, axis in c.get("hinges", []):
            u = unit(axis)
            r += list(self.at(q, a, p) - self.at(q, b, p))
            r += [100 * self.turned(q, a, e) @ self.turned(q, b, u) for e in across(u)]
        for a, b, p, axis in c.get("sliders", []):
            u = unit(axis)
            d = self.at(q, b, p) - self.at(q, a, p)
            r += [self.turned(q, a, e) @ d for e in across(u)]
            r += [100 * self.turned(q, a, e) @ self.turned(q, b, u) for e in across(u)]
        for a, b, pa, pb in c["bars"]:
            long = np.linalg.norm(np.subtract(pa, pb))
            r.append(np.linalg.norm(self.at(q, a, pa) - self.at(q, b, pb)) - long)
        body, p = c["wheel"]
        r.append(self.at(q, body, p)[2] - p[2] - height)
        return np.array(r)

    def row(self, q, height):
        body, p = self.c["wheel"]
        axis = self.turned(q, body, [0, 1, 0])
        x = self.at(q, body, p)
        a, b, pa, pb = self.c["strut"]
        return dict(travel=height, toe=np.degrees(np.arctan2(axis[0], axis[1])), camber=np.degrees(-np.arcsin(axis[2])),
                    out=x[1] - p[1], back=p[0] - x[0], strut=np.linalg.norm(self.at(q, a, pa) - self.at(q, b, pb)))

    def solve(self):
        rows = []
        for sign in (-1, 1):
            q = np.tile(np.concatenate([np.eye(3).ravel(), np.zeros(3)]), self.n)
            for h in range(1, 41):
                s = least_squares(self.residual, q, args=(sign * h,), jac="3-point", method="trf", xtol=1e-15, ftol=1e-15, gtol=1e-15)
                q = s.x
                assert np.abs(s.fun).max() < 1e-7, (h, np.abs(s.fun).max())
                if h % 20 == 0:
                    rows.append(self.row(q, sign * h))
        return sorted(rows, key=lambda r: r["travel"])


if __name__ == "__main__":
    out = []
    for name, c in corners():
        rows = [{k: round(float(v), 7) for k, v in r.items()} for r in Solver(c).solve()]
        out.append(dict(name=name, geometry=c, rows=rows))
    lines = []
    for c in out:
        lines.append(" {" + f'"name": {json.dumps(c["name"])},\n  "geometry": {json.dumps(c["geometry"])},\n  "rows": [\n' +
                     ",\n".join("   " + json.dumps(r) for r in c["rows"]) + "]}")
    print("[\n" + ",\n".join(lines) + "\n]")
