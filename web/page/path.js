// The way of the cutter over the piece: turned, played, stepped and scrubbed.

import { STRIDE } from './core.js';
import { at, clock } from './make.js';
import { solid } from './solid.js';

/** Largest turn of one straight piece of an arc. */
const CHORD = Math.PI / 12;

/** White around it, in pixels. */
const EDGE = 28;

const LOOKS = { aslant: [-0.6, 0.55], above: [0, Math.PI / 2], front: [0, 0], end: [-Math.PI / 2, 0] };

const view = { turn: LOOKS.aslant[0], tilt: LOOKS.aslant[1], zoom: 1 };

/** @type {{text: string, numbers: Float64Array, count: number, piece: any, tools: Map<number, any>, total: number, points: Float64Array[], stretches: any[], room: [number[], number[]]}} */
const scene = { text: '', numbers: new Float64Array(), count: 0, piece: null, tools: new Map(), total: 0, points: [], stretches: [], room: [[0, 0, 0], [0, 0, 0]] };

let time = 0;
let playing = false;
/** The frame that is asked for while it plays: there is never a second. */
let frame = 0;
/** Whether somebody went to a move: until then none is the picked one. */
let present = false;
let drawn = 0;
/** @type {Set<string>} */
let marked = new Set();
let moved = (/** @type {number} */ _line) => {};
let visible = true;
/** What came while nobody looked. @type {[any, () => Float64Array] | null} */
let later = null;

/** @param {number} move @param {number} place */
const number = (move, place) => scene.numbers[move * STRIDE + place];
/** The line of a move. @param {number} move */
const line = (move) => number(move, 0);

/**
 * Shows the moves of a run over its piece.
 * @param {any} run nothing where the sizes are refused
 * @param {() => Float64Array} motions
 */
export function show(run, motions) {
  // While nobody looks there is nothing of the variant before, and nothing is fetched of this one.
  later = visible || !run ? null : [run, motions];
  if (later) run = null;
  const end = time >= scene.total;
  scene.text = run?.text ?? '';
  scene.numbers = run ? motions() : new Float64Array();
  scene.count = scene.numbers.length / STRIDE;
  scene.piece = run ? solid(run.part) : null;
  scene.tools = new Map((run?.tools ?? []).map((/** @type {any} */ tool) => [tool.number, tool]));
  scene.total = scene.count > 0 ? number(scene.count - 1, 4) : 0;
  scene.stretches = run?.stretches ?? [];
  scene.points = [];
  const range = at('time');
  range.max = String(scene.total);
  for (const id of ['play', 'back', 'on', 'time']) at(id).disabled = scene.count === 0;
  stop();
  present = present && !end;
  set(end ? scene.total : Math.min(time, scene.total));
}

/** The axes of an arc in each plane: its first, its second, and the one along which it climbs. */
const AXES = [[0, 1, 2], [2, 0, 1], [1, 2, 0]];

/** A move as straight pieces. It is asked for each move at each keystroke: no list is made on the way. @param {number} move */
function bent(move) {
  const [now, from] = [scene.numbers, move * STRIDE];
  if (!(now[from + 1] & 2)) return now.subarray(from + 5, from + 11);
  const [first, second, climb] = AXES[now[from + 11]];
  const [x, y, radius, start, sweep] = [now[from + 12], now[from + 13], now[from + 14], now[from + 15], now[from + 16]];
  const [low, high] = [now[from + 5 + climb], now[from + 8 + climb]];
  const steps = Math.max(2, Math.ceil(Math.abs(sweep) / CHORD));
  const out = new Float64Array((steps + 1) * 3);
  for (let step = 0, to = 0; step <= steps; step++, to += 3) {
    const angle = start + (sweep * step) / steps;
    out[to + first] = x + radius * Math.cos(angle);
    out[to + second] = y + radius * Math.sin(angle);
    out[to + climb] = low + ((high - low) * step) / steps;
  }
  return out;
}

