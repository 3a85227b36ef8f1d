#!/usr/bin/env python3
"""One vehicle for each layout that `setdown new` knows, on its wheels, as reference.py solves them.

Writes layouts.json beside this file, in the form of reference.json. What a layout is made of, what a
joint of each kind passes and what a mirror and the middle of an arm are, is written here once more, by
hand; of the program's nothing is read. Every force that self-stress leaves open is null.
"""
import json
import os

import numpy as np

import reference as ref
from reference import SIDES, Vehicle, jacobian, left_open, mirror

# kg; the parts are invented.
MASSES = dict(arm=3, upright=15, wheel=14, axle=40, other=5)

# A bush and a bearing turn every way; a long bearing holds all but the turn about its axis; what is bolted
# face to face holds all. Each joint: what it is, what it joins. ~ stands before what an axle has once.
S, P, F = 'ball', 'pivot', 'fixed'
WHEEL = lambda on: {'wheel-face': (F, 'wheel', on)}
STEER = {'steer': dict(inner='frame', outer='upright')}
STRUT = lambda on: {'strut': dict(bottom=on, top='frame')}
ARMS = {'lower-front': (S, 'lower-arm', 'frame'), 'lower-rear': (S, 'lower-arm', 'frame'),
        'upper-front': (S, 'upper-arm', 'frame'), 'upper-rear': (S, 'upper-arm', 'frame'),
        'lower-ball': (S, 'upright', 'lower-arm'), 'upper-ball': (S, 'upright', 'upper-arm'), **WHEEL('upright')}
WISHBONES = {'lower-arm': 'arm', 'upper-arm': 'arm', 'upright': 'upright', 'wheel': 'wheel'}
TRAILING = dict(
    parts={'trailing-arm': 'arm', 'wheel': 'wheel'},
    joints={'arm-inner': (S, 'trailing-arm', 'frame'), 'arm-outer': (S, 'trailing-arm', 'frame'), **WHEEL('trailing-arm')},
    links=STRUT('trailing-arm'))
AXLE = {'axle': 'axle'}
LOWER = {'lower-link': dict(front='frame', rear='~axle')}
UPPER = {'upper-link': dict(front='frame', rear='~axle')}
CROSS = lambda on: {'panhard-rod': dict(frame='frame', axle=on)}
LEAF = {'spring-eye': (S, 'spring', 'frame'), 'perch': (F, 'spring', '~axle')}
SHACKLE = {'shackle': dict(top='frame', bottom='spring')}
STEERED = {'track-rod': dict(left='left stub-axle', right='right stub-axle'),
           'drag-link': {'drop-arm': 'frame', 'steering-arm': 'left stub-axle'}}
