#!/usr/bin/env python3
"""How a vehicle really stands, worked out another way.

Writes stands.json beside this file: vehicles on supports with heights, friction, free
directions and straps, and what comes of it. Needs numpy and scipy, as reference.py,
whose way of writing constraints it uses.

The way differs from the program's on purpose:
  - what each way of standing passes is the root of all equations at once (Newton by
    scipy, least squares), the nonlinear ones of friction included; the program corrects
    linear ones;
  - what the points' +- do is a difference quotient of two whole solutions; the program
    takes derivatives;
  - pulls are found by trying and bisecting whole solutions; bending by thousands of cuts.
"""
import itertools
import json

import numpy as np
from scipy.linalg import null_space
from scipy.optimize import least_squares

import reference as ref
from reference import G, SIDES, Vehicle, jacobian, mirror

MM = 1000.0


class Stance(Vehicle):
    def __init__(self, name, about, push=0.05, pitch=0.0, roll=0.0):
        super().__init__(name, about, push)
        self.pitch, self.roll, self.ties, self.pulls, self.bends, self.scrubs = pitch, roll, [], [], [], []

    def stand(self, name, body, at, height=None, mu=None, rolls=None, floor=False):
        self.supports.append(dict(name=name, body=body, at=list(at), height=height, mu=mu, rolls=rolls, floor=floor))

    def tie(self, name, a, b, pa, pb, pushes=False):
        self.ties.append(dict(name=name, a=a, b=b, pa=list(pa), pb=list(pb), pushes=pushes))


def wrench(v, body, at, force):
    w = np.zeros(6 * len(v.bodies))
    k = 6 * v.index(body)
    w[k:k + 3] = force
    w[k + 3:k + 6] = np.cross(np.asarray(at, float) / MM, force)
    return w


def tie_wrench(v, t):
    u = np.asarray(t['pa'], float) - np.asarray(t['pb'], float)
    u = u / np.linalg.norm(u) * (-1 if t['pushes'] else 1)
    return wrench(v, t['b'], t['pb'], u) + wrench(v, t['a'], t['pa'], -u)


def frame_of(v, stands):
    """Down, forward and left of the plane through height - z of these supports, or of
    pitch and roll."""
    hx, hy = np.tan(v.pitch), np.tan(v.roll)
    if all(p['height'] is not None for p in v.supports) and len(stands) >= 3:
        a = np.array([[1, p['at'][0], p['at'][1]] for p in stands], float)
        h = np.array([p['height'] - p['at'][2] for p in stands], float)
        hx, hy = np.linalg.lstsq(a, h, rcond=None)[0][1:]
    up = np.array([hx, hy, 1.0])
    up /= np.linalg.norm(up)
    forward = np.array([1.0, 0, 0]) - up[0] * up
    forward /= np.linalg.norm(forward)
    return -up, forward, np.cross(up, forward)