/** The room that piece, blank and cutting take: lowest and highest of each axis. @param {any} piece @returns {[number[], number[]]} */
function room(piece) {
  const [low, top] = [[Infinity, Infinity, Infinity], [-Infinity, -Infinity, -Infinity]];
  const take = (/** @type {ArrayLike<number>} */ numbers) => {
    for (let at = 0; at < numbers.length; at++) {
      low[at % 3] = Math.min(low[at % 3], numbers[at]);
      top[at % 3] = Math.max(top[at % 3], numbers[at]);
    }
  };
  for (const way of [...piece.faces, ...piece.blank]) for (const point of way) take(point);
  // A plunge begins well above the work: that much air would only make the piece small.
  const most = top[2];
  scene.points.forEach((points, move) => (number(move, 1) & 1) === 0 && take(points));
  top[2] = Math.min(top[2], most + 2);
  return [low, top];
}

/** The move at a time. @param {number} when */
function moveAt(when) {
  let [low, high] = [0, scene.count - 1];
  while (low < high) {
    const middle = (low + high) >> 1;
    if (number(middle, 4) < when) low = middle + 1;
    else high = middle;
  }
  return low;
}

/** @param {number} when seconds */
function set(when) {
  time = Math.max(0, Math.min(when, scene.total));
  const range = at('time');
  range.value = String(time);
  const text = scene.count > 0 ? `${clock(time)} of ${clock(scene.total)}` : '';
  range.setAttribute('aria-valuetext', text);
  at('clock').textContent = text;
  draw();
}

/** The line that changes the tool before a move and after the one before it; 0 where none does. @param {number} move */
function change(move) {
  const from = move > 0 ? line(move - 1) : 0;
  const texts = scene.text.split('\n', line(move));
  for (let at = from; at < texts.length; at++) if (/\bM0?6\b/u.test(texts[at].replace(/\(.*?\)/gu, ''))) return at + 1;
  return 0;
}

/** The time of a line: when its move is done, or where nothing moves, when what it says holds. @param {number} which */
export function timeOf(which) {
  for (let move = 0; move < scene.count; move++) {
    if (line(move) < which) continue;
    if (line(move) === which) return number(move, 4);
    const changed = change(move);
    return changed && changed <= which ? number(move, 3) : move > 0 ? number(move - 1, 4) : 0;
  }
  return scene.count > 0 ? scene.total : null;
}

/** The line at which the machine is. */
function lineNow() {
  const move = moveAt(time);
  return (time < number(move, 3) && change(move)) || line(move);
}

/** @param {number} which line of the program */
export function go(which) {
  stop();
  const when = timeOf(which);
  present = true;
  if (when !== null) set(when);
}

/** @param {Set<string>} features marked by the thread */
export function mark(features) {
  marked = features;
  draw();
}

/** @param {boolean} yes whether anybody sees it */
export function see(yes) {
  visible = yes;
  if (!yes) return stop();
  if (later) show(...later);
  draw();
}

function stop() {
  playing = false;
  cancelAnimationFrame(frame);
  at('play').textContent = 'Play';
  at('line-said').setAttribute('aria-live', 'polite');
}

function play() {
  if (scene.count === 0) return;
  playing = true;
  present = true;
  at('play').textContent = 'Pause';
  // A line that runs on is nothing to be read aloud.
  at('line-said').setAttribute('aria-live', 'off');
  if (time >= scene.total) set(0);
  let last = performance.now();
  const step = (/** @type {number} */ now) => {
    set(time + ((now - last) / 1000) * Number(at('speed').value));
    last = now;
    moved(lineNow());
    if (time >= scene.total) stop();
    else if (playing) frame = requestAnimationFrame(step);
  };
  frame = requestAnimationFrame(step);
}

/** One move on or back. @param {number} way */
function step(way) {
  stop();
  const move = moveAt(time);
  const next = Math.max(0, Math.min(scene.count - 1, move + way));
  present = true;
  set(number(next, 4));
  moved(line(next));
}

