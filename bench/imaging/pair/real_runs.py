#!/usr/bin/env python3
# SPDX-License-Identifier: Apache-2.0
# Two views of a real phantom against its known centrelines and table: real_runs.py PROGRAM FOLDER
# FOLDER holds xa1.dcm to xa8.dcm, centrelines.vtk and geometry.json (tests/data/xa-phantom/README.md says where from).
# Every pair of views 30 degrees and more apart: six points where a separate program expects them in each picture are the marks,
# each branch is traced in both pictures (three clicks, as bench/imaging/trace/real_runs.py) and its length in space compared with
# the length of the phantom's own centreline, once with the table's place given and once unknown.
import json, math, os, subprocess, sys, tempfile
prog, D = sys.argv[1], sys.argv[2].rstrip('/') + '/'
L = open(D + 'centrelines.vtk').read().split('\n')
P = [tuple(map(float, l.split())) for l in L[5:5 + 464]]
i = [k for k, l in enumerate(L) if l.startswith('CELLS')][0]
tok = ' '.join(L[i + 1:i + 40]).split()
cells, p = [], 0
for _ in range(int(L[i].split()[1])):
    m = int(tok[p]); cells.append(list(map(int, tok[p + 1:p + 1 + m]))); p += 1 + m
g = json.load(open(D + 'geometry.json'))
c, rv, t, s = (g['model'][k] for k in ('centroid_of_points_0_to_462', 'rotation_vector_rad', 'translation_mm', 'spacing_mm_at_detector'))
th = math.sqrt(sum(x * x for x in rv)); k = [x / th for x in rv]
dot = lambda a, b: sum(x * y for x, y in zip(a, b))
sub = lambda a, b: [x - y for x, y in zip(a, b)]
def rot(v):
    cr = [k[1] * v[2] - k[2] * v[1], k[2] * v[0] - k[0] * v[2], k[0] * v[1] - k[1] * v[0]]
    return [v[j] * math.cos(th) + cr[j] * math.sin(th) + k[j] * dot(k, v) * (1 - math.cos(th)) for j in range(3)]
def axes(v):
    a, b = math.radians(v['primary_deg']), math.radians(v['secondary_deg'])
    return ((math.sin(a) * math.cos(b), -math.cos(a) * math.cos(b), math.sin(b)), (math.cos(a), math.sin(a), 0),
            (-math.sin(a) * math.sin(b), math.cos(a) * math.sin(b), math.cos(b)))
def proj(v, q):
    X = rot(sub(q, c)); X = [X[j] + t[j] + v['table_offset_mm_xyz'][j] for j in range(3)]
    d, u, w = axes(v); m = v['SID_mm'] / (dot(X, d) + v['SOD_mm']) / s
    return (255.5 + m * dot(X, u), 255.5 - m * dot(X, w))