class Way:
    """One choice of supports and ties that carry, solved for any push and set."""

    def __init__(self, v, J, N, on):
        n = len(v.supports)
        self.v, self.J, self.N, self.on = v, J, N, on
        self.stands = [j for j in on if j < n]
        self.down, self.fwd, self.left = frame_of(v, [v.supports[j] for j in self.stands])
        self.W = sum(b['mass'] for b in v.bodies) * G
        self.cg = sum(b['mass'] * np.asarray(b['cg'], float) for b in v.bodies) / (self.W / G) / MM

    def forces(self, V, a, S):
        """Level forces of the set S for a = (ax, ay, omega)."""
        out = {}
        for k, j in enumerate(self.on):
            if j not in S:
                continue
            p = self.v.supports[j]
            rho = np.asarray(p['at'], float) / MM - self.cg
            x, y = rho @ self.fwd, rho @ self.left
            f = V[k] * np.array([a[0] - a[2] * y, a[1] + a[2] * x])
            if p['rolls']:
                r = np.array([np.asarray(p['rolls']) @ self.fwd, np.asarray(p['rolls']) @ self.left])
                r /= np.linalg.norm(r)
                f = f - (f @ r) * r
            out[j] = f
        return out

    def total(self, V, f, extra):
        v, n = self.v, len(self.v.supports)
        w = extra.copy()
        for k, j in enumerate(self.on):
            if j < n:
                F = -V[k] * self.down
                if j in f:
                    F = F + f[j][0] * self.fwd + f[j][1] * self.left
                w += wrench(v, v.supports[j]['body'], v.supports[j]['at'], F)
            else:
                w += V[k] * tie_wrench(v, v.ties[j - n])
        return w

    def solve(self, px, py, S, extra=None, fixed=None):
        """V, level forces and joint forces; None where nothing balances."""
        load = ref.weight(self.v, self.down + px * self.fwd + py * self.left)
        if extra is not None:
            load = load + extra
        k, s = len(self.on), self.W

        def out(y):
            f = self.forces(y[:k] * s, y[k:], S) if fixed is None else fixed
            return self.N.T @ self.total(y[:k] * s, f, load) / s

        start = np.concatenate([np.full(k, 1.0 / k), np.zeros(3)])
        got = least_squares(out, start, method='lm', xtol=1e-15, ftol=1e-15, gtol=1e-15)
        if np.linalg.norm(got.fun) > 1e-9:
            return None
        V = got.x[:k] * s
        f = self.forces(V, got.x[k:], S) if fixed is None else fixed
        w = self.total(V, f, load)
        x = np.linalg.lstsq(self.J.T, -w, rcond=1e-12)[0]
        return V, f, x

    def slips(self, V, f, least=0.0):
        for k, j in enumerate(self.on):
            if j >= len(self.v.supports) or V[k] < 1e-8 * self.W:
                continue
            p = self.v.supports[j]
            if p['mu'] is None or p['mu'] == 0:
                continue
            F = -V[k] * self.down
            if j in f:
                F = F + f[j][0] * self.fwd + f[j][1] * self.left
            normal = -self.down if p['floor'] else np.array([0, 0, 1.0])
            along = F @ normal
            if np.linalg.norm(F - along * normal) > max(p['mu'], least) * along * (1 + 1e-9):
                return True
        return False

    def sets(self, V):
        takes = [j for k, j in enumerate(self.on) if j < len(self.v.supports) and V[k] > 1e-8 * self.W
                 and (self.v.supports[j]['mu'] is None or self.v.supports[j]['mu'] > 0)]
        if all(self.v.supports[j]['mu'] is None for j in takes):
            return [takes]
        return [list(c) for n in range(len(takes), 0, -1) for c in itertools.combinations(takes, n)]


def rank_of(v, N, down):
    cols = [N.T @ wrench(v, p['body'], p['at'], -down) for p in v.supports] + [N.T @ tie_wrench(v, t) for t in v.ties]
    return np.linalg.matrix_rank(np.array(cols), tol=1e-7)


def all_ways(v, J, N):
    n = len(v.supports) + len(v.ties)
    down = frame_of(v, v.supports)[0]
    rank = rank_of(v, N, down)
    for on in itertools.combinations(range(n), rank):
        w = Way(v, J, N, list(on))
        cols = np.array([N.T @ (wrench(v, v.supports[j]['body'], v.supports[j]['at'], -w.down) if j < len(v.supports)
                                else tie_wrench(v, v.ties[j - len(v.supports)])) for j in on])
        if np.linalg.cond(cols) > 1e8 or np.linalg.matrix_rank(cols, tol=1e-7) < rank:
            continue
        yield w


