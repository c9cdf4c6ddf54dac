#!/usr/bin/env python3
# SPDX-License-Identifier: Apache-2.0
# How near a trace runs to where the courses of a real phantom are expected in its eight runs: real_runs.py PROGRAM FOLDER
# FOLDER holds xa1.dcm to xa8.dcm, centrelines.vtk and geometry.json (tests/data/xa-phantom/README.md says where from).
# Three clicks a branch, at the ends and in the middle of the expected course, which itself lies 1.0 to 2.3 pixels (median)
# beside the ridge of the picture (centreline_to_ridge_px).
import json, math, subprocess, sys
D = sys.argv[2].rstrip('/') + '/'
L=open(D+'centrelines.vtk').read().split('\n')
n=464; P=[tuple(map(float,l.split())) for l in L[5:5+n]]
i=[k for k,l in enumerate(L) if l.startswith('CELLS')][0]; nc=int(L[i].split()[1])
tok=' '.join(L[i+1:i+40]).split(); cells=[];p=0
for _ in range(nc):
    m=int(tok[p]); cells.append(list(map(int,tok[p+1:p+1+m]))); p+=1+m
g=json.load(open(D+'geometry.json')); c=g['model']['centroid_of_points_0_to_462']; rv=g['model']['rotation_vector_rad']; t=g['model']['translation_mm']
th=math.sqrt(sum(x*x for x in rv)); k=[x/th for x in rv]
def rot(v):
    cr=[k[1]*v[2]-k[2]*v[1],k[2]*v[0]-k[0]*v[2],k[0]*v[1]-k[1]*v[0]]; d=sum(a*b for a,b in zip(k,v))
    return [v[j]*math.cos(th)+cr[j]*math.sin(th)+k[j]*d*(1-math.cos(th)) for j in range(3)]
def proj(v,q):
    X=rot([q[j]-c[j] for j in range(3)]); X=[X[j]+t[j]+v['table_offset_mm_xyz'][j] for j in range(3)]
    a,b=math.radians(v['primary_deg']),math.radians(v['secondary_deg'])
    d=(math.sin(a)*math.cos(b),-math.cos(a)*math.cos(b),math.sin(b)); u=(math.cos(a),math.sin(a),0); w=(-math.sin(a)*math.sin(b),math.cos(a)*math.sin(b),math.cos(b))
    dot=lambda s:sum(x*y for x,y in zip(X,s)); s=g['model']['spacing_mm_at_detector']; m=v['SID_mm']/(dot(d)+v['SOD_mm'])/s
    return (255.5+m*dot(u),255.5-m*dot(w))
prog=sys.argv[1]; off=[];rel=[]
for v in g['views']:
    for ci,cell in enumerate(cells):
        if len(cell)<22: continue
        pts=[proj(v,P[q]) for q in cell[5:-5]][:26]
        if any(not(30<x<480 and 30<y<480) for x,y in pts): continue
        th3=[pts[0],pts[len(pts)//2],pts[-1]]
        cmd=[prog,'xa','trace',D+v['file'],'--frame','5','--json','--pixel','0.2']
        for x,y in th3: cmd+=['--through','%.1f,%.1f'%(x,y)]
        r=subprocess.run(cmd,capture_output=True,text=True)
        try: j=json.loads(r.stdout)
        except Exception: print(v['file'],ci,'refused',r.stderr.strip()[:100]); continue
        j=j.get('trace',j); cl=j['centreline']
        def near(q):
            best=1e9
            for (ax,ay),(bx,by) in zip(pts,pts[1:]):
                dx,dy=bx-ax,by-ay; l=dx*dx+dy*dy; s=max(0,min(1,((q[0]-ax)*dx+(q[1]-ay)*dy)/l)) if l else 0
                best=min(best,math.hypot(q[0]-ax-s*dx,q[1]-ay-s*dy))
            return best
        o=[near(q) for q in cl]; off+=o
        lt=sum(math.dist(a,b) for a,b in zip(pts,pts[1:])); lc=sum(math.dist(a,b) for a,b in zip(cl,cl[1:])); rel.append(lc/lt-1)
        o.sort(); print(v['file'],'branch',ci,'n',len(o),'off px median %.2f 95%% %.2f max %.2f; length %.1f px, %+.1f %%'%(o[len(o)//2],o[int(.95*len(o))],o[-1],lt,100*rel[-1]))
off.sort(); print('all %d places of %d traces: median %.2f 95%% %.2f px; |length error| median %.1f %% max %.1f %%'%(len(off),len(rel),off[len(off)//2],off[int(.95*len(off))],100*sorted(map(abs,rel))[len(rel)//2],100*max(map(abs,rel))))
