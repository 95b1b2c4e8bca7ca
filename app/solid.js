/**
 * The build in three dimensions, on demand: the solids of the core, drawn by the graphics of the machine with perspective and one lamp.
 * It needs no more than flat faces in one colour each, so it is these few lines and no library; the core's solids are all that goes in.
 */
import { on } from "./desk.js";
import { button, h, renew } from "./dom.js";

/** @typedef {{ id: string, of: string, corners: [number, number, number][], faces: number[][] }} Solid */
/** @typedef {{ body?: { parts: Solid[], steps: number[][] } | null, steps: number | null }} Shown */

/** What parts are made of, as red, green and blue: the colours of the file that leaves the house, bent for a screen. */
const COLOURS = /** @type {Record<string, number[]>} */ ({ board: [0.87, 0.75, 0.61], sheet: [0.94, 0.89, 0.78] });
const STONE = [0.78, 0.78, 0.8];
const CORNERS = `attribute vec3 at; attribute vec3 out_; attribute vec3 colour; uniform mat4 view; uniform vec3 lamp; varying vec3 lit;
void main() { lit = colour * (0.62 + 0.38 * max(dot(out_, lamp), 0.0)); gl_Position = view * vec4(at, 1.0); }`;
const POINTS = `precision mediump float; varying vec3 lit; uniform float ink; void main() { gl_FragColor = vec4(lit * (1.0 - ink), 1.0); }`;
/** How far one looks in, in degrees across the shorter side. */
const ANGLE = 32;

/**
 * Opens the view, or puts it away if it is open.
 * @param {HTMLElement} into @param {() => Shown} shown what is to be seen now @param {HTMLElement} opener gets the focus back
 */
export function open(into, shown, opener) {
  if (into.firstChild) return renew(into);
  const canvas = h("canvas", { tabindex: 0, role: "img", "aria-label": "The build in three dimensions: drag or use the arrow keys to turn it, plus and minus to come near or go far", class: "solid" });
  const away = () => (stop(), renew(into), opener.focus());
  renew(into, canvas, h("p", { class: "row" }, button("Nearer", () => scene?.near(0.8)), button("Farther", () => scene?.near(1.25)), button("Put it away", away, { "data-key": "solid-away" })));
  const scene = Scene.of(canvas);
  if (!scene) return renew(into, h("p", { role: "alert" }, "This browser draws nothing in three dimensions. The drawing above can be turned all the same."));
  const fill = () => (into.contains(canvas) ? scene.fill(shown()) : stop());
  const stop = () => removeEventListener("built", fill);
  addEventListener("built", fill);
  if (!watched.has(into)) on("answer", () => watched.get(into)?.());
  watched.set(into, () => into.contains(canvas) && fill());
  fill();
  canvas.focus({ preventScroll: true });
  canvas.scrollIntoView({ block: "nearest" });
}

/** What each place of a view does when the plan was settled anew. @type {Map<HTMLElement, () => void>} */
const watched = new Map();

class Scene {
  /** @type {WebGLRenderingContext} */ #gl;
  #canvas;
  /** @type {Record<string, WebGLUniformLocation | null>} */ #set = {};
  #count = { faces: 0, edges: 0 };
  #middle = [0, 0, 0];
  #radius = 1;
  #around = Math.PI / 4;
  #above = Math.PI / 6;
  #far = 1;
  #due = false;

  /** @param {HTMLCanvasElement} canvas @returns {Scene | null} */
  static of(canvas) {
    const gl = canvas.getContext("webgl", { antialias: true, alpha: true });
    return gl && new Scene(canvas, gl);
  }

