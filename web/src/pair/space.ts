// SPDX-License-Identifier: Apache-2.0
// The 3D view, drawn by three. Loaded only when two views are measured.
import {
  AmbientLight, BufferGeometry, CanvasTexture, CatmullRomCurve3, Color, DirectionalLight, DoubleSide, Float32BufferAttribute, Group, Line,
  LineBasicMaterial, LineDashedMaterial, Mesh, MeshBasicMaterial, MeshLambertMaterial, PerspectiveCamera, Scene as Stage, SphereGeometry,
  SRGBColorSpace, TubeGeometry, Vector3, WebGLRenderer, type Material, type Object3D,
} from "three";
import type { DrawnCourse, DrawnPlane, Kind, Scene, Triple } from "./scene";
import { eyeOf, type Turn } from "./turn";

export interface SpaceState {
  readonly scene: Scene;
  readonly turn: Turn;
  readonly pictures: ReadonlyMap<string, HTMLCanvasElement>; // by the key of the plane
  readonly planes: boolean;
}
export interface SpaceView {
  update(state: SpaceState): void;
  dispose(): void;
}

const kInk: Record<Kind, string> = { occlusion: "#e06a4e", vessel: "#8fb8dc", collateral: "#b49bd8" };
const [kBehind, kBefore] = [0.8, 0.15]; // how dense a picture is behind the scene, and between it and the eye
const kTube = 0.6; // mm: to be seen, not the vessel's width
const at = (point: Triple): Vector3 => new Vector3(point[0], point[1], point[2]);

function line(points: readonly Triple[], material: Material): Line {
  const made = new Line(new BufferGeometry().setFromPoints(points.map(at)), material);
  if (material instanceof LineDashedMaterial) made.computeLineDistances();
  return made;
}

function ball(point: Triple, radius: number, colour: string): Mesh {
  const made = new Mesh(new SphereGeometry(radius, 16, 12), new MeshLambertMaterial({ color: colour }));
  made.position.copy(at(point));
  return made;
}

// Where the course may run: ellipsoids of two sd along it, faint, so that together they make a soft band.
function band(course: DrawnCourse): Object3D {
  const group = new Group();
  const shape = new SphereGeometry(2, 16, 12);
  const material = new MeshBasicMaterial({ color: kInk[course.kind], transparent: true, opacity: 0.07, depthWrite: false });
  course.spread.forEach(([xx, yx, yy, zx, zy, zz], index) => {
    const [x, y, z] = course.points[index] ?? [0, 0, 0];
    const one = new Mesh(shape, material);
    one.matrixAutoUpdate = false;
    one.matrix.set(xx, 0, 0, x, yx, yy, 0, y, zx, zy, zz, z, 0, 0, 0, 1);
    group.add(one);
  });
  return group;
}

function planeOf(plane: DrawnPlane, picture: HTMLCanvasElement | undefined): Object3D {
  const group = new Group();
  const [a, b, c, d] = plane.corners;
  if (!a || !b || !c || !d) return group;
  const shape = new BufferGeometry();
  shape.setAttribute("position", new Float32BufferAttribute([...a, ...b, ...c, ...d], 3));
  shape.setAttribute("uv", new Float32BufferAttribute([0, 1, 1, 1, 1, 0, 0, 0], 2));
  shape.setIndex([0, 1, 2, 0, 2, 3]);
  if (picture) {
    const texture = new CanvasTexture(picture);
    texture.colorSpace = SRGBColorSpace;
    const sheet = new Mesh(shape, new MeshBasicMaterial({ map: texture, side: DoubleSide, transparent: true, opacity: kBehind, depthWrite: false }));
    sheet.userData["centre"] = at(a).add(at(c)).multiplyScalar(0.5);
    sheet.renderOrder = -1;
    group.add(sheet);
  }
  group.add(line([a, b, c, d, a], new LineBasicMaterial({ color: "#6b7f79" })));
  return group;
}

// Where the ray from the source through a point meets the plane.
function onPlane(plane: DrawnPlane, point: Triple): Vector3 | null {
  const [a, b, , d] = plane.corners.map(at);
  if (!a || !b || !d) return null;
  const normal = new Vector3().crossVectors(b.clone().sub(a), d.clone().sub(a));
  const source = at(plane.source);
  const ray = at(point).sub(source);
  const along = normal.dot(ray);
  return Math.abs(along) < 1e-9 ? null : source.clone().addScaledVector(ray, normal.dot(a.clone().sub(source)) / along);
}