def run(v):
    J, owner = jacobian(v)
    N = null_space(J) if len(J) else np.eye(6 * len(v.bodies))
    mask = ref.left_open(J) if len(J) else []
    links = [(l['name'], owner.index(l['name'])) for l in v.links]
    W = sum(b['mass'] for b in v.bodies) * G
    span = {}

    def put(name, x):
        a = span.get(name, [np.inf, -np.inf])
        span[name] = [min(a[0], x), max(a[1], x)]

    pushes = [(0, 0)] + ([(v.push, 0), (-v.push, 0), (0, v.push), (0, -v.push)] if v.push else [])
    slews, gains, bends, straight = False, {}, {}, []
    for w in all_ways(v, J, N):
        base = w.solve(0, 0, [])
        if base is None:
            continue
        for px, py in pushes:
            # the proportional answer decides whether the way is one
            every = [j for j in w.stands]
            w2 = Way(v, J, N, w.on)
            frictionless = [dict(p, mu=None, rolls=None) for p in v.supports]
            kept, v.supports = v.supports, frictionless
            prop = w2.solve(px, py, every)
            v.supports = kept
            if prop is None or prop[0].min() < -1e-8 * W:
                continue
            held, stays = [], False
            for S in ([[]] if px == py == 0 else w.sets(prop[0])):
                got = w.solve(px, py, S)
                if got is None:
                    continue
                stays = stays or not w.slips(got[0], got[1])
                if not w.slips(got[0], got[1], 1.0):  # a contact may grip better than it is counted on
                    held.append(got)
            if not stays:
                slews = True
                continue
            if px == py == 0:
                straight.append(w)
                for c in v.scrubs:
                    for sign in (1, -1):
                        l, r = c['left'], c['right']
                        if l in w.on and r in w.on:
                            F = sign * c['mu'] * min(held[0][0][w.on.index(l)], held[0][0][w.on.index(r)])
                            held.append(w.solve(0, 0, [], fixed={l: np.array([0, -F]), r: np.array([0, F])}))
            for V, f, x in held:
                carried = dict(zip(w.on, V))
                for j, name in enumerate([p['name'] for p in v.supports] + [t['name'] for t in v.ties]):
                    put(name, carried.get(j, 0.0))
                for name, col in links:
                    if not mask[col]:
                        put(name, x[col])
                for b in v.bends:
                    m = bending(v, w, b, V, f, x, owner, px, py)
                    bends[b['body']] = max(bends.get(b['body'], 0.0), m)
    out = dict(span=span, slews=slews, pulls=[], bends=bends, gains={}, changes={})
    if not slews:
        # gains: a small push in proportion to the loads
        for w in straight:
            kept, v.supports = v.supports, [dict(p, mu=None, rolls=None) for p in v.supports]
            ways = [(1e-4, 0), (0, 1e-4)]
            for px, py in ways:
                a, b = w.solve(px, py, w.stands), w.solve(-px, -py, w.stands)
                for name, col in links:
                    if not mask[col]:
                        g = abs(a[2][col] - b[2][col]) / (2e-4 * W)
                        out['gains'][name] = max(out['gains'].get(name, 0.0), g)
            v.supports = kept
        changes(v, straight, links, mask, out)
        for p in v.pulls:
            out['pulls'].append(pull(v, straight, p, W))
    fields = ('name', 'about', 'push', 'pitch', 'roll', 'bodies', 'joints', 'links', 'supports', 'ties', 'scrubs', 'pulls', 'bends')
    return dict({k: getattr(v, k) for k in fields}, answers=out)


def changes(v, straight, links, mask, out, h=0.02):
    """Difference quotients by every coordinate of every joint and link end, 1 mm each."""
    def all_x():
        J, _ = jacobian(v)
        N = null_space(J)
        return [Way(v, J, N, w.on).solve(0, 0, [])[2] for w in straight]

    sums = [np.zeros(len(mask)) for _ in straight]
    places = [(j, 'at') for j in v.joints] + [(l, e) for l in v.links for e in ('pa', 'pb')]
    for item, key in places:
        for k in range(3):
            item[key][k] += h
            up = all_x()
            item[key][k] -= 2 * h
            down = all_x()
            item[key][k] += h
            for i in range(len(straight)):
                sums[i] += np.abs(up[i] - down[i]) / (2 * h)
    for name, col in links:
        if not mask[col]:
            out['changes'][name] = max(s[col] for s in sums)


def pull(v, straight, p, W):
    u = np.asarray(p['direction'], float)
    u /= np.linalg.norm(u)
    base = v.bodies[0]['name']

    def stands(F):
        """About no edge of the polygon of the supports does the moment turn it over."""
        down, fwd, left = frame_of(v, v.supports)
        pts = [np.asarray(q['at'], float) / MM for q in v.supports]
        cg = sum(b['mass'] * np.asarray(b['cg'], float) for b in v.bodies) / (W / G) / MM
        at = np.asarray(p['at'], float) / MM
        for i, j in itertools.permutations(range(len(pts)), 2):
            e = pts[j] - pts[i]
            moment = lambda x, force: np.cross(x - pts[i], force) @ e
            # an edge: lifting any other support turns the same way
            if any(moment(pts[k], -down) > 0 for k in range(len(pts)) if k not in (i, j)):
                continue
            if moment(cg, W * down) + moment(at, F * u) < 0:
                return False
        return True

    def bisect(ok, most):
        if ok(most):
            return None
        low, high = 0.0, most
        for _ in range(50):
            mid = (low + high) / 2
            low, high = (mid, high) if ok(mid) else (low, mid)
        return low

    def first_slip(w):
        """The least pull on this way that nobody takes, None where it rocks on before: a fine
        scan, then bisection."""
        V0 = w.solve(0, 0, [])[0]

        def state(F):
            got = [w.solve(0, 0, S, extra=wrench(v, base, p['at'], F * u)) for S in w.sets(V0)]
            got = [g for g in got if g is not None]
            if any(g[0].min() >= -1e-8 * W and not w.slips(g[0], g[1]) for g in got):
                return 'held'
            return 'lifts' if any(g[0].min() < -1e-8 * W for g in got) else 'slips'

        step, low = W / 100, 0.0
        while low < 2 * W and state(low + step) == 'held':
            low += step
        if low >= 2 * W or state(low + step) == 'lifts':
            return None
        high = low + step
        for _ in range(30):
            mid = (low + high) / 2
            low, high = (mid, high) if state(mid) == 'held' else (low, mid)
        return low

    slides = [x for x in map(first_slip, straight) if x is not None]
    return dict(tips=bisect(stands, 4 * W), slides=min(slides) if slides else None)


