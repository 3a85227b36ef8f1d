#!/usr/bin/env python3
"""How a lump hangs on a hook, worked out another way: turned until its centre of gravity lies
lowest (scipy minimises its height over the turns about x and y), the worst over the corners of the
box of the +-. And what the legs of its sling pull, from the balance of the ring. Writes hook.json."""
import itertools
import json

import numpy as np
from scipy.optimize import minimize

G = 9.80665

# mm and kg: centre of gravity with +-, the hook
LOADS = [
    dict(name='engine', mass=140, cg=[1000, 0, 500], tol=[10, 5, 5], hook=[1020, -8, 900]),
    dict(name='engine slung at one end', mass=140, cg=[1000, 0, 500], tol=[0, 0, 0], hook=[1180, 40, 820]),
    dict(name='axle', mass=62, cg=[0, 20, 300], tol=[15, 15, 10], hook=[0, 0, 1100]),
]
# mm: where the legs are on the load, and the ring
SLINGS = [
    dict(name='two legs', mass=140, ring=[0, 0, 600], legs=[[350, 0, 0], [-350, 0, 0]]),
    dict(name='two legs at 45 degrees', mass=140, ring=[0, 0, 500], legs=[[500, 0, 0], [-500, 0, 0]]),
    dict(name='three legs', mass=140, ring=[0, 0, 500], legs=[[400, 0, 0], [-200, 346.4102, 0], [-200, -346.4102, 0]]),
]


def turned(cg, hook):
    r = np.asarray(cg, float) - np.asarray(hook, float)

    def height(a):
        cx, sx, cy, sy = np.cos(a[0]), np.sin(a[0]), np.cos(a[1]), np.sin(a[1])
        p = np.array([r[0] * cy + r[2] * sy, r[1], -r[0] * sy + r[2] * cy])
        return p[1] * sx + p[2] * cx

    best = minimize(height, [0.01, -0.01], method='BFGS', options=dict(gtol=1e-12)).x
    cx, sx, cy, sy = np.cos(best[0]), np.sin(best[0]), np.cos(best[1]), np.sin(best[1])
    up = np.array([-sy, cy * sx, cx * cy])  # where the load's own z points
    return float(np.degrees(np.arccos(up[2])))


def main():
    for load in LOADS:
        load['tilt'] = max(turned(np.add(load['cg'], np.multiply(s, load['tol'])), load['hook']) for s in itertools.product([-1, 1], repeat=3))
    for s in SLINGS:
        u = np.array([np.subtract(s['ring'], leg) / np.linalg.norm(np.subtract(s['ring'], leg)) for leg in s['legs']])
        s['pulls'] = np.linalg.lstsq(u.T, [0, 0, s['mass'] * G], rcond=None)[0].tolist()
        s['angle'] = float(np.degrees(max(np.arccos(u[:, 2]))))
    json.dump(dict(loads=LOADS, slings=SLINGS), open('hook.json', 'w'), indent=1)


main()