STUB = {'stub-axle': 'upright', 'wheel': 'wheel'}
LEAVES = dict(axle=dict(parts=AXLE), parts={'spring': 'other', 'wheel': 'wheel'}, joints={**LEAF, **WHEEL('~axle')}, links=SHACKLE)
LAYOUTS = {
    'double wishbone': dict(parts=WISHBONES, joints=ARMS, links={**STRUT('lower-arm'), **STEER}),
    'double wishbone with pushrods': dict(
        parts={**WISHBONES, 'rocker': 'arm'}, joints={**ARMS, 'rocker-pivot': (P, 'rocker', 'frame', (1, 0, 0))},
        links={**STRUT('rocker'), **STEER, 'pushrod': dict(bottom='lower-arm', top='rocker')}),
    'strut': dict(
        parts={'lower-arm': 'arm', 'upright': 'upright', 'strut': 'other', 'wheel': 'wheel'},
        joints={'lower-front': (S, 'lower-arm', 'frame'), 'lower-rear': (S, 'lower-arm', 'frame'),
                'lower-ball': (S, 'upright', 'lower-arm'), 'strut-clamp': (F, 'strut', 'upright'),
                'strut-top': (S, 'strut', 'frame'), **WHEEL('upright')},
        links=STEER),
    'trailing arm': TRAILING,
    'semi-trailing arm': TRAILING,
    'five links': dict(
        parts={'upright': 'upright', 'wheel': 'wheel'}, joints=WHEEL('upright'),
        links={**{n: dict(inner='frame', outer='upright') for n in
                  ('lower-front-link', 'lower-rear-link', 'upper-front-link', 'upper-rear-link', 'toe-link')}, **STRUT('upright')}),
    'swing axle': dict(
        parts={'half-axle': 'axle', 'radius-arm': 'arm', 'wheel': 'wheel'},
        joints={'axle-ball': (S, 'half-axle', 'engine'), 'radius-arm-front': (S, 'radius-arm', 'frame'),
                'radius-arm-flange': (F, 'radius-arm', 'half-axle'), **WHEEL('half-axle')},
        links=STRUT('half-axle')),
    'swing axle on two pivots': dict(
        parts={'half-axle': 'axle', 'wheel': 'wheel'},
        joints={'axle-front': (S, 'half-axle', 'engine'), 'axle-rear': (S, 'half-axle', 'engine'), **WHEEL('half-axle')},
        links=STRUT('half-axle')),
    'live axle on leaves': LEAVES,
    'live axle on leaves with shackles as parts': dict(
        axle=dict(parts=AXLE), parts={'spring': 'other', 'shackle': 'other', 'wheel': 'wheel'},
        joints={**LEAF, 'shackle-top': (S, 'shackle', 'frame'), 'shackle-bottom': (S, 'shackle', 'spring'), **WHEEL('~axle')}),
    'four links and Panhard rod': dict(
        axle=dict(parts=AXLE, links=CROSS('~axle')), parts={'wheel': 'wheel'}, joints=WHEEL('~axle'),
        links={**LOWER, **UPPER, **STRUT('~axle')}),
    'four splayed links': dict(axle=dict(parts=AXLE), parts={'wheel': 'wheel'}, joints=WHEEL('~axle'), links={**LOWER, **UPPER, **STRUT('~axle')}),
    'three links and Watt linkage': dict(
        axle=dict(parts={**AXLE, 'watt-crank': 'arm'}, joints={'watt-pivot': (P, '~watt-crank', '~axle', (1, 0, 0))},
                  links={**UPPER, 'watt-upper': dict(frame='frame', crank='~watt-crank'), 'watt-lower': dict(frame='frame', crank='~watt-crank')}),
        parts={'wheel': 'wheel'}, joints=WHEEL('~axle'), links={**LOWER, **STRUT('~axle')}),
    'three links and A-arm': dict(
        axle=dict(parts={**AXLE, 'a-arm': 'arm'}, joints={'a-arm-ball': (S, '~a-arm', '~axle')}),
        parts={'wheel': 'wheel'}, joints={'a-arm-front': (S, '~a-arm', 'frame'), **WHEEL('~axle')}, links={**LOWER, **STRUT('~axle')}),
    'de Dion': dict(
        axle=dict(parts={'dedion-tube': 'axle'}, links=CROSS('~dedion-tube')),
        parts={'hub-carrier': 'upright', 'wheel': 'wheel'}, joints={'carrier-face': (F, 'hub-carrier', '~dedion-tube'), **WHEEL('hub-carrier')},
        links={'lower-rod': dict(front='frame', rear='hub-carrier'), 'upper-rod': dict(front='frame', rear='hub-carrier'), **STRUT('~dedion-tube')}),
    'beam axle on leaves': dict(
        axle=dict(parts=AXLE, links=STEERED), parts={'spring': 'other', **STUB},
        joints={**LEAF, 'kingpin': (P, 'stub-axle', '~axle', (0, 0.1, 1)), **WHEEL('stub-axle')}, links=SHACKLE),
    'sliding pillar': dict(
        axle=dict(links=STEERED), parts=STUB, joints={'pillar': (P, 'stub-axle', 'frame', (0, 0.1, 1)), **WHEEL('stub-axle')}, links={}),
    'swinging arm with one wheel': dict(
        axle=dict(parts={'swinging-arm': 'arm', 'wheel': 'wheel'},
                  joints={'pivot-left': (S, '~swinging-arm', 'frame'), 'pivot-right': (S, '~swinging-arm', 'frame'), 'spindle': (F, '~wheel', '~swinging-arm')},
                  links=STRUT('~swinging-arm'))),
}

# Arithmetic, for one axle, both sides: sets of forces that balance themselves, as unknowns less equations. Two free
# turns: a shackle on two balls turns about itself.
STRESS = {'double wishbone': 4, 'double wishbone with pushrods': 4, 'strut': 2, 'trailing arm': 2, 'semi-trailing arm': 2, 'five links': 0,
          'swing axle': 2, 'swing axle on two pivots': 2, 'live axle on leaves': 2, 'live axle on leaves with shackles as parts': 2,
          'four links and Panhard rod': 1, 'four splayed links': 0, 'three links and Watt linkage': 0, 'three links and A-arm': 1, 'de Dion': 1,
          'beam axle on leaves': 2, 'sliding pillar': 0, 'swinging arm with one wheel': 1}
# What drops and leaves the vehicle standing when a joint is gone: the other shackle carries the axle, stiff as its leaves are here.
DROPS = {'rl-shackle-top': ['rl-shackle'], 'rl-shackle-bottom': ['rl-shackle']}
FREE = {'live axle on leaves with shackles as parts': 2}
FRONT = ('beam axle on leaves', 'sliding pillar')

