#!/usr/bin/env python3
"""Reference answers for model/statics, worked out another way.

Writes reference.json beside this file: the inputs and the answers.
Needs numpy and scipy (Debian: python3-numpy, python3-scipy). No random numbers,
no clock: the same versions write the same numbers.

The way differs from the program's on purpose:
  - constraints are written on velocities about the world origin, in m and N,
    and forces are their multipliers (the program balances bodies about their own
    centres of gravity, scaled);
  - every question is a linear program or a small stationarity system over all
    forces and reactions at once; there is no null space and no singular value;
  - ways of standing are found by trying every subset of the supports;
  - the +- of the masses are tried corner by corner.
"""
import itertools
import json
import os
import sys

import numpy as np
from scipy.optimize import linprog

G = 9.80665


class Vehicle:
    """Bodies, joints, links and supports under names, lengths in mm."""

    def __init__(self, name, about, push):
        self.name, self.about, self.push = name, about, push
        self.bodies, self.joints, self.links, self.supports = [], [], [], []
        self.losses = []

    def body(self, name, mass, cg, tol=0.0, cgtol=(0, 0, 0)):
        self.bodies.append(dict(name=name, mass=mass, tol=tol, cg=list(cg), cgtol=list(cgtol)))

    def joint(self, name, kind, a, b, at, axis=(0, 0, 0)):
        self.joints.append(dict(name=name, kind=kind, a=a, b=b, at=list(at), axis=list(axis)))

    def link(self, name, a, b, pa, pb):
        self.links.append(dict(name=name, a=a, b=b, pa=list(pa), pb=list(pb)))

    def support(self, name, body, at):
        self.supports.append(dict(name=name, body=body, at=list(at)))

    def index(self, name):
        return [b['name'] for b in self.bodies].index(name)


def jacobian(v):
    """Rows: constraints on the velocities (v at the world origin, w) of all bodies.
    Returns the matrix and, for every row, the item it belongs to."""
    n = 6 * len(v.bodies)
    rows, owner = [], []

    def point(body, at, d):
        """d . velocity of a point, as a row."""
        r = np.zeros(n)
        k = 6 * v.index(body)
        r[k:k + 3] = d
        r[k + 3:k + 6] = np.cross(np.asarray(at, float) / 1000, d)
        return r

    def spin(body, d):
        r = np.zeros(n)
        k = 6 * v.index(body)
        r[k + 3:k + 6] = d
        return r

    for j in v.joints:
        for d in np.eye(3):
            rows.append(point(j['b'], j['at'], d) - point(j['a'], j['at'], d))
            owner.append(j['name'])
        if j['kind'] == 'fixed':
            about = np.eye(3)
        elif j['kind'] == 'pivot':
            axis = np.asarray(j['axis'], float)
            axis = axis / np.linalg.norm(axis)
            # any two directions square to the axis
            about = np.linalg.qr(np.column_stack([axis, np.eye(3)]))[0].T[1:3]
        else:
            about = []
        for d in about:
            rows.append(spin(j['b'], d) - spin(j['a'], d))
            owner.append(j['name'])
    for l in v.links:
        u = (np.asarray(l['pa'], float) - np.asarray(l['pb'], float))
        u = u / np.linalg.norm(u)
        rows.append(point(l['b'], l['pb'], u) - point(l['a'], l['pa'], u))
        owner.append(l['name'])
    return np.array(rows).reshape(-1, n), owner


def supports(v, g):
    n = 6 * len(v.bodies)
    s = np.zeros((len(v.supports), n))
    for i, p in enumerate(v.supports):
        k = 6 * v.index(p['body'])
        s[i, k:k + 3] = -g
        s[i, k + 3:k + 6] = np.cross(np.asarray(p['at'], float) / 1000, -g)
    return s


def weight(v, g, masses=None, cgs=None):
    f = np.zeros(6 * len(v.bodies))
    for i, b in enumerate(v.bodies):
        m = b['mass'] if masses is None else masses[i]
        c = np.asarray(b['cg'] if cgs is None else cgs[i], float) / 1000
        f[6 * i:6 * i + 3] = m * G * g
        f[6 * i + 3:6 * i + 6] = np.cross(c, m * G * g)
    return f


