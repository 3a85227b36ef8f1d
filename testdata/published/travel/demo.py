#!/usr/bin/env python3
"""testdata/sprung/special.yaml settled by another solver, as a check from the file to the figures.

The points, masses, rates and seats are copied from that file and its looks by hand; the corners are
those of corners.py, settled by settle.py, with the middle of the tyre where the file has it.

    python3 demo.py > demo.json
"""
import json

from corners import corners
from settle import NAMES, OnFloor, mirrored, stand

FRAME = [(118, [1180, 0, 330]), (128, [330, 15, 330]), (22, [1000, 0, 320]), (9, [950, 0, 300])]
FRONT = dict(radius=270, rate=25.0, masses=[(0, 3, [2290, 450, 155]), (1, 2, [2278, 450, 345]), (2, 16, [2305, 660, 272]), (2, 13, [2300, 680, 270])])
REAR = dict(radius=280, rate=30.0, masses=[(0, 3.5, [0, 430, 157]), (1, 2.5, [0, 440, 348]), (2, 18, [0, 655, 284]), (2, 15, [0, 670, 280])])
TYRE = {"special front left": [2300, 680, 270], "special rear left": [0, 670, 280]}
FREE = [250 + 151.6, 250 + 150.6, 250 + 219.0, 250 + 218.4]

if __name__ == "__main__":
    found = dict(corners())
    list_ = []
    for name, spec in (("special front left", FRONT), ("special rear left", REAR)):
        c = dict(found[name], wheel=(found[name]["wheel"][0], TYRE[name]))
        for side, corner in ((1, c), (-1, mirrored(c))):
            list_.append(OnFloor(corner, dict(spec, free=FREE[len(list_)]), side))
    _, answers = stand(FRAME, list_)
    print(json.dumps([dict(place=n.replace(" ", "-"), load=load, strut=strut) for n, (load, strut) in zip(NAMES, answers)]))