/** Whether any of it is on the screen. */
let inView = true;

/** Draws once per frame, however often it is asked for, and only where it is seen. */
export function draw() {
  if (drawn || !visible || !inView) return;
  drawn = requestAnimationFrame(() => {
    drawn = 0;
    paint();
  });
}

function paint() {
  const canvas = at('path');
  const { clientWidth: wide, clientHeight: high } = canvas;
  if (wide === 0) return;
  const fine = devicePixelRatio || 1;
  if (canvas.width !== Math.round(wide * fine) || canvas.height !== Math.round(high * fine)) {
    canvas.width = Math.round(wide * fine);
    canvas.height = Math.round(high * fine);
  }
  const pen = canvas.getContext('2d');
  pen.setTransform(fine, 0, 0, fine, 0, 0);
  pen.clearRect(0, 0, wide, high);
  const { piece } = scene;
  if (!piece) return;
  if (scene.points.length !== scene.count) {
    scene.points = Array.from({ length: scene.count }, (_, move) => bent(move));
    scene.room = room(piece);
  }
  const style = getComputedStyle(canvas);
  const [ink, quiet, rule, sheet, thread] = ['--ink', '--quiet', '--rule', '--sheet', '--thread'].map((name) => style.getPropertyValue(name));
  const [ct, st, cu, su] = [Math.cos(view.turn), Math.sin(view.turn), Math.cos(view.tilt), Math.sin(view.tilt)];
  const sideways = (/** @type {number} */ x, /** @type {number} */ y) => x * ct - y * st;
  const up = (/** @type {number} */ x, /** @type {number} */ y, /** @type {number} */ z) => (x * st + y * ct) * su + z * cu;
  // As large as it goes from here: the corners of its room stay on the paper.
  const [low, top] = scene.room;
  const half = [0, 1, 2].map((axis) => (top[axis] - low[axis]) / 2);
  const [cx, cy, cz] = [0, 1, 2].map((axis) => (top[axis] + low[axis]) / 2);
  const reach = (/** @type {number[]} */ by) => by.reduce((sum, factor, axis) => sum + Math.abs(factor) * half[axis], 1e-6);
  const scale = Math.min((wide / 2 - EDGE) / reach([ct, st, 0]), (high / 2 - EDGE) / reach([st * su, ct * su, cu])) * view.zoom;
  const flatX = (/** @type {number} */ x, /** @type {number} */ y) => wide / 2 + sideways(x - cx, y - cy) * scale;
  const flatY = (/** @type {number} */ x, /** @type {number} */ y, /** @type {number} */ z) => high / 2 - up(x - cx, y - cy, z - cz) * scale;
  const depth = (/** @type {number} */ x, /** @type {number} */ y, /** @type {number} */ z) => (x * st + y * ct) * cu - z * su;
  const trace = (/** @type {ArrayLike<number>[]} */ points) => {
    points.forEach(([x, y, z], index) => (index === 0 ? pen.moveTo(flatX(x, y), flatY(x, y, z)) : pen.lineTo(flatX(x, y), flatY(x, y, z))));
  };
  const stroke = (/** @type {string} */ colour, /** @type {number} */ width, /** @type {number[]} */ dashes, /** @type {() => void} */ way) => {
    pen.strokeStyle = colour;
    pen.lineWidth = width;
    pen.setLineDash(dashes);
    pen.beginPath();
    way();
    pen.stroke();
  };
  // The blank behind, then the piece, farthest faces first.
  stroke(rule, 0.75, [6, 4], () => piece.blank.forEach(trace));
  const far = (/** @type {any} */ face) => face.reduce((/** @type {number} */ sum, /** @type {any} */ point) => sum + depth(point[0], point[1], point[2]), 0) / face.length;
  pen.setLineDash([]);
  for (const face of [...piece.faces].sort((a, b) => far(b) - far(a))) {
    pen.beginPath();
    trace(face);
    pen.closePath();
    pen.fillStyle = sheet;
    pen.fill();
    pen.strokeStyle = ink;
    pen.lineWidth = 1.25;
    pen.stroke();
  }
  if (view.tilt > 0) {
    const done = (/** @type {string | null} */ feature) => {
      const last = scene.stretches.filter((one) => feature === null || one.feature === feature).at(-1);
      return last && line(moveAt(time)) >= last.to - 1;
    };
    if (done(null)) stroke(quiet, 0.75, [], () => piece.gone.forEach(trace));
    stroke(ink, 1, [], () => piece.rings.forEach(trace));
  }
  const tell = (/** @type {number} */ move) => {
    const points = scene.points[move];
    for (let at = 0; at < points.length; at += 3) {
      const [x, y] = [flatX(points[at], points[at + 1]), flatY(points[at], points[at + 1], points[at + 2])];
      if (at === 0) pen.moveTo(x, y);
      else pen.lineTo(x, y);
    }
  };
  const current = moveAt(time);
  const groups = [[], [], [], []];
  for (let move = 0; move < scene.count; move++) {
    if (present && move === current) continue;
    const air = (number(move, 1) & 1) === 1 ? 2 : 0;
    groups[air + (move < current || !present ? 1 : 0)].push(move);
  }
  stroke(rule, 0.75, [], () => groups[0].forEach(tell));
  stroke(rule, 0.75, [1, 4], () => groups[2].forEach(tell));
  stroke(ink, 1, [], () => groups[1].forEach(tell));
  stroke(quiet, 1, [1, 3], () => groups[3].forEach(tell));
  if (marked.size > 0) {
    const lines = scene.stretches.filter((one) => marked.has(one.feature));
    const on = (/** @type {number} */ move) => lines.some((one) => one.from <= line(move) && line(move) <= one.to) && (number(move, 1) & 1) === 0;
    stroke(thread, 1.5, [], () => scene.points.forEach((_, move) => on(move) && tell(move)));
  }
  if (scene.count === 0 || !present) return;
  // Light round it: the present move is found among others of its colour.
  stroke(sheet, 9, [], () => tell(current));
  stroke(thread, 4, [], () => tell(current));
  cutter(current, stroke, flatX, flatY, thread);
}