def directions(v):
    s = v.push
    return [('straight down', np.array([0, 0, -1.0])),
            ('forward', np.array([s, 0, -1.0])), ('back', np.array([-s, 0, -1.0])),
            ('left', np.array([0, s, -1.0])), ('right', np.array([0, -s, -1.0]))]


def stationary(J, S, f, weights_l, weights_r, on):
    """Least sum of weighted squares of forces and reactions (only `on` push)
    that balances f; None when nothing balances it."""
    m, k = J.shape[0], len(on)
    A = np.hstack([J.T, S[on].T])
    W = np.diag(np.concatenate([np.full(m, weights_l), np.full(k, weights_r)]))
    n = A.shape[0]
    K = np.block([[W, A.T], [A, np.zeros((n, n))]])
    rhs = np.concatenate([np.zeros(m + k), -f])
    x = np.linalg.lstsq(K, rhs, rcond=1e-13)[0]
    if np.linalg.norm(A @ x[:m + k] + f) > 1e-8 * np.linalg.norm(f):
        return None
    return x[:m], x[m:m + k]


def inside(J, S, f, r):
    """Least-norm forces for given reactions."""
    x = np.linalg.lstsq(J.T, -f - S.T @ r, rcond=1e-12)[0]
    assert np.linalg.norm(J.T @ x + f + S.T @ r) < 1e-8 * np.linalg.norm(f)
    return x


def even_floor(J, S, f):
    """Least sum of squares of the reactions, none pulling: the best over all
    subsets of the supports of the subset's own optimum that does not pull."""
    best, n = None, S.shape[0]
    for k in range(1, n + 1):
        for on in itertools.combinations(range(n), k):
            got = stationary(J, S, f, 0.0, 1.0, list(on))
            if got is None or got[1].min() < -1e-7 * np.abs(f).max():
                continue
            r = np.zeros(n)
            r[list(on)] = got[1]
            if best is None or r @ r < best @ best - 1e-9 * (best @ best):
                best = r
    return best


def lp(J, S, f, cost, free=None, fixed=None, on=None):
    """Linear program over all forces (free) and reactions (>= 0).
    cost acts on [forces, reactions]; `free` masks forces that exist; `fixed`
    pins the reactions; `on` lets only these supports push."""
    m, n = J.shape[0], S.shape[0]
    F = np.abs(f).max()
    A = np.hstack([J.T, S.T])
    bounds = [(None, None) if free is None or free[i] else (0, 0) for i in range(m)]
    for j in range(n):
        if fixed is not None:
            bounds.append((fixed[j] / F, fixed[j] / F))
        else:
            bounds.append((0, None) if on is None or j in on else (0, 0))
    return linprog(cost, A_eq=A, b_eq=-f / F, bounds=bounds, method='highs'), F


def slack(J, S, f, free, fixed=None, gone=()):
    """Least total imbalance: zero when equilibrium is possible."""
    m, n, q = J.shape[0], S.shape[0], J.shape[1]
    F = np.abs(f).max()
    A = np.hstack([J.T, S.T, np.eye(q), -np.eye(q)])
    bounds = [(None, None) if free[i] else (0, 0) for i in range(m)]
    for j in range(n):
        if fixed is not None:
            bounds.append((fixed[j] / F, fixed[j] / F))
        else:
            bounds.append((0, 0) if j in gone else (0, None))
    bounds += [(0, None)] * (2 * q)
    res = linprog(np.concatenate([np.zeros(m + n), np.ones(2 * q)]), A_eq=A, b_eq=-f / F, bounds=bounds, method='highs')
    assert res.status == 0, res.message
    return res.fun


def ways(J, S, f):
    """Every least set of supports that carries everything alone."""
    n, found = S.shape[0], []
    for k in range(1, n + 1):
        for on in itertools.combinations(range(n), k):
            if any(set(w[0]) <= set(on) for w in found):
                continue
            res, _ = lp(J, S, f, np.zeros(J.shape[0] + n), on=on)
            if res.status != 0:
                continue
            r = stationary(J, S, f, 0.0, 1.0, list(on))[1]
            if r.min() > 1e-6 * np.abs(f).max():
                found.append((list(on), r))
    return found