function build(state: SpaceState): Group {
  const all = new Group();
  for (const course of state.scene.courses) {
    if (course.points.length < 2) continue;
    all.add(band(course));
    if (course.dashed) all.add(line(course.points, new LineDashedMaterial({ color: kInk[course.kind], dashSize: 1, gapSize: 0.6 })));
    else all.add(new Mesh(new TubeGeometry(new CatmullRomCurve3(course.points.map(at)), 4 * course.points.length, kTube, 8), new MeshLambertMaterial({ color: kInk[course.kind] })));
  }
  for (const mark of state.scene.marks) all.add(ball(mark.at, mark.cap ? 0.9 : 0.7, mark.cap ? kInk.occlusion : mark.doubtful ? "#d9b36c" : "#eef2ee"));
  if (!state.planes) return all;
  for (const plane of state.scene.planes) {
    all.add(planeOf(plane, state.pictures.get(plane.key)));
    for (const mark of state.scene.marks) {
      const end = mark.cap ? onPlane(plane, mark.at) : null;
      if (end) all.add(line([mark.at, [end.x, end.y, end.z]], new LineBasicMaterial({ color: "#6b7f79" })));
    }
  }
  return all;
}

function forget(group: Object3D): void {
  group.traverse((each) => {
    if (!(each instanceof Mesh) && !(each instanceof Line)) return;
    each.geometry.dispose();
    for (const material of [each.material].flat() as Material[]) {
      if (material instanceof MeshBasicMaterial) material.map?.dispose();
      material.dispose();
    }
  });
}

// Null where the browser has no WebGL.
export function mountSpace(host: HTMLElement): SpaceView | null {
  const canvas = document.createElement("canvas");
  canvas.setAttribute("aria-hidden", "true");
  let renderer: WebGLRenderer;
  try {
    renderer = new WebGLRenderer({ canvas, antialias: true, alpha: false });
  } catch {
    return null;
  }
  host.append(canvas);
  const stage = new Stage();
  stage.background = new Color("#090e0d");
  const eye = new PerspectiveCamera(35, 1, 1, 2000);
  eye.up.set(0, 0, 1);
  const lamp = new DirectionalLight("#ffffff", 2);
  stage.add(new AmbientLight("#ffffff", 1.4), lamp);
  let group: Group | null = null;
  let state: SpaceState | null = null;
  let built: SpaceState | null = null;
  let scheduled = 0;

  const paint = () => {
    scheduled = 0;
    if (state === null) return;
    if (built === null || built.scene !== state.scene || built.planes !== state.planes || built.pictures !== state.pictures) {
      if (group) { stage.remove(group); forget(group); }
      group = build(state);
      stage.add(group);
      built = state;
    }
    eye.position.copy(at(eyeOf(state.turn, state.scene.centre, state.scene.reach)));
    eye.lookAt(at(state.scene.centre));
    lamp.position.copy(eye.position);
    const middle = at(state.scene.centre);
    const towards = eye.position.clone().sub(middle);
    group?.traverse((each) => {
      const centre: unknown = each.userData["centre"];
      if (each instanceof Mesh && each.material instanceof MeshBasicMaterial && centre instanceof Vector3)
        each.material.opacity = centre.clone().sub(middle).dot(towards) > 0 ? kBefore : kBehind;
    });
    renderer.render(stage, eye);
  };
  const schedule = () => { if (scheduled === 0) scheduled = requestAnimationFrame(paint); };
  const resize = new ResizeObserver(() => {
    const { width, height } = host.getBoundingClientRect();
    if (width < 1 || height < 1) return;
    renderer.setPixelRatio(Math.min(2, window.devicePixelRatio));
    renderer.setSize(width, height, false);
    eye.aspect = width / height;
    eye.updateProjectionMatrix();
    schedule();
  });
  resize.observe(host);
  canvas.addEventListener("webglcontextlost", (event) => event.preventDefault());
  canvas.addEventListener("webglcontextrestored", schedule);
  return {
    update(next) { state = next; schedule(); },
    dispose() {
      resize.disconnect();
      cancelAnimationFrame(scheduled);
      if (group) forget(group);
      renderer.dispose();
      canvas.remove();
    },
  };
}
