// The piece in lines: what stands, and what is gone. Everything in millimetres and the part's axes.

/** @typedef {[number, number, number]} Point */

const ROUND = 32;

/** @param {any} size a size with limits, or a plain length */
const nominal = (size) => (typeof size === 'number' ? size : size?.nominal ?? 0);

/** How far an end is longer than the finished part. @param {any} end */
const allowance = (end) => (typeof end === 'object' && end !== null ? Number(Object.values(end)[0]) : 0);

/**
 * Faces of the piece as polygons, and lines on it, as it stands with its top up.
 * @param {any} part
 */
export function solid(part) {
  const [half, w, h] = [nominal(part.length) / 2, nominal(part.width) / 2, nominal(part.height)];
  const [left, right] = [-half - allowance(part.ends?.left), half + allowance(part.ends?.right)];
  const tongue = part.features.map((/** @type {any} */ feature) => feature.kind.tongue).find(Boolean);
  const high = tongue ? nominal(tongue.height) : 0;
  const profile = tongue ? stepped(w, h, nominal(tongue.width) / 2, high) : [[-w, -h], [w, -h], [w, 0], [-w, 0]];
  /** @type {Point[][]} */
  const faces = [];
  for (const [index, [y, z]] of profile.entries()) {
    const [y2, z2] = profile[(index + 1) % profile.length];
    faces.push([[left, y, z], [right, y, z], [right, y2, z2], [left, y2, z2]]);
  }
  // Ends in convex pieces, so that the order of painting stays simple.
  for (const x of [left, right]) {
    const pieces = tongue ? [[[-w, -h], [w, -h], [w, -high], [-w, -high]], tip(tongue)] : [profile];
    for (const piece of pieces) faces.push(piece.map(([y, z]) => [x, y, z]));
  }
  const rings = part.features.flatMap((/** @type {any} */ feature) => [...holes(feature), ...slot(feature, left, right)]);
  return { faces, rings, blank: box(left, right, w, h), gone: tongue ? rabbets(left, right, w, tongue) : [] };
}

/** @param {number} w @param {number} h @param {number} half @param {number} high */
function stepped(w, h, half, high) {
  return [[-w, -h], [w, -h], [w, -high], [half, -high], [half, 0], [-half, 0], [-half, -high], [-w, -high]];
}

/** @param {any} tongue */
function tip(tongue) {
  const [half, high] = [nominal(tongue.width) / 2, nominal(tongue.height)];
  return [[-half, -high], [half, -high], [half, 0], [-half, 0]];
}

/** Holes as circles on the top face. @param {any} feature */
function holes(feature) {
  const group = feature.kind.holes;
  if (!group?.places) return [];
  const { plain, reamed, tapped } = group.make;
  const across = nominal(plain?.diameter ?? reamed?.diameter ?? tapped?.thread?.major ?? tapped?.drill?.diameter ?? 0);
  return group.places.map((/** @type {any} */ place) => ring(place.x, place.y, across / 2));
}

/** @param {number} x @param {number} y @param {number} r */
function ring(x, y, r) {
  /** @type {Point[]} */
  const points = [];
  for (let at = 0; at <= ROUND; at++) points.push([x + r * Math.cos((at / ROUND) * 2 * Math.PI), y + r * Math.sin((at / ROUND) * 2 * Math.PI), 0]);
  return points;
}

/** A slot or groove as its outline on the top face. @param {any} feature @param {number} left @param {number} right */
function slot(feature, left, right) {
  const cut = feature.kind.slot;
  if (!cut) return [];
  const [x, y, r] = [cut.place.x, cut.place.y, nominal(cut.width) / 2];
  if (!cut.length) return [[[left, y - r, 0], [right, y - r, 0]], [[left, y + r, 0], [right, y + r, 0]]];
  const run = nominal(cut.length) / 2 - r;
  /** @type {Point[]} */
  const points = [];
  for (let at = 0; at <= ROUND; at++) {
    const angle = (at / ROUND) * 2 * Math.PI - Math.PI / 2;
    points.push([x + (at <= ROUND / 2 ? run : -run) + r * Math.cos(angle), y + r * Math.sin(angle), 0]);
  }
  return [[...points, points[0]]];
}

/** The edges of the blank. @param {number} left @param {number} right @param {number} w @param {number} h */
function box(left, right, w, h) {
  /** @type {Point[][]} */
  const edges = [];
  for (const y of [-w, w]) for (const z of [0, -h]) edges.push([[left, y, z], [right, y, z]]);
  for (const x of [left, right]) {
    for (const z of [0, -h]) edges.push([[x, -w, z], [x, w, z]]);
    for (const y of [-w, w]) edges.push([[x, y, 0], [x, y, -h]]);
  }
  return edges;
}

/** Section hatch over what two rabbets take away. @param {number} left @param {number} right @param {number} w @param {any} tongue */
function rabbets(left, right, w, tongue) {
  const [half, high] = [nominal(tongue.width) / 2, nominal(tongue.height)];
  const step = Math.max((w - half) / 1.5, (right - left) / 80, 0.4);
  /** @type {Point[][]} */
  const lines = [];
  for (const side of [-1, 1]) {
    const [low, tall] = [half, w];
    // On the foot of the rabbet, at 45 degrees, clipped to its rectangle.
    for (let x = left - (tall - low); x < right; x += step) {
      const [from, to] = [Math.max(x, left), Math.min(x + (tall - low), right)];
      if (to > from) lines.push([[from, side * (low + from - x), -high], [to, side * (low + to - x), -high]]);
    }
  }
  return lines;
}