def left_open(J):
    """Which unknowns self-stress leaves open: some set of forces within +-1 that
    balances itself has this one in it."""
    m = J.shape[0]
    mask = []
    for col in range(m):
        cost = np.zeros(m)
        cost[col] = -1.0
        res = linprog(cost, A_eq=J.T, b_eq=np.zeros(J.shape[1]), bounds=[(-1, 1)] * m, method='highs')
        assert res.status == 0, res.message
        mask.append(-res.fun > 1e-6)
    return mask


def extremes(J, S, f, col):
    """Least and greatest of one unknown over all admissible reactions, or None
    when self-stress leaves it open."""
    out = []
    for sign in (1.0, -1.0):
        cost = np.zeros(J.shape[0] + S.shape[0])
        cost[col] = sign
        res, F = lp(J, S, f, cost)
        if res.status != 0:
            return None
        out.append(sign * res.fun * F)
    return out


def corners(v):
    """The box of all +-: every choice of the ends (mass, and each cg axis)."""
    axes = []
    for i, b in enumerate(v.bodies):
        if b['tol']:
            axes.append([(i, 'm', -b['tol']), (i, 'm', b['tol'])])
        for k in range(3):
            if b['cgtol'][k]:
                axes.append([(i, k, -b['cgtol'][k]), (i, k, b['cgtol'][k])])
    for choice in itertools.product(*axes):
        masses = [b['mass'] for b in v.bodies]
        cgs = [list(b['cg']) for b in v.bodies]
        for i, what, d in choice:
            if what == 'm':
                masses[i] += d
            else:
                cgs[i][what] += d
        yield masses, cgs


def run(v):
    J, owner = jacobian(v)
    n = len(v.supports)
    out = dict(even=None, forces={}, ways=[], nominal={}, worst={}, losses=[])

    # straight down
    g0 = directions(v)[0][1]
    f0, S0 = weight(v, g0), supports(v, g0)
    r0 = even_floor(J, S0, f0)
    out['even'] = {v.supports[i]['name']: r0[i] for i in range(n)}
    x = inside(J, S0, f0, r0)
    # The least-norm answer weighs moments against forces by a length that is the
    # program's own choice; where a moment is open, open forces are left out.
    mask = left_open(J)
    moments = [j['name'] for j in v.joints if any([o for k, o in enumerate(mask) if owner[k] == j['name']][3:])]
    for item in v.joints + v.links:
        cols = [k for k, o in enumerate(owner) if o == item['name']][:3]
        out['forces'][item['name']] = [None if mask[k] and moments else x[k] for k in cols]
    for on, r in ways(J, S0, f0):
        out['ways'].append({v.supports[i]['name']: r[k] for k, i in enumerate(on)})

    # least and greatest over the directions and the admissible reactions
    items = [('support', s['name'], len(J) + i) for i, s in enumerate(v.supports)]
    items += [('link', l['name'], owner.index(l['name'])) for l in v.links]

    def over(loads):
        acc = {}
        for masses, cgs in loads:
            for _, g in directions(v):
                f, S = weight(v, g, masses, cgs), supports(v, g)
                for kind, name, col in items:
                    e = extremes(J, S, f, col)
                    if e is None:
                        acc[name] = None
                        continue
                    if name in acc and acc[name] is None:
                        continue
                    a = acc.get(name, [np.inf, -np.inf])
                    acc[name] = [min(a[0], e[0]), max(a[1], e[1])]
        return acc

    out['nominal'] = over([(None, None)])
    if any(b['tol'] or any(b['cgtol']) for b in v.bodies):
        out['worst'] = over(corners(v))

    # what lets go
    for loss in v.losses:
        gone = [i for i, s in enumerate(v.supports) if s['name'] in loss['gone']]
        free = [o not in loss['gone'] for o in owner]
        holds, other = True, True
        for _, g in directions(v):
            f, S = weight(v, g), supports(v, g)
            cases = [np.array([dict(zip(on, r)).get(i, 0.0) for i in range(n)]) for on, r in ways(J, S, f)]
            for r in cases:
                if gone and max(r[i] for i in gone) > 1e-6 * np.abs(f).max():
                    holds = False
                elif slack(J, S, f, free, fixed=r) > 1e-6:
                    holds = False
            if slack(J, S, f, free, gone=gone) > 1e-6:
                other = False
        out['losses'].append(dict(gone=loss['gone'], why=loss['why'], drops=loss['drops'], holds=holds, other=other))
    return dict(name=v.name, about=v.about, push=v.push, bodies=v.bodies, joints=v.joints, links=v.links,
                supports=v.supports, answers=out)