# mm from the middle of the axle on the floor, left side; the names of one layout go before those that several share.
PLACES = {
    'lower-front': (140, 215, 150), 'lower-rear': (-140, 230, 150), 'upper-front': (110, 280, 340), 'upper-rear': (-110, 285, 340),
    'lower-ball': (5, 600, 158), 'upper-ball': (-8, 570, 370), 'wheel-face': (0, 650, 280), 'strut/bottom': (10, 480, 170), 'strut/top': (5, 265, 480),
    'track-rod/inner': (-120, 245, 195), 'track-rod/outer': (-125, 592, 203), 'toe-link/inner': (-120, 245, 195), 'toe-link/outer': (-125, 592, 203),
    'rocker-pivot': (0, 300, 420), 'pushrod/bottom': (0, 520, 175), 'pushrod/top': (0, 360, 430),
    'strut-clamp': (0, 590, 350), 'strut-top': (5, 520, 600), 'arm-inner': (350, 250, 300), 'arm-outer': (350, 500, 300),
    'lower-front-link/inner': (150, 240, 160), 'lower-front-link/outer': (30, 600, 160), 'lower-rear-link/inner': (-150, 240, 160), 'lower-rear-link/outer': (-30, 600, 160),
    'upper-front-link/inner': (120, 280, 350), 'upper-front-link/outer': (25, 580, 370), 'upper-rear-link/inner': (-120, 280, 350), 'upper-rear-link/outer': (-25, 580, 370),
    'axle-ball': (0, 120, 290), 'radius-arm-front': (500, 350, 300), 'radius-arm-flange': (20, 500, 285), 'axle-front': (60, 120, 290), 'axle-rear': (-60, 120, 290),
    'spring-eye': (600, 430, 300), 'perch': (0, 430, 330), 'shackle/top': (-620, 430, 360), 'shackle/bottom': (-600, 430, 300), 'shackle-top': (-620, 430, 360), 'shackle-bottom': (-600, 430, 300),
    'panhard-rod/frame': (-120, 400, 330), 'panhard-rod/axle': (-120, -420, 320), 'lower-link/front': (600, 380, 200), 'lower-link/rear': (30, 440, 210),
    'upper-link/front': (450, 380, 420), 'upper-link/rear': (-20, 430, 410), 'a-arm-ball': (-10, 0, 420), 'a-arm-front': (450, 300, 430),
    'watt-pivot': (-120, 0, 300), 'watt-upper/frame': (-120, 400, 350), 'watt-upper/crank': (-120, 0, 350), 'watt-lower/frame': (-120, -400, 250), 'watt-lower/crank': (-120, 0, 250),
    'carrier-face': (0, 600, 290), 'lower-rod/front': (550, 560, 180), 'lower-rod/rear': (30, 580, 180), 'upper-rod/front': (550, 560, 400), 'upper-rod/rear': (20, 580, 400),
    'track-rod/left': (-130, 560, 260), 'track-rod/right': (-130, -560, 260), 'drag-link/drop-arm': (500, 400, 330), 'drag-link/steering-arm': (10, 460, 330),
    'kingpin': (0, 560, 290), 'pillar': (0, 580, 300), 'pivot-left': (450, 150, 300), 'pivot-right': (450, -150, 300), 'spindle': (0, 0, 290),
    'upright/cg': (0, 620, 280), 'wheel/cg': (0, 680, 280), 'axle/cg': (0, 0, 290), 'spring/cg': (0, 430, 320), 'half-axle/cg': (0, 350, 290), 'strut/cg': (0, 540, 450),
    'dedion-tube/cg': (0, 0, 300), 'hub-carrier/cg': (0, 620, 290), 'stub-axle/cg': (0, 600, 290), 'shackle/cg': (-610, 430, 330), 'contact': (0, 680, 0),
    'double wishbone with pushrods strut/bottom': (0, 300, 500), 'double wishbone with pushrods strut/top': (0, 80, 500), 'five links strut/bottom': (0, 560, 250),
    'semi-trailing arm arm-inner': (240, 200, 300), 'semi-trailing arm arm-outer': (390, 500, 295),
    'four splayed links upper-link/front': (450, 430, 420), 'four splayed links upper-link/rear': (-10, 120, 410),
    'three links and Watt linkage upper-link/front': (450, 0, 430), 'three links and Watt linkage upper-link/rear': (-10, 0, 420),
    'swinging arm with one wheel strut/bottom': (100, 0, 340), 'swinging arm with one wheel strut/top': (150, 0, 600),
    'swinging arm with one wheel wheel/cg': (0, 0, 290), 'swinging arm with one wheel contact': (0, 0, 0),
}


