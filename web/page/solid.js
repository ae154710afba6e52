// The piece in lines: what stands, and what is gone. Everything in millimetres and the part's axes.

/** @typedef {[number, number, number]} Point */
/** @typedef {{from: number, to: number, points: Point[], what: 'face' | 'edge' | 'thin' | 'gone'}} Line */

const ROUND = 32;

/** @param {any} size a size with limits, or a plain length */
const nominal = (size) => (typeof size === 'number' ? size : size?.nominal ?? 0);

/**
 * Faces of the piece as polygons, and lines on it.
 * @param {any} part
 */
export function solid(part) {
  const [l, w, h] = [nominal(part.length) / 2, nominal(part.width) / 2, nominal(part.height)];
  const tongue = part.features.map((/** @type {any} */ feature) => feature.kind.tongue).find(Boolean);
  const profile = tongue
    ? stepped(w, h, nominal(tongue.width) / 2, nominal(tongue.height))
    : [[-w, -h], [w, -h], [w, 0], [-w, 0]];
  /** @type {Point[][]} */
  const faces = [];
  for (const [index, [y, z]] of profile.entries()) {
    const [y2, z2] = profile[(index + 1) % profile.length];
    faces.push([[-l, y, z], [l, y, z], [l, y2, z2], [-l, y2, z2]]);
  }
  // Ends in convex pieces, so that the order of painting stays simple.
  for (const x of [-l, l]) {
    const pieces = tongue ? [profile.slice(0, 4).toSpliced(2, 2, [w, -nominal(tongue.height)], [-w, -nominal(tongue.height)]), tip(tongue)] : [profile];
    for (const piece of pieces) faces.push(piece.map(([y, z]) => [x, y, z]));
  }
  const rings = [];
  for (const feature of part.features) rings.push(...holes(feature, h));
  return { faces, rings, blank: box(l, w, h), gone: tongue ? rabbets(l, w, tongue) : [], reach: Math.hypot(l, w, h) };
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

/** Circles of holes at both faces. @param {any} feature @param {number} h */
function holes(feature, h) {
  const group = feature.kind.holes;
  if (!group?.places) return [];
  const make = group.make;
  const across = nominal(make.plain?.diameter ?? make.tapped?.thread?.major ?? make.tapped?.drill?.diameter ?? make.reamed?.diameter ?? 0);
  const bottom = feature.face === 'bottom';
  const deep = typeof group.depth === 'object' ? nominal(Object.values(group.depth)[0]) : h;
  return group.places.flatMap((/** @type {any} */ place) => {
    const [top, low] = bottom ? [-h, -h + (deep || h)] : [0, -(deep || h)];
    return [ring(place.x, place.y, top, across / 2, feature.id), ring(place.x, place.y, low, across / 2, feature.id)];
  });
}

/** @param {number} x @param {number} y @param {number} z @param {number} r @param {string} feature */
function ring(x, y, z, r, feature) {
  /** @type {Point[]} */
  const points = [];
  for (let at = 0; at <= ROUND; at++) points.push([x + r * Math.cos((at / ROUND) * 2 * Math.PI), y + r * Math.sin((at / ROUND) * 2 * Math.PI), z]);
  return { points, feature };
}

/** The edges of the blank. @param {number} l @param {number} w @param {number} h */
function box(l, w, h) {
  /** @type {Point[][]} */
  const edges = [];
  for (const y of [-w, w]) for (const z of [0, -h]) edges.push([[-l, y, z], [l, y, z]]);
  for (const x of [-l, l]) {
    for (const z of [0, -h]) edges.push([[x, -w, z], [x, w, z]]);
    for (const y of [-w, w]) edges.push([[x, y, 0], [x, y, -h]]);
  }
  return edges;
}

/** Section hatch over what two rabbets take away. @param {number} l @param {number} w @param {any} tongue */
function rabbets(l, w, tongue) {
  const [half, high] = [nominal(tongue.width) / 2, nominal(tongue.height)];
  const step = Math.max((w - half) / 1.5, l / 40, 0.4);
  /** @type {Point[][]} */
  const lines = [];
  for (const side of [-1, 1]) {
    const [low, tall] = [half, w];
    // On the foot of the rabbet, at 45 degrees, clipped to its rectangle.
    for (let x = -l - (tall - low); x < l; x += step) {
      const [from, to] = [Math.max(x, -l), Math.min(x + (tall - low), l)];
      if (to > from) lines.push([[from, side * (low + from - x), -high], [to, side * (low + to - x), -high]]);
    }
  }
  return lines;
}