/** The cutter as an outline with its diameter. */
function cutter(/** @type {number} */ move, /** @type {any} */ stroke, /** @type {any} */ flatX, /** @type {any} */ flatY, /** @type {string} */ colour) {
  const tool = scene.tools.get(number(move, 2));
  if (!tool) return;
  const [start, end] = [number(move, 3), number(move, 4)];
  const share = end > start ? Math.max(0, Math.min(1, (time - start) / (end - start))) : 1;
  const points = scene.points[move];
  const pieces = points.length / 3 - 1;
  const at = Math.min(pieces - 1, Math.floor(share * pieces));
  const rest = share * pieces - at;
  const [x, y, z] = [0, 1, 2].map((axis) => points[at * 3 + axis] + (points[at * 3 + 3 + axis] - points[at * 3 + axis]) * rest);
  const [r, long] = [tool.diameter / 2, Math.min(tool.flute_length ?? tool.diameter * 2, tool.diameter * 4)];
  stroke(colour, 1.5, [], () => {
    for (const up of [0, long]) {
      for (let step = 0; step <= 32; step++) {
        const angle = (step / 32) * 2 * Math.PI;
        const [cx, cy] = [x + r * Math.cos(angle), y + r * Math.sin(angle)];
        const pen = /** @type {CanvasRenderingContext2D} */ (globalThis.document.getElementById('path').getContext('2d'));
        if (step === 0) pen.moveTo(flatX(cx, cy), flatY(cx, cy, z + up));
        else pen.lineTo(flatX(cx, cy), flatY(cx, cy, z + up));
      }
    }
    const pen = globalThis.document.getElementById('path').getContext('2d');
    const side = [r * Math.cos(view.turn), -r * Math.sin(view.turn)];
    for (const way of [-1, 1]) {
      pen.moveTo(flatX(x + way * side[0], y + way * side[1]), flatY(x + way * side[0], y + way * side[1], z));
      pen.lineTo(flatX(x + way * side[0], y + way * side[1]), flatY(x + way * side[0], y + way * side[1], z + long));
    }
  });
}