def mirror(p, side):
    return [p[0], side * p[1], p[2]]


SIDES = (('l', 1), ('r', -1))


def wishbones(name, about, on_frame):
    """Double wishbones all round (hard points of the hill-climb special)."""
    v = Vehicle(name, about, 0.05)
    v.body('frame', 277, (823.0, 6.9, 328.0), tol=18)
    front = dict(m=21, cg=(2300, 610, 262), lf=(2420, 215, 150), lr=(2140, 235, 150), lb=(2308, 600, 160),
                 uf=(2390, 270, 330), ur=(2150, 285, 330), ub=(2284, 570, 365), ti=(2190, 245, 195),
                 to=(2180, 592, 203), sb=(2305, 480, 172), st=(2300, 265, 470), stand=(2300, 592, 100))
    rear = dict(m=24, cg=(0, 600, 272), lf=(130, 215, 160), lr=(-130, 215, 160), lb=(10, 590, 155),
                uf=(110, 285, 345), ur=(-110, 285, 345), ub=(-8, 560, 375), ti=(-165, 225, 190),
                to=(-160, 588, 190), sb=(45, 475, 172), st=(50, 250, 520), stand=(0, 585, 100))
    for end, c in (('f', front), ('r', rear)):
        for side, s in SIDES:
            p = end + side + '-'
            at = lambda k: mirror(c[k], s)
            v.body(p + 'lower', 4, np.mean([at('lf'), at('lr'), at('lb')], axis=0).round(3).tolist())
            v.body(p + 'upper', 3, np.mean([at('uf'), at('ur'), at('ub')], axis=0).round(3).tolist())
            v.body(p + 'upright', c['m'] - 7, mirror((c['cg'][0], c['cg'][1] + 20, c['cg'][2]), s),
                   tol=2 if p == 'fl-' else 0, cgtol=(8, 0, 0) if p == 'fl-' else (0, 0, 0))
            for j, a, b, k in (('lower-front', 'frame', 'lower', 'lf'), ('lower-rear', 'frame', 'lower', 'lr'),
                               ('upper-front', 'frame', 'upper', 'uf'), ('upper-rear', 'frame', 'upper', 'ur'),
                               ('lower-ball', 'lower', 'upright', 'lb'), ('upper-ball', 'upper', 'upright', 'ub')):
                v.joint(p + j, 'ball', a if a == 'frame' else p + a, p + b, at(k))
            v.link(p + 'toe', 'frame', p + 'upright', at('ti'), at('to'))
            v.link(p + 'strut', 'frame', p + 'lower', at('st'), at('sb'))
            if not on_frame:
                v.support('stand-' + end + side, p + 'upright', at('stand'))
    if on_frame:
        for n, x, y in (('fl', 1750, 240), ('fr', 1750, -240), ('rl', 250, 230), ('rr', 250, -230)):
            v.support('stand-' + n, 'frame', (x, y, 150))
    corner = ['rl-lower', 'rl-upper', 'rl-upright']
    drop = lambda names: names if on_frame else []
    v.losses = [
        dict(gone=['rl-strut'], why='one corner loses its bar', drops=drop(corner)),
        dict(gone=['rl-lower-ball'], why='one upright leaves its lower arm, which its bar and pivots keep', drops=drop(['rl-upper', 'rl-upright'])),
        dict(gone=['rl-lower-front'], why='one arm on one pivot', drops=drop(corner)),
        dict(gone=['fl-toe'], why='the upright may turn', drops=drop(['fl-upright'])),
        dict(gone=['rl-strut', 'rr-strut'], why='both rear bars', drops=drop(corner + ['rr-lower', 'rr-upper', 'rr-upright'])),
        dict(gone=['stand-rl'], why='one stand', drops=[]),
        dict(gone=['stand-fl', 'stand-fr'], why='both front stands', drops=[]),
    ]
    return v


