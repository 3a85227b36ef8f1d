#!/usr/bin/env python3
"""How the two legs of an arm bend, worked out another way.

Writes legs.json beside this file: arms of two tubes from a ball joint to two pivots that pass
force only, loaded by a weight somewhere on them, and what the tubes pass at their worst place.
Needs numpy.

The way differs from the program's on purpose: the arm is a space frame of round tubes,
welded together where they meet, solved by the stiffness method (12 x 12 beam elements,
every tube cut in pieces); the program takes each leg as a beam from pivot to apex. The
cross tube, the weld at the apex and what holds the load off the tube have the stiffness they have:
welded at its ends, a cross tube is bent less than one that turns there.
"""
import json

import numpy as np

G = 9.80665
E, NU = 210e9, 0.3


def section(od, wall):
    d, i = od / 1000, (od - 2 * wall) / 1000
    second = np.pi / 64 * (d ** 4 - i ** 4)
    return np.pi / 4 * (d * d - i * i), second


def beam(a, b, area, second):
    """Stiffness of a round bar from a to b, and the turn into its own axes."""
    along = b - a
    long = np.linalg.norm(along)
    x = along / long
    y = np.cross([0.3, 0.5, 0.81], x)
    y /= np.linalg.norm(y)
    turn = np.vstack([x, y, np.cross(x, y)])
    k = np.zeros((12, 12))
    for i, j, s in ((0, 6, E * area / long), (3, 9, E / (2 + 2 * NU) * 2 * second / long)):
        k[i, i] = k[j, j] = s
        k[i, j] = k[j, i] = -s
    for v, r, sign in ((1, 5, 1), (2, 4, -1)):
        c = E * second / long ** 3
        at = [v, r, v + 6, r + 6]
        bend = c * np.array([
            [12, sign * 6 * long, -12, sign * 6 * long],
            [sign * 6 * long, 4 * long ** 2, -sign * 6 * long, 2 * long ** 2],
            [-12, -sign * 6 * long, 12, -sign * 6 * long],
            [sign * 6 * long, 2 * long ** 2, -sign * 6 * long, 4 * long ** 2]])
        k[np.ix_(at, at)] += bend
    return k, np.kron(np.eye(4), turn)


class Frame:
    def __init__(self):
        self.nodes, self.bars = [], []

    def node(self, at):
        self.nodes.append(np.asarray(at, float) / 1000)
        return len(self.nodes) - 1

    def bar(self, a, b, sec, leg=None, pieces=8):
        last = a
        for n in range(1, pieces + 1):
            end = b if n == pieces else self.node((self.nodes[a] + (self.nodes[b] - self.nodes[a]) * n / pieces) * 1000)
            self.bars.append((last, end, sec, leg))
            last = end

    def solve(self, held, force):
        """held: (node, direction); force: node -> vector. Returns per bar its end forces in its own axes."""
        n = 6 * len(self.nodes)
        k, f = np.zeros((n, n)), np.zeros(n)
        parts = []
        for a, b, sec, leg in self.bars:
            own, turn = beam(self.nodes[a], self.nodes[b], *sec)
            at = [6 * a + i for i in range(6)] + [6 * b + i for i in range(6)]
            k[np.ix_(at, at)] += turn.T @ own @ turn
            parts.append((own, turn, at, leg))
        for node, v in force.items():
            f[6 * node:6 * node + 3] += v
        c = np.zeros((len(held), n))
        for row, (node, way) in enumerate(held):
            c[row, 6 * node:6 * node + 3] = way
        # Lagrange multipliers, scaled so that both halves are alike.
        scale = k.diagonal().max()
        whole = np.block([[k / scale, c.T], [c, np.zeros((len(held), len(held)))]])
        u = np.linalg.solve(whole, np.concatenate([f / scale, np.zeros(len(held))]))[:n]
        return [(own @ (turn @ u[at]), leg) for own, turn, at, leg in parts]


def worst(forces):
    """Of each leg and the cross tube: the largest sqrt(M^2 + 3/4 T^2) (its stress times the section modulus), and M there."""
    out = {}
    for f, leg in forces:
        if leg is None:
            continue
        for i in (0, 6):
            bend, twist = np.hypot(f[i + 4], f[i + 5]), abs(f[i + 3])
            as_bend = np.hypot(bend, np.sqrt(0.75) * twist)
            if as_bend > out.get(leg, (0,))[0]:
                out[leg] = (as_bend, bend, twist, abs(f[i]))
    return out


def turned(by):
    """A turn by three angles, degrees, about x, y and z."""
    a, b, c = np.radians(by)
    x = np.array([[1, 0, 0], [0, np.cos(a), -np.sin(a)], [0, np.sin(a), np.cos(a)]])
    y = np.array([[np.cos(b), 0, np.sin(b)], [0, 1, 0], [-np.sin(b), 0, np.cos(b)]])
    z = np.array([[np.cos(c), -np.sin(c), 0], [np.sin(c), np.cos(c), 0], [0, 0, 1]])
    return z @ y @ x


FEET = {  # front pivot, rear pivot, ball, mm, flat
    'even': ([130, 0, 0], [-130, 0, 0], [0, 380, 0]),
    'raked': ([140, 20, 0], [-140, 0, 0], [25, 385, 0]),
    'right angle': ([0, 0, 0], [-260, 0, 0], [0, 360, 0]),
}
STIFF = (1e-2, 1e-5)