  /** @param {HTMLCanvasElement} canvas @param {WebGLRenderingContext} gl */
  constructor(canvas, gl) {
    this.#canvas = canvas;
    this.#gl = gl;
    const program = /** @type {WebGLProgram} */ (gl.createProgram());
    for (const [kind, text] of /** @type {const} */ ([[gl.VERTEX_SHADER, CORNERS], [gl.FRAGMENT_SHADER, POINTS]])) {
      const shader = /** @type {WebGLShader} */ (gl.createShader(kind));
      gl.shaderSource(shader, text);
      gl.compileShader(shader);
      gl.attachShader(program, shader);
    }
    gl.linkProgram(program);
    gl.useProgram(program);
    gl.bindBuffer(gl.ARRAY_BUFFER, gl.createBuffer());
    for (const [place, name] of ["at", "out_", "colour"].entries()) {
      const where = gl.getAttribLocation(program, name);
      gl.enableVertexAttribArray(where);
      gl.vertexAttribPointer(where, 3, gl.FLOAT, false, 36, place * 12);
    }
    for (const name of ["view", "lamp", "ink"]) this.#set[name] = gl.getUniformLocation(program, name);
    gl.enable(gl.DEPTH_TEST);
    // Faces lie a little behind their own edges, so that these are not broken.
    gl.enable(gl.POLYGON_OFFSET_FILL);
    gl.polygonOffset(1, 1);
    canvas.addEventListener("keydown", (event) => this.#key(event));
    canvas.addEventListener("pointerdown", (event) => this.#grip(event));
    canvas.addEventListener("wheel", (event) => event.ctrlKey && (event.preventDefault(), this.near(event.deltaY > 0 ? 1.1 : 0.9)), { passive: false });
    new ResizeObserver(() => this.#draw()).observe(canvas);
  }

  /** Puts solids in, in place of those before. @param {Shown} shown */
  fill({ body, steps }) {
    if (!body) return;
    const places = steps === null ? body.parts.map((_, place) => place) : body.steps.slice(0, steps).flat();
    /** @type {number[]} */ const faces = [];
    /** @type {number[]} */ const edges = [];
    for (const place of places) put(body.parts[place], faces, edges);
    const all = body.parts.flatMap((part) => part.corners);
    const low = [0, 1, 2].map((axis) => all.reduce((least, corner) => Math.min(least, corner[axis]), Infinity) / 1e6);
    const high = [0, 1, 2].map((axis) => all.reduce((most, corner) => Math.max(most, corner[axis]), -Infinity) / 1e6);
    this.#middle = low.map((at, axis) => (at + high[axis]) / 2);
    this.#radius = Math.max(1, Math.hypot(...low.map((at, axis) => high[axis] - at)) / 2);
    this.#count = { faces: faces.length / 9, edges: edges.length / 9 };
    this.#gl.bufferData(this.#gl.ARRAY_BUFFER, new Float32Array([...faces, ...edges]), this.#gl.STATIC_DRAW);
    this.#draw();
  }

  /** Comes nearer or goes farther. @param {number} by */
  near(by) {
    this.#far = Math.max(0.3, Math.min(4, this.#far * by));
    this.#draw();
  }

  /** @param {number} around @param {number} above */
  #turn(around, above) {
    this.#around += around;
    this.#above = Math.max(-1.55, Math.min(1.55, this.#above + above));
    this.#draw();
  }

  /** @param {KeyboardEvent} event */
  #key(event) {
    const way = { ArrowLeft: [-1, 0], ArrowRight: [1, 0], ArrowUp: [0, 1], ArrowDown: [0, -1] }[event.key];
    if (way) this.#turn((way[0] * Math.PI) / 24, (way[1] * Math.PI) / 24);
    else if ("+=".includes(event.key)) this.near(0.9);
    else if (event.key === "-") this.near(1.1);
    else return;
    event.preventDefault();
  }

  /** @param {PointerEvent} event */
  #grip(event) {
    const canvas = this.#canvas;
    canvas.setPointerCapture(event.pointerId);
    let [x, y] = [event.clientX, event.clientY];
    const moved = (/** @type {PointerEvent} */ move) => {
      this.#turn((x - move.clientX) / 120, (move.clientY - y) / 120);
      [x, y] = [move.clientX, move.clientY];
    };
    canvas.addEventListener("pointermove", moved);
    for (const what of ["pointerup", "pointercancel"]) canvas.addEventListener(what, () => canvas.removeEventListener("pointermove", moved), { once: true });
  }

  #draw() {
    if (this.#due) return;
    this.#due = true;
    requestAnimationFrame(() => {
      this.#due = false;
      this.#paint();
    });
  }