def bending(v, w, b, V, f, x, owner, px, py):
    """Greatest moment across the line, by many cuts."""
    u = np.asarray(b['to'], float) - np.asarray(b['from'], float)
    long = np.linalg.norm(u)
    u /= long
    acts = []
    for k, o in enumerate(owner):
        for j in v.joints:
            if j['name'] == o and b['body'] in (j['a'], j['b']):
                i = [q for q, r in enumerate(owner) if r == o].index(k)
                assert i < 3 and j['kind'] == 'ball'
                acts.append((j['at'], np.eye(3)[i] * x[k] * (1 if j['b'] == b['body'] else -1)))
        for l in v.links:
            if l['name'] == o and b['body'] in (l['a'], l['b']):
                d = np.asarray(l['pa'], float) - np.asarray(l['pb'], float)
                d /= np.linalg.norm(d)
                on_b = l['b'] == b['body']
                acts.append((l['pb'] if on_b else l['pa'], d * x[k] * (1 if on_b else -1)))
    for k, j in enumerate(w.on):
        if j < len(v.supports) and v.supports[j]['body'] == b['body']:
            F = -V[k] * w.down
            if j in f:
                F = F + f[j][0] * w.fwd + f[j][1] * w.left
            acts.append((v.supports[j]['at'], F))
    body = v.bodies[v.index(b['body'])]
    acts.append((body['cg'], body['mass'] * G * (w.down + px * w.fwd + py * w.left)))
    place = [(np.asarray(at, float) - b['from']) @ u for at, _ in acts]
    worst = 0.0
    cuts = np.concatenate([np.linspace(0, long * (1 - 1e-9), 400), [c + e for c in place if 0 < c < long for e in (-1e-7, 1e-7)]])
    for cut in cuts:
        about = np.asarray(b['from'], float) + cut * u
        M = sum((np.cross((np.asarray(at, float) - about) / MM, F) for (at, F), c in zip(acts, place) if c > cut), np.zeros(3))
        worst = max(worst, np.linalg.norm(M - (M @ u) * u))
    return worst


def three_wheeler():
    """Two wheels in front on a beam, one trailing arm behind; points in inches of a tape."""
    inch = 25.4
    v = Stance('trailing-arm three-wheeler', 'one trailing arm behind, uneven stands, points in whole and half inches')
    P = lambda x, y, z: [x * inch, y * inch, z * inch]
    v.body('frame', 210, P(52, 0.5, 16))
    v.body('arm', 19, P(7, 0, 12))
    v.body('beam', 34, P(88, 0, 10))
    v.joint('arm-left', 'ball', 'frame', 'arm', P(16, 7.5, 13))
    v.joint('arm-right', 'ball', 'frame', 'arm', P(16, -7.5, 13))
    v.joint('beam-bolts', 'fixed', 'frame', 'beam', P(88, 0, 12))
    v.link('strut', 'frame', 'arm', P(10, 0, 30), P(4, 0, 13))
    v.stand('stand-front-left', 'beam', P(88, 22, 8), height=14.5 * inch, mu=0.2)
    v.stand('stand-front-right', 'beam', P(88, -22, 8), height=15 * inch, mu=0.2)
    v.stand('stand-rear', 'arm', P(0.5, 0, 9), height=16.5 * inch, mu=0.2)
    v.pulls = [dict(at=P(60, 20, 14), direction=[0, 1, 0]), dict(at=P(0, 0, 30), direction=[-1, 0, 0]), dict(at=P(88, 26, 34), direction=[0, 0.6, 0.8])]
    v.bends = [{'body': 'arm', 'from': P(16, 0, 13), 'to': P(0.5, 0, 9)}]
    return v