def live_axles():
    """Ladder frame, two live axles, each on two leaf springs: a fixed eye, a shackle and
    a perch; the leaf is a rigid body, clamped to the axle."""
    v = Vehicle('live-axles', 'ladder frame on leaf springs, stands under the axle tubes', 0.05)
    v.body('frame', 516, (1767, 9.4, 690), tol=30, cgtol=(10, 10, 0))
    for end, x, m, xe, xs_f, xs_s, zs in (('front', 2500, 218, 3010, 1960, 1975, (470, 545, 455)),
                                         ('rear', 0, 198, 575, -590, -600, (500, 590, 490))):
        axle = end + '-axle'
        v.body(axle, m, (x, 20 if end == 'front' else 0, 388))
        for side, s in SIDES:
            y = s * (420 if end == 'front' else 520)
            p = end + '-' + side + '-'
            v.body(p + 'spring', 20 if end == 'front' else 24, (x - 20 if end == 'front' else x, y, 470 if end == 'front' else 480))
            v.joint(p + 'eye', 'ball', 'frame', p + 'spring', (xe, y, zs[0]))
            v.link(p + 'shackle', 'frame', p + 'spring', (xs_f, y, zs[1]), (xs_s, y, zs[2]))
            v.joint(p + 'perch', 'pivot', axle, p + 'spring', (x, y, 450), (0, 1, 0))
            v.support('stand-' + end[0] + side, axle, (x, y, 340))
        # one wind-up bar holds the axle from turning in its perches
        v.link(end + '-windup', 'frame', axle, (x - 900 if end == 'front' else x + 900, 60, 560), (x, 60, 520))
    v.losses = [
        dict(gone=['rear-l-shackle'], why='one shackle', drops=[]),
        dict(gone=['front-l-eye'], why='one fixed eye', drops=[]),
        dict(gone=['rear-windup'], why='the axle may turn in its perches', drops=[]),
        dict(gone=['stand-rr'], why='one stand', drops=[]),
    ]
    return v


def trailing_arms():
    """Rear-engined buggy: trailing arms on two coaxial pivots, arms in front."""
    v = Vehicle('trailing-arms', 'buggy, trailing arms behind, arms in front, stands under the hubs', 0.05)
    v.body('frame', 380, (553, 0, 547), tol=25)
    f = dict(lf=(2560, 240, 330), lr=(2240, 240, 330), lb=(2400, 620, 300), uf=(2500, 290, 480), ur=(2260, 290, 480),
             ub=(2388, 590, 472), ti=(2520, 200, 385), to=(2512, 600, 372), sb=(2395, 500, 322), st=(2380, 330, 820))
    for side, s in SIDES:
        at = lambda k: mirror(f[k], s)
        p = 'f' + side + '-'
        v.body(p + 'lower', 5, np.mean([at('lf'), at('lr'), at('lb')], axis=0).round(3).tolist())
        v.body(p + 'upper', 3, np.mean([at('uf'), at('ur'), at('ub')], axis=0).round(3).tolist())
        v.body(p + 'upright', 14, (2400, s * 650, 330))
        for j, a, b, k in (('lower-front', 'frame', 'lower', 'lf'), ('lower-rear', 'frame', 'lower', 'lr'),
                           ('upper-front', 'frame', 'upper', 'uf'), ('upper-rear', 'frame', 'upper', 'ur'),
                           ('lower-ball', 'lower', 'upright', 'lb'), ('upper-ball', 'upper', 'upright', 'ub')):
            v.joint(p + j, 'ball', a if a == 'frame' else p + a, p + b, at(k))
        v.link(p + 'track-rod', 'frame', p + 'upright', at('ti'), at('to'))
        v.link(p + 'bar', 'frame', p + 'lower', at('st'), at('sb'))
        v.support('stand-f' + side, p + 'upright', (2400, s * 660, 180))
        p = 'r' + side + '-'
        v.body(p + 'arm', 34, (60, s * 600, 340), tol=3 if side == 'l' else 0)
        v.joint(p + 'inner', 'ball', 'frame', p + 'arm', (430, s * 180, 330))
        v.joint(p + 'outer', 'ball', 'frame', p + 'arm', (430, s * 520, 330))
        v.link(p + 'bar', 'frame', p + 'arm', (190, s * 470, 800), (60, s * 560, 345))
        v.support('stand-r' + side, p + 'arm', (0, s * 620, 240))
    v.losses = [
        dict(gone=['rl-bar'], why='one rear bar', drops=[]),
        dict(gone=['rl-outer'], why='one of two arm pivots', drops=[]),
        dict(gone=['fl-track-rod'], why='the upright may turn', drops=[]),
        dict(gone=['stand-rl'], why='one stand', drops=[]),
        dict(gone=['stand-rl', 'stand-rr'], why='both rear stands', drops=[]),
    ]
    return v