  #paint() {
    const gl = this.#gl;
    const { clientWidth, clientHeight } = this.#canvas;
    if (!clientWidth || !clientHeight) return;
    const fine = Math.min(2, devicePixelRatio);
    this.#canvas.width = clientWidth * fine;
    this.#canvas.height = clientHeight * fine;
    gl.viewport(0, 0, this.#canvas.width, this.#canvas.height);
    gl.clearColor(0, 0, 0, 0);
    gl.clear(gl.COLOR_BUFFER_BIT | gl.DEPTH_BUFFER_BIT);
    const eye = direction(this.#around, this.#above);
    gl.uniformMatrix4fv(this.#set.view, false, this.#view(eye, clientWidth / clientHeight));
    gl.uniform3fv(this.#set.lamp, direction(this.#around - 0.5, this.#above + 0.35));
    gl.uniform1f(this.#set.ink, 0);
    gl.drawArrays(gl.TRIANGLES, 0, this.#count.faces);
    gl.uniform1f(this.#set.ink, 0.85);
    gl.drawArrays(gl.LINES, this.#count.faces, this.#count.edges);
  }

  /** Where each point comes to lie on the screen, column by column. @param {number[]} eye the direction to it @param {number} wide width to height */
  #view(eye, wide) {
    const right = [Math.cos(this.#around), Math.sin(this.#around), 0];
    const up = [eye[1] * right[2] - eye[2] * right[1], eye[2] * right[0] - eye[0] * right[2], eye[0] * right[1] - eye[1] * right[0]];
    const zoom = 1 / Math.tan((ANGLE * Math.PI) / 360);
    const far = this.#radius * zoom * 1.08 * this.#far + this.#radius * 0.2;
    const [zoomX, zoomY] = wide < 1 ? [zoom, zoom * wide] : [zoom / wide, zoom];
    const [least, most] = [Math.max(far - 2 * this.#radius, far / 50), far + 2 * this.#radius];
    const deep = [(most + least) / (least - most), (2 * most * least) / (least - most)];
    const shift = (/** @type {number[]} */ axis) => -axis.reduce((sum, value, at) => sum + value * this.#middle[at], 0);
    const [x, y, z] = [shift(right), shift(up), shift(eye) - far];
    const column = (/** @type {number} */ at) => [right[at] * zoomX, up[at] * zoomY, eye[at] * deep[0], -eye[at]];
    return new Float32Array([...column(0), ...column(1), ...column(2), x * zoomX, y * zoomY, z * deep[0] + deep[1], -z]);
  }
}

/** The direction to one who stands round the build from its front towards its right, and so far above. @param {number} around @param {number} above */
const direction = (around, above) => [Math.sin(around) * Math.cos(above), -Math.cos(around) * Math.cos(above), Math.sin(above)];

/** Puts the faces of a solid in as triangles and their rims as lines: place, direction outwards, colour. @param {Solid} part @param {number[]} faces @param {number[]} edges */
function put({ of, corners, faces: rings }, faces, edges) {
  const colour = COLOURS[of] ?? STONE;
  const at = corners.map((corner) => corner.map((value) => value / 1e6));
  for (const ring of rings) {
    const out = outwards(ring.map((corner) => at[corner]));
    const vertex = (/** @type {number} */ corner) => [...at[corner], ...out, ...colour];
    for (let next = 2; next < ring.length; next += 1) faces.push(...vertex(ring[0]), ...vertex(ring[next - 1]), ...vertex(ring[next]));
    // Each edge lies in two rings, once each way: it is put in where it runs upwards in number.
    ring.forEach((corner, place) => corner < ring[(place + 1) % ring.length] && edges.push(...vertex(corner), ...vertex(ring[(place + 1) % ring.length])));
  }
}

/** The direction out of a flat ring that runs counter-clockwise as seen from outside. @param {number[][]} ring */
function outwards(ring) {
  const sum = [0, 0, 0];
  ring.forEach((a, place) => {
    const b = ring[(place + 1) % ring.length];
    for (let axis = 0; axis < 3; axis += 1) {
      const [y, z] = [(axis + 1) % 3, (axis + 2) % 3];
      sum[axis] += (a[y] - b[y]) * (a[z] + b[z]);
    }
  });
  const long = Math.hypot(...sum) || 1;
  return sum.map((value) => value / long);
}