traced = {}
def trace(v, ci, cell):
    key = (v['file'], ci)
    if key not in traced:
        pts = [proj(v, P[q]) for q in cell]
        if any(not (30 < x < 480 and 30 < y < 480) for x, y in pts): traced[key] = None
        else:
            cmd = [prog, 'xa', 'trace', D + v['file'], '--frame', '5', '--json', '--pixel', '0.2']
            for x, y in (pts[0], pts[len(pts) // 2], pts[-1]): cmd += ['--through', '%.1f,%.1f' % (x, y)]
            r = subprocess.run(cmd, capture_output=True, text=True)
            line = json.loads(r.stdout)['centreline'] if r.returncode == 0 else None
            traced[key] = line and line[::6] + [line[-1]]
    return traced[key]
def view(v): return {'primary_deg': v['primary_deg'], 'secondary_deg': v['secondary_deg'], 'sid_mm': v['SID_mm'], 'sod_mm': v['SOD_mm'], 'spacing_mm': [s, s]}
def pair(a, b, paths, known):
    shift = sub(b['table_offset_mm_xyz'], a['table_offset_mm_xyz'])
    body = {'frames': {'a': {'run': 'A', 'frame': 4, 'view': view(a)}, 'b': {'run': 'B', 'frame': 4, 'view': view(b)}},
            'table': 'unknown', 'marks': [{'name': 'point ' + n, 'at': {'a': a['expected_xy_px'][n], 'b': b['expected_xy_px'][n]}} for n in a['expected_xy_px'] if n != '50'],
            'paths': [{'name': 'branch %d' % ci, 'kind': 'vessel', 'at': at} for ci, at in paths]}
    if known: body['frames']['b'].update(shift_mm=shift, shift_sd_mm=0.5)
    with tempfile.NamedTemporaryFile('w', suffix='.json', delete=False) as f: json.dump(body, f)
    r = subprocess.run([prog, 'xa', 'pair', D + a['file'], D + b['file'], f.name, '--json'], capture_output=True, text=True); os.unlink(f.name)
    return json.loads(r.stdout) if r.returncode == 0 else r.stderr.strip()
show = lambda x: 'median %.1f %%, 95th %.1f %%, max %.1f %%' % (x[len(x) // 2], x[int(.95 * len(x))], x[-1])
for known in (True, False):
    rel, ratio, across, along, angles, moved, pairs, refused = [], [], [], [], [], [], 0, []
    for i, a in enumerate(g['views']):
        for b in g['views'][i + 1:]:
            between = math.degrees(math.acos(min(1, abs(dot(axes(a)[0], axes(b)[0])))))
            if between < 30: continue
            paths, truth = [], {}
            for ci, cell in enumerate(cells):
                if len(cell) < 22: continue
                cell = cell[5:-5][:26]
                la, lb = trace(a, ci, cell), trace(b, ci, cell)
                if la and lb: paths.append((ci, {'a': la, 'b': lb})); truth['branch %d' % ci] = sum(math.dist(P[x], P[y]) for x, y in zip(cell, cell[1:]))
            j = pair(a, b, paths, known)
            if isinstance(j, str): refused.append((a['file'], b['file'], j[:160])); continue
            j = j.get('pair', j); pairs += 1
            for x in j['paths']:
                d = x['length_mm']['value'] / truth[x['name']] - 1
                rel.append(abs(100 * d)); ratio.append((d * truth[x['name']], x['length_mm']['sd']))
            ch = j['frames']['b']['change']; angles.append(max(abs(ch['primary_deg']), abs(ch['secondary_deg'])))
            src = sub([x * a['SOD_mm'] for x in axes(a)[0]], [x * b['SOD_mm'] for x in axes(b)[0]]); n = math.sqrt(dot(src, src)); src = [x / n for x in src]
            true = sub(b['table_offset_mm_xyz'], a['table_offset_mm_xyz']); e = sub(ch['shift_mm'], true); al = dot(e, src)
            along.append(abs(al)); across.append(math.sqrt(max(0, dot(e, e) - al * al))); moved.append(math.sqrt(dot(true, true)))
    for x in (rel, across, along, angles): x.sort()
    rms = math.sqrt(sum(e * e for e, _ in ratio) / len(ratio)); stated = math.sqrt(sum(sd * sd for _, sd in ratio) / len(ratio))
    print('table %s: %d pairs, %d branches; length in space against the phantom: %s; rms %.2f mm, stated sd %.2f mm (%.2f of it)' % ('given' if known else 'unknown', pairs, len(rel), show(rel), rms, stated, stated / rms))
    if not known: print('  shift off across the line between the sources: median %.1f, max %.1f mm; along it: median %.1f, max %.1f mm; the table moved by up to %.0f mm; angles changed by at most %.2f degrees' % (
        across[len(across) // 2], across[-1], along[len(along) // 2], along[-1], max(moved), angles[-1]))
    off = sorted(abs(e) / sd for e, sd in ratio); print('  within 1 sd %.0f %%, 2 sd %.0f %%; mean %+.2f mm' % (100 * sum(x < 1 for x in off) / len(off), 100 * sum(x < 2 for x in off) / len(off), sum(e for e, _ in ratio) / len(ratio)))
    for r in refused: print('  refused', *r)