def arm(name, feet, where, fraction, offset=0, height=0, cross=True, tilt=(0, 0, 0), held=(0, 0, 1), tube=(32, 3), cross_tube=(32, 3), kg=100):
    """held: the direction of the link that holds the ball. where: 'front', 'rear' or a number from 0 (on the front leg) to 1 (on the rear one) along the cross tube."""
    front, rear, ball = (turned(tilt) @ np.array(p, float) for p in FEET[feet])
    normal = np.cross(rear - front, ball - front)
    normal *= np.sign(normal[2]) / np.linalg.norm(normal)
    sec, cross_sec = section(*tube), section(*cross_tube)
    f = Frame()
    p1, p2, a = f.node(front), f.node(rear), f.node(ball)
    hinge = (front - rear) / np.linalg.norm(front - rear)
    if fraction >= 1:
        f.bar(p1, a, sec, 'front')
        f.bar(p2, a, sec, 'rear')
        load = a
        at = ball
    else:
        c1, c2 = front + (ball - front) * fraction, rear + (ball - rear) * fraction
        n1, n2 = f.node(c1), f.node(c2)
        f.bar(p1, n1, sec, 'front')
        f.bar(n1, a, sec, 'front')
        f.bar(p2, n2, sec, 'rear')
        f.bar(n2, a, sec, 'rear')
        share = {'front': 0, 'rear': 1}.get(where, where)
        foot = c1 + (c2 - c1) * share
        if share in (0, 1):
            foot_node = (n1, n2)[share]
            if cross:
                f.bar(n1, n2, cross_sec, 'cross')
        else:
            foot_node = f.node(foot)
            f.bar(n1, foot_node, cross_sec, 'cross')
            f.bar(foot_node, n2, cross_sec, 'cross')
        at = foot + normal * height + hinge * offset
        load = foot_node
        if height or offset:
            load = f.node(at)
            f.bar(foot_node, load, STIFF, pieces=1)
    got = worst(f.solve([(p, e) for p in (p1, p2) for e in np.eye(3)] + [(a, held)], {load: np.array([0, 0, -kg * G])}))
    leg = max(('front', 'rear'), key=lambda k: got[k][0])
    both = {k: dict(zip(('as_bend', 'bend', 'twist', 'thrust'), map(lambda v: round(float(v), 3), v))) for k, v in got.items()}
    return dict(name=name, front=list(map(float, front)), rear=list(map(float, rear)), ball=list(map(float, ball)), load=list(map(float, at)), held=list(map(float, held)), kg=kg,
                leg=leg, legs=both)


LEVEL, SLOPES, LEANS = (0, 0, 0), (-20, 0, 0), (-20, 15, 0)
ARMS = [
    arm('on the front leg, no cross tube', 'even', 'front', 0.7, cross=False),
    arm('on the front leg, cross tube', 'even', 'front', 0.7),
    arm('on the front leg of a raked arm', 'raked', 'front', 0.6, cross=False),
    arm('on the rear leg of a raked arm', 'raked', 'rear', 0.6, cross=False),
    arm('near the pivots', 'even', 'front', 0.3, cross=False),
    arm('near the apex', 'even', 'front', 0.93, cross=False),
    arm('mid cross tube', 'even', 0.5, 0.7),
    arm('mid cross tube, near the pivots', 'even', 0.5, 0.35),
    arm('mid cross tube of a raked arm', 'raked', 0.5, 0.6),
    arm('mid cross tube of a right angle', 'right angle', 0.5, 0.6),
    arm('a third along the cross tube', 'even', 0.33, 0.7),
    arm('a sixth along the cross tube', 'even', 0.16, 0.7),
    arm('mid of a stout cross tube', 'even', 0.5, 0.6, cross_tube=(50, 4)),
    arm('mid of a thin cross tube', 'even', 0.5, 0.6, cross_tube=(20, 2)),
    arm('mid cross tube just outside the pivots', 'even', 0.5, 0.2),
    arm('on a lug beside the cross tube', 'even', 0.5, 0.6, height=40, tilt=(30, 0, 0)),
    arm('at the apex', 'raked', 'front', 1),
    arm('at the apex, leaning', 'raked', 'front', 1, tilt=LEANS),
    arm('at the apex, held aslant', 'raked', 'front', 1, held=(0, 0.6, 0.8)),
    arm('at the apex, held aslant across', 'raked', 'front', 1, held=(0.4, -0.5, 0.768), tilt=LEANS),
    arm('on the front leg, held aslant', 'even', 'front', 0.7, held=(0.4, -0.5, 0.768), cross=False),
    arm('mid cross tube, held aslant', 'even', 0.5, 0.7, held=(0.4, -0.5, 0.768)),
    arm('on the front leg, sloping', 'even', 'front', 0.7, cross=False, tilt=SLOPES),
    arm('on the front leg, leaning', 'even', 'front', 0.7, cross=False, tilt=LEANS),
    arm('mid cross tube, leaning', 'raked', 0.5, 0.6, tilt=LEANS),
    arm('on a lug above the front leg, leaning', 'even', 'front', 0.7, height=30, cross=False, tilt=LEANS),
    arm('on a lug above the cross tube, leaning', 'even', 0.5, 0.7, height=30, tilt=LEANS),
    arm('on a lug outside the front leg', 'even', 'front', 0.6, offset=30, cross=False),
    arm('on a lug outside the front leg, cross tube', 'even', 'front', 0.6, offset=30),
    arm('on a lug square to the front leg', 'right angle', 'front', 0.6, offset=60, cross=False),
    arm('on a lug inside the front leg', 'even', 'front', 0.6, offset=-15, cross=False),
    arm('on a long lug inside the front leg', 'even', 'front', 0.6, offset=-45, cross=False),
]

if __name__ == '__main__':
    import pathlib
    text = json.dumps(dict(arms=ARMS), indent=1)
    pathlib.Path(__file__).with_name('legs.json').write_text(text + '\n')
