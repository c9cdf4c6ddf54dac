// SPDX-License-Identifier: Apache-2.0
// Paints one frame of stored values with the window in the shader (WebGL2, integer textures). Where WebGL2 is missing
// or its context is lost, the same picture comes from a plain 2D canvas, slower.
import type { FrameSize, Pixels } from "./frames";
import type { Placement } from "./geometry";
import { brightness, type Window } from "./window";

export interface Shot {
  readonly pixels: Pixels;
  readonly size: FrameSize;
  readonly inverse: boolean;
  readonly window: Window;
  readonly placement: Placement;
}
export interface Painter {
  readonly kind: "webgl2" | "2d";
  paint(shot: Shot, ratio: number): void; // ratio: device pixels for one CSS pixel
  clear(): void;
  dispose(): void;
}

const kVertex = `#version 300 es
void main() { vec2 corner = vec2((gl_VertexID << 1) & 2, gl_VertexID & 2); gl_Position = vec4(corner * 2.0 - 1.0, 0.0, 1.0); }`;

// Grey values are interpolated before the window is applied, between the four nearest pixels, only when magnified.
const kFragment = `#version 300 es
precision highp float; precision highp usampler2D;
uniform usampler2D frame; uniform vec2 pane; uniform vec3 place; uniform vec2 window; uniform bool inverse; uniform bool colour;
out vec4 shown;
vec3 at(ivec2 p, ivec2 last) { return vec3(texelFetch(frame, clamp(p, ivec2(0), last), 0).rgb); }
void main() {
  ivec2 extent = textureSize(frame, 0);
  vec2 here = (vec2(gl_FragCoord.x, pane.y - gl_FragCoord.y) - place.xy) / place.z;
  if (any(lessThan(here, vec2(0.0))) || any(greaterThanEqual(here, vec2(extent)))) { shown = vec4(0.0); return; }
  vec2 centre = here - 0.5; ivec2 p = ivec2(floor(centre)); vec2 f = centre - vec2(p); ivec2 last = extent - 1;
  vec3 value = mix(mix(at(p, last), at(p + ivec2(1, 0), last), f.x), mix(at(p + ivec2(0, 1), last), at(p + 1, last), f.x), f.y);
  vec3 grey = clamp((value - (window.x - 0.5)) / (max(window.y, 1.0001) - 1.0) + 0.5, 0.0, 1.0);
  if (!colour) grey = grey.rrr;
  shown = vec4(inverse ? 1.0 - grey : grey, 1.0);
}`;

function compile(gl: WebGL2RenderingContext, kind: number, code: string): WebGLShader | null {
  const shader = gl.createShader(kind);
  if (shader === null) return null;
  gl.shaderSource(shader, code);
  gl.compileShader(shader);
  return gl.getShaderParameter(shader, gl.COMPILE_STATUS) ? shader : null;
}

function link(gl: WebGL2RenderingContext): WebGLProgram | null {
  const vertex = compile(gl, gl.VERTEX_SHADER, kVertex);
  const fragment = compile(gl, gl.FRAGMENT_SHADER, kFragment);
  const program = gl.createProgram();
  if (vertex === null || fragment === null) return null;
  gl.attachShader(program, vertex);
  gl.attachShader(program, fragment);
  gl.linkProgram(program);
  return gl.getProgramParameter(program, gl.LINK_STATUS) ? program : null;
}

function formats(gl: WebGL2RenderingContext, size: FrameSize) {
  const wide = size.bits === 16;
  if (size.samples === 3) return { inside: wide ? gl.RGB16UI : gl.RGB8UI, outside: gl.RGB_INTEGER, kind: wide ? gl.UNSIGNED_SHORT : gl.UNSIGNED_BYTE };
  return { inside: wide ? gl.R16UI : gl.R8UI, outside: gl.RED_INTEGER, kind: wide ? gl.UNSIGNED_SHORT : gl.UNSIGNED_BYTE };
}

export function openWebGl(canvas: HTMLCanvasElement): Painter | null {
  const gl = canvas.getContext("webgl2", { antialias: false, depth: false, preserveDrawingBuffer: true });
  if (gl === null) return null;
  const program = link(gl);
  if (program === null) return null;
  const texture = gl.createTexture();
  const where = (name: string) => gl.getUniformLocation(program, name);
  const uniforms = { pane: where("pane"), place: where("place"), window: where("window"), inverse: where("inverse"), colour: where("colour") };
  gl.useProgram(program);
  gl.bindTexture(gl.TEXTURE_2D, texture);
  gl.pixelStorei(gl.UNPACK_ALIGNMENT, 1);
  for (const side of [gl.TEXTURE_MIN_FILTER, gl.TEXTURE_MAG_FILTER]) gl.texParameteri(gl.TEXTURE_2D, side, gl.NEAREST);
  let loaded: Pixels | null = null;
  return {
    kind: "webgl2",
    paint(shot, ratio) {
      const { size, placement } = shot;
      if (loaded !== shot.pixels) {
        const { inside, outside, kind } = formats(gl, size);
        gl.texImage2D(gl.TEXTURE_2D, 0, inside, size.columns, size.rows, 0, outside, kind, shot.pixels);
        loaded = shot.pixels;
      }
      gl.viewport(0, 0, canvas.width, canvas.height);
      gl.uniform2f(uniforms.pane, canvas.width, canvas.height);
      gl.uniform3f(uniforms.place, placement.left * ratio, placement.top * ratio, placement.scale * ratio);
      gl.uniform2f(uniforms.window, shot.window.center, shot.window.width);
      gl.uniform1i(uniforms.inverse, shot.inverse ? 1 : 0);
      gl.uniform1i(uniforms.colour, size.samples === 3 ? 1 : 0);
      gl.drawArrays(gl.TRIANGLES, 0, 3);
    },
    clear() {
      loaded = null;
      gl.clearColor(0, 0, 0, 0);
      gl.clear(gl.COLOR_BUFFER_BIT);
    },
    dispose() {
      gl.deleteTexture(texture);
      gl.deleteProgram(program);
    },
  };
}

// Windowed RGBA of a whole frame; also draws the thumbnails.
export function toRgba(pixels: Pixels, size: FrameSize, window: Window, inverse: boolean): ImageData {
  const shown = new ImageData(size.columns, size.rows);
  for (let at = 0, out = 0; at < pixels.length; at += size.samples, out += 4) {
    for (let channel = 0; channel < 3; channel++) {
      const value = pixels[size.samples === 3 ? at + channel : at] ?? 0;
      shown.data[out + channel] = brightness(value, window, inverse) * 255;
    }
    shown.data[out + 3] = 255;
  }
  return shown;
}

export function openPlain(canvas: HTMLCanvasElement): Painter | null {
  const pen = canvas.getContext("2d");
  if (pen === null) return null;
  const whole = document.createElement("canvas");
  return {
    kind: "2d",
    paint(shot, ratio) {
      whole.width = shot.size.columns;
      whole.height = shot.size.rows;
      whole.getContext("2d")?.putImageData(toRgba(shot.pixels, shot.size, shot.window, shot.inverse), 0, 0);
      const { left, top, scale } = shot.placement;
      pen.clearRect(0, 0, canvas.width, canvas.height);
      pen.drawImage(whole, left * ratio, top * ratio, whole.width * scale * ratio, whole.height * scale * ratio);
    },
    clear() { pen.clearRect(0, 0, canvas.width, canvas.height); },
    dispose() { whole.width = 0; },
  };
}
