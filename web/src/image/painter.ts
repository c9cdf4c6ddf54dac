// SPDX-License-Identifier: Apache-2.0
// Paints one frame of stored values, one canvas pixel a stored pixel; the view places the canvas. With a graphics card
// the window is in the shader (WebGL2, integer textures). Where WebGL2 is missing or would be worked by the processor,
// a table from stored value to grey and a plain canvas are faster, and show the same.
import type { FrameSize, Pixels } from "./frames";
import { brightness, type Window } from "./window";

export interface Shot {
  readonly pixels: Pixels;
  readonly size: FrameSize;
  readonly inverse: boolean;
  readonly window: Window;
}
export interface Painter {
  readonly kind: "webgl2" | "2d";
  paint(shot: Shot): void;
  dispose(): void;
}

const kVertex = `#version 300 es
void main() { vec2 corner = vec2((gl_VertexID << 1) & 2, gl_VertexID & 2); gl_Position = vec4(corner * 2.0 - 1.0, 0.0, 1.0); }`;

// Row 0 of the picture is the upper one; the canvas counts from below.
const kFragment = `#version 300 es
precision highp float; precision highp usampler2D;
uniform usampler2D frame; uniform vec2 window; uniform bool inverse; uniform bool colour;
out vec4 shown;
void main() {
  ivec2 at = ivec2(gl_FragCoord.xy);
  vec3 value = vec3(texelFetch(frame, ivec2(at.x, textureSize(frame, 0).y - 1 - at.y), 0).rgb);
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

function resize(canvas: HTMLCanvasElement, size: FrameSize): void {
  if (canvas.width !== size.columns) canvas.width = size.columns;
  if (canvas.height !== size.rows) canvas.height = size.rows;
}

const kProcessorDrawn = /swiftshader|llvmpipe|softpipe|software|basic render/i;

// True where the graphics card is the processor in disguise: the plain painter is faster there. A canvas that has once
// given a WebGL context gives no other, so another one is asked.
function processorDraws(): boolean {
  const gl = document.createElement("canvas").getContext("webgl2");
  if (gl === null) return true;
  const info = gl.getExtension("WEBGL_debug_renderer_info");
  const name = String(gl.getParameter(info ? info.UNMASKED_RENDERER_WEBGL : gl.RENDERER));
  gl.getExtension("WEBGL_lose_context")?.loseContext();
  return kProcessorDrawn.test(name);
}

// `evenSlow`: also where the processor does the graphics card's work (for comparing the two painters).
export function openWebGl(canvas: HTMLCanvasElement, evenSlow: boolean): Painter | null {
  if (!evenSlow && processorDraws()) return null;
  const gl = canvas.getContext("webgl2", { antialias: false, depth: false, alpha: false });
  if (gl === null) return null;
  const program = link(gl);
  if (program === null) return null;
  const texture = gl.createTexture();
  const where = (name: string) => gl.getUniformLocation(program, name);
  const uniforms = { window: where("window"), inverse: where("inverse"), colour: where("colour") };
  gl.useProgram(program);
  gl.bindTexture(gl.TEXTURE_2D, texture);
  gl.pixelStorei(gl.UNPACK_ALIGNMENT, 1);
  for (const side of [gl.TEXTURE_MIN_FILTER, gl.TEXTURE_MAG_FILTER]) gl.texParameteri(gl.TEXTURE_2D, side, gl.NEAREST);
  let loaded: Pixels | null = null;
  return {
    kind: "webgl2",
    paint(shot) {
      const { size } = shot;
      resize(canvas, size);
      if (loaded !== shot.pixels) {
        const { inside, outside, kind } = formats(gl, size);
        gl.texImage2D(gl.TEXTURE_2D, 0, inside, size.columns, size.rows, 0, outside, kind, shot.pixels);
        loaded = shot.pixels;
      }
      gl.viewport(0, 0, canvas.width, canvas.height);
      gl.uniform2f(uniforms.window, shot.window.center, shot.window.width);
      gl.uniform1i(uniforms.inverse, shot.inverse ? 1 : 0);
      gl.uniform1i(uniforms.colour, size.samples === 3 ? 1 : 0);
      gl.drawArrays(gl.TRIANGLES, 0, 3);
    },
    dispose() {
      gl.deleteTexture(texture);
      gl.deleteProgram(program);
    },
  };
}

// Grey of every stored value, 0 to 255.
export function greyTable(bits: number, window: Window, inverse: boolean): Uint8Array {
  return Uint8Array.from({ length: 2 ** bits }, (_, value) => Math.round(brightness(value, window, inverse) * 255));
}

const kOpaque = 0xff000000;

// Fills `out`, RGBA as one 32-bit word a pixel (little-endian machines only, as all that run a browser are).
export function fillRgba(out: Uint32Array, pixels: Pixels, samples: number, table: Uint8Array): void {
  if (samples === 3) {
    for (let at = 0, place = 0; place < out.length; at += 3, place++) {
      const red = table[pixels[at] ?? 0] ?? 0;
      const green = table[pixels[at + 1] ?? 0] ?? 0;
      const blue = table[pixels[at + 2] ?? 0] ?? 0;
      out[place] = kOpaque | (blue << 16) | (green << 8) | red;
    }
    return;
  }
  for (let place = 0; place < out.length; place++) out[place] = kOpaque | ((table[pixels[place] ?? 0] ?? 0) * 0x010101);
}

// Windowed RGBA of a whole frame; also draws the thumbnails.
export function toRgba(pixels: Pixels, size: FrameSize, window: Window, inverse: boolean): ImageData {
  const shown = new ImageData(size.columns, size.rows);
  fillRgba(new Uint32Array(shown.data.buffer), pixels, size.samples, greyTable(size.bits, window, inverse));
  return shown;
}

export function openPlain(canvas: HTMLCanvasElement): Painter | null {
  const pen = canvas.getContext("2d", { alpha: false, willReadFrequently: true }); // keeps the canvas in plain memory
  if (pen === null) return null;
  let sheet = new ImageData(1, 1);
  let words = new Uint32Array(sheet.data.buffer);
  let table: Uint8Array = new Uint8Array(0);
  let made = "";
  return {
    kind: "2d",
    paint(shot) {
      const { size, window, inverse } = shot;
      resize(canvas, size);
      if (sheet.width !== size.columns || sheet.height !== size.rows) {
        sheet = new ImageData(size.columns, size.rows);
        words = new Uint32Array(sheet.data.buffer);
      }
      const key = `${size.bits} ${window.center} ${window.width} ${String(inverse)}`;
      if (key !== made) {
        table = greyTable(size.bits, window, inverse);
        made = key;
      }
      fillRgba(words, shot.pixels, size.samples, table);
      pen.putImageData(sheet, 0, 0);
    },
    dispose() { canvas.width = 0; },
  };
}