def middle(v, part):
    """The middle of the box around what joins a part."""
    points = [j['at'] for j in v.joints if part in (j['a'], j['b'])]
    points += [l[p] for l in v.links for end, p in (('a', 'pa'), ('b', 'pb')) if l[end] == part]
    return ((np.min(points, axis=0) + np.max(points, axis=0)) / 2).tolist()


def axle(v, layout, end, x):
    """Both sides of one axle and what it has once. The bodies come after, when their joints are known."""
    data, bodies = LAYOUTS[layout], []

    def place(name, side):
        at = mirror(PLACES.get(layout + ' ' + name, PLACES.get(name)), side)
        return [at[0] + x, at[1], at[2]]

    def members(what, prefix, side):
        def part(name):
            if name in ('frame', 'engine'):
                return name
            if name.startswith(('left ', 'right ')):
                return end + name[0] + '-' + name.split()[1]
            return end + '-' + name[1:] if name[0] == '~' else prefix + name
        for name, role in what.get('parts', {}).items():
            bodies.append((prefix + name, role, name, place, side))
        for name, (kind, a, b, *about) in what.get('joints', {}).items():
            v.joint(prefix + name, kind, part(a), part(b), place(name, side), mirror(about[0], side) if about else (0, 0, 0))
        for name, ends in what.get('links', {}).items():
            name = {'f': 'track-rod', 'r': 'toe-link'}[end] if name == 'steer' else name
            (ea, a), (eb, b) = ends.items()
            v.link(prefix + name, part(a), part(b), place(name + '/' + ea, side), place(name + '/' + eb, side))
        if 'wheel' in what.get('parts', {}):
            v.support(prefix + 'contact', prefix + 'wheel', place('contact', side))

    members(data.get('axle', {}), end + '-', 1)
    for side, s in SIDES:
        members(data, end + side + '-', s)
    for name, role, own, place, side in bodies:
        v.body(name, MASSES[role], middle(v, name) if role == 'arm' else place(own + '/cg', side))


def beside(layout):
    """The layout of the other axle."""
    return 'live axle on leaves' if layout in FRONT else 'double wishbone'


def vehicle(layout):
    front, rear = (layout, beside(layout)) if layout in FRONT else (beside(layout), layout)
    v = Vehicle(layout, front + ' in front, ' + rear + ' behind, on its wheels', 0.05)
    v.body('frame', 118, (1180, 0, 330), tol=8)
    v.body('engine', 110, (800, 10, 330))
    v.joint('engine-mounts', 'fixed', 'engine', 'frame', (800, 0, 260))
    axle(v, front, 'f', 2400)
    axle(v, rear, 'r', 0)
    own = ('f' if layout in FRONT else 'r') + '-', ('fl-' if layout in FRONT else 'rl-')
    v.losses = [dict(gone=[m['name']], why='forgotten', drops=DROPS.get(m['name'], [])) for m in v.joints + v.links if m['name'].startswith(own)]
    return v


def solved(v):
    """What reference.py says of a vehicle, less every force that self-stress leaves open."""
    J, owner = jacobian(v)
    rank = np.linalg.matrix_rank(J, tol=1e-9)
    assert J.shape[0] - rank == STRESS[v.name] + STRESS[beside(v.name)], v.name
    assert J.shape[1] - 6 - rank == FREE.get(v.name, 0), v.name
    doc = ref.run(v)
    mask = left_open(J)
    for name, forces in doc['answers']['forces'].items():
        cols = [k for k, o in enumerate(owner) if o == name][:3]
        doc['answers']['forces'][name] = [None if mask[k] else f for k, f in zip(cols, forces)]
    return doc


def lines(x, depth=1):
    """JSON with a line for each thing."""
    text = json.dumps(x)
    if len(text) < 170:
        return text
    inside = [json.dumps(k) + ': ' + lines(y, depth + 1) for k, y in x.items()] if isinstance(x, dict) else [lines(y, depth + 1) for y in x]
    return '%s\n%s\n%s' % (text[0], ',\n'.join(' ' * depth + i for i in inside), ' ' * (depth - 1) + text[-1])


def rounded(x):
    """Nine digits, of which none is smaller than a hundred-thousandth."""
    if isinstance(x, (float, np.floating)):
        return round(float('%.9g' % x), 5) + 0.0
    if isinstance(x, dict):
        return {k: rounded(y) for k, y in x.items()}
    return [rounded(y) for y in x] if isinstance(x, (list, tuple)) else x


if __name__ == '__main__':
    doc = dict(gravity=ref.G, vehicles=[solved(vehicle(layout)) for layout in LAYOUTS])
    with open(os.path.join(ref.HERE, 'layouts.json'), 'w') as out:
        out.write(lines(rounded(doc)) + '\n')