function turn(/** @type {number} */ sideways, /** @type {number} */ up) {
  view.turn += sideways;
  view.tilt = Math.max(-Math.PI / 2, Math.min(Math.PI / 2, view.tilt + up));
  draw();
}

function closer(/** @type {number} */ by) {
  view.zoom = Math.max(0.4, Math.min(20, view.zoom * by));
  draw();
}

/** @param {(line: number) => void} onmove tells the line of the present move */
export function listen(onmove) {
  moved = onmove;
  const canvas = at('path');
  at('play').addEventListener('click', () => (playing ? stop() : play()));
  at('back').addEventListener('click', () => step(-1));
  at('on').addEventListener('click', () => step(1));
  at('time').addEventListener('input', () => {
    stop();
    present = true;
    set(Number(at('time').value));
    moved(lineNow());
  });
  for (const button of document.querySelectorAll('[data-look]')) {
    button.addEventListener('click', () => {
      const look = /** @type {HTMLElement} */ (button).dataset.look;
      if (look === 'closer') return closer(1.25);
      if (look === 'farther') return closer(0.8);
      [view.turn, view.tilt] = LOOKS[look];
      view.zoom = 1;
      draw();
    });
  }
  /** @type {Map<number, PointerEvent>} */
  const fingers = new Map();
  canvas.addEventListener('pointerdown', (/** @type {PointerEvent} */ event) => {
    fingers.set(event.pointerId, event);
    canvas.setPointerCapture(event.pointerId);
  });
  canvas.addEventListener('pointermove', (/** @type {PointerEvent} */ event) => {
    const before = fingers.get(event.pointerId);
    if (!before) return;
    const [across, down] = [event.clientX - before.clientX, event.clientY - before.clientY];
    if (fingers.size === 2) {
      // One finger up or down scrolls the page; two of them tilt the piece, and come closer.
      const other = [...fingers].find(([id]) => id !== event.pointerId)[1];
      const apart = (/** @type {PointerEvent} */ one) => Math.hypot(one.clientX - other.clientX, one.clientY - other.clientY);
      closer(apart(event) / Math.max(1, apart(before)));
      turn(across * 0.005, down * 0.005);
    } else turn(across * 0.01, down * 0.01);
    fingers.set(event.pointerId, event);
  });
  for (const end of ['pointerup', 'pointercancel']) canvas.addEventListener(end, (/** @type {PointerEvent} */ event) => fingers.delete(event.pointerId));
  canvas.addEventListener('wheel', (/** @type {WheelEvent} */ event) => {
    if (document.activeElement !== canvas && !event.ctrlKey) return;
    event.preventDefault();
    closer(event.deltaY < 0 ? 1.1 : 0.9);
  }, { passive: false });
  canvas.addEventListener('keydown', (/** @type {KeyboardEvent} */ event) => {
    const keys = {
      ArrowLeft: () => turn(-0.1, 0), ArrowRight: () => turn(0.1, 0), ArrowUp: () => turn(0, 0.1), ArrowDown: () => turn(0, -0.1),
      '+': () => closer(1.25), '=': () => closer(1.25), '-': () => closer(0.8), '0': () => ([view.turn, view.tilt, view.zoom] = [...LOOKS.aslant, 1], draw()),
    };
    if (!keys[event.key] || event.ctrlKey || event.metaKey) return;
    event.preventDefault();
    keys[event.key]();
  });
  new ResizeObserver(draw).observe(canvas);
  new IntersectionObserver((seen) => {
    inView = seen.at(-1)?.isIntersecting ?? true;
    draw();
  }).observe(canvas);
  matchMedia('(prefers-color-scheme: dark)').addEventListener('change', draw);
}