def de_dion():
    """A de Dion tube on two trailing links a side, a cross rod and two bars; the front on
    a beam fixed to the frame; five supports."""
    v = Vehicle('de-dion', 'de Dion tube behind, five stands, one of them amidships', 0.05)
    v.body('frame', 420, (1180, -15, 420), tol=20, cgtol=(15, 0, 0))
    v.body('tube', 62, (20, 0, 310))
    v.body('beam', 48, (2300, 0, 300))
    v.joint('beam-bolts', 'fixed', 'frame', 'beam', (2300, 0, 340))
    for side, s in SIDES:
        v.link(side + '-radius-low', 'frame', 'tube', (640, s * 430, 230), (10, s * 470, 240))
        v.link(side + '-radius-high', 'frame', 'tube', (600, s * 430, 420), (10, s * 470, 410))
        v.link(side + '-bar', 'frame', 'tube', (60, s * 400, 690), (20, s * 500, 320))
        v.support('stand-r' + side, 'tube', (0, s * 560, 250))
        v.support('stand-f' + side, 'beam', (2300, s * 520, 240))
    v.link('cross-rod', 'frame', 'tube', (-90, 380, 350), (-90, -380, 330))
    v.support('stand-mid', 'frame', (1100, 40, 200))
    v.losses = [
        dict(gone=['l-bar'], why='one bar', drops=[]),
        dict(gone=['cross-rod'], why='no side location', drops=[]),
        dict(gone=['l-radius-low'], why='one of four radius rods', drops=[]),
        dict(gone=['beam-bolts'], why='the whole front beam', drops=[]),
        dict(gone=['stand-mid'], why='the middle stand', drops=[]),
        dict(gone=['stand-rl', 'stand-rr'], why='both rear stands', drops=[]),
    ]
    return v


def rounded(x):
    if isinstance(x, float) or isinstance(x, np.floating):
        return float('%.12g' % x)
    if isinstance(x, dict):
        return {k: rounded(y) for k, y in x.items()}
    if isinstance(x, (list, tuple)):
        return [rounded(y) for y in x]
    return x


def demo(doc):
    """The demo vehicle as the program hands it to its statics (demo-inputs.json)."""
    v = Vehicle(doc['name'], doc['about'], doc['push'])
    v.bodies, v.joints, v.links, v.supports = doc['bodies'], doc['joints'], doc['links'], doc['supports']
    return v


def write(name, doc):
    with open(os.path.join(HERE, name), 'w') as out:
        json.dump(rounded(doc), out, indent=1)
        out.write('\n')


HERE = os.path.dirname(os.path.abspath(__file__))

if __name__ == '__main__':
    if sys.argv[1:] == ['demo']:
        with open(os.path.join(HERE, 'demo-inputs.json')) as text:
            v = demo(json.load(text))
        J, owner = jacobian(v)
        g0 = directions(v)[0][1]
        f0, S0 = weight(v, g0), supports(v, g0)
        r0 = even_floor(J, S0, f0)
        x = inside(J, S0, f0, r0)
        forces = {item['name']: [x[k] for k, o in enumerate(owner) if o == item['name']][:3] for item in v.joints + v.links}
        write('demo-answers.json', dict(even={p['name']: r0[i] for i, p in enumerate(v.supports)}, forces=forces))
        sys.exit()
    vehicles = [
        wishbones('wishbones-under-uprights', 'double wishbones all round, stands under the uprights', False),
        wishbones('wishbones-under-frame', 'double wishbones all round, stands under the frame, corners hanging', True),
        live_axles(), trailing_arms(), de_dion(),
    ]
    doc = dict(gravity=G, vehicles=[run(v) for v in vehicles])
    write('reference.json', doc)