def axle_on_jack():
    """A live axle on four links and a Panhard rod, its middle on a jack that rolls along; the
    front on two stands under a beam."""
    v = Stance('live axle on a rolling jack', 'four links and a Panhard rod, splayed; jack in the middle of the axle', push=0.05)
    v.body('frame', 360, (1300, -12, 420))
    v.body('axle', 74, (10, 0, 300))
    for side, s in SIDES:
        v.link(side + '-lower', 'frame', 'axle', (560, s * 340, 230), (20, s * 430, 240))
        v.link(side + '-bar', 'frame', 'axle', (60, s * 380, 700), (20, s * 440, 320))
    v.link('upper', 'frame', 'axle', (520, 40, 440), (10, 60, 430))
    v.link('panhard-rod', 'frame', 'axle', (-90, 390, 350), (-90, -390, 325))
    v.stand('stand-left', 'frame', (2150, 420, 180), mu=0.2)
    v.stand('stand-right', 'frame', (2150, -420, 180), mu=0.2)
    v.stand('jack', 'axle', (0, 0, 220), mu=0.1, rolls=[1, 0, 0])
    v.pitch, v.roll = 0.03, 0.0
    return v


def hub_stands(heights):
    """The double wishbones of reference.py on hub stands with friction."""
    w = ref.wishbones('wishbones', '', False)
    name = 'wishbones on hub stands' + (' set unevenly' if heights else '')
    v = Stance(name, 'four corners of arms, friction 0.2')
    v.bodies, v.joints, v.links = [dict(b, tol=0, cgtol=[0, 0, 0]) for b in w.bodies], w.joints, w.links
    for i, p in enumerate(w.supports):
        v.stand(p['name'], p['body'], p['at'], height=[400, 404, 397, 401][i] if heights else None, mu=0.2)
    v.pulls = [dict(at=[1200, 650, 300], direction=[0, 1, 0]), dict(at=[2300, 700, 860], direction=[0, 1, 0])]
    v.bends = [{'body': 'rl-lower', 'from': [0, 215, 160], 'to': [10, 590, 155]}, {'body': 'fl-lower', 'from': [2280, 225, 150], 'to': [2308, 600, 160]}]
    return v


def scrubbed():
    v = hub_stands(False)
    v.name, v.about = 'wishbones lowered on tyres', 'left and right hold each other across, 0.3'
    for i in range(4):
        v.supports[i]['floor'] = True
        v.supports[i]['mu'] = 0.3
    v.scrubs = [dict(left=0, right=1, mu=0.3), dict(left=2, right=3, mu=0.3)]
    v.pulls, v.bends = [], []
    return v


def axle_in_straps():
    """An axle whose links are off hangs in straps from a frame on stands: four straps down,
    two across, a hinge of two balls left in place."""
    v = Stance('axle in straps', 'the axle turns about two trailing-arm bushes and hangs in three straps')
    v.body('frame', 330, (1150, 8, 430))
    v.body('axle', 61, (60, -14, 300))
    v.joint('bush-left', 'ball', 'frame', 'axle', (520, 330, 260))
    v.joint('bush-right', 'ball', 'frame', 'axle', (520, -330, 260))
    v.tie('strap-left', 'frame', 'axle', (30, 360, 620), (0, 420, 330))
    v.tie('strap-right', 'frame', 'axle', (30, -360, 620), (0, -420, 330))
    v.tie('strap-middle', 'frame', 'axle', (-60, 30, 600), (-20, 0, 350))
    for n, x, y in (('fl', 1900, 300), ('fr', 1900, -300), ('rl', 500, 280), ('rr', 500, -280)):
        v.stand('stand-' + n, 'frame', (x, y, 200), mu=0.2)
    return v


if __name__ == '__main__':
    vehicles = [three_wheeler(), axle_on_jack(), hub_stands(False), hub_stands(True), scrubbed(), axle_in_straps()]
    ref.write('stands.json', dict(gravity=G, vehicles=[run(v) for v in vehicles]))
