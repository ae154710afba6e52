// Files to take away; fetched when the first is asked for.

import { make } from './node.js';

/** Gives a file to the browser. @param {string} name @param {Uint8Array} bytes @param {string} kind */
function give(name, bytes, kind) {
  const address = URL.createObjectURL(new Blob([/** @type {any} */ (bytes)], { type: kind }));
  make('a', { href: address, download: name }).click();
  setTimeout(() => URL.revokeObjectURL(address), 10_000);
}

const KINDS = { 'drawing.svg': 'image/svg+xml', 'drawing.pdf': 'application/pdf', 'part.json': 'application/json', program: 'text/plain' };

/**
 * What gives the files of a variant, the same bytes as the command line's; programs are there, all else is written by the
 * whole core. Nothing where one of them could not be written.
 * @param {string} what @param {any} goods @param {string} family @param {string} order @returns {Promise<(() => void)[] | null>}
 */
export async function written(what, goods, family, order) {
  const files = what === 'program' ? goods.runs.map((run) => [run.file, new TextEncoder().encode(run.text)]) : await byCore(what, family, order);
  if (files.length === 0 || files.some(([, bytes]) => !bytes)) return null;
  // Two parts may share a number, never a digest.
  const begins = `${goods.number.replace(/[^A-Za-z0-9._-]/gu, '-').slice(0, 120)}-${goods.digest.slice(0, 8)}`;
  return files.map(([name, bytes]) => () => give(`${begins}-${name}`, bytes, KINDS[what]));
}

/** @param {string} what @param {string} family @param {string} order @returns {Promise<[string, any][]>} */
async function byCore(what, family, order) {
  const { default: init, Desk } = await import('./barwright.js');
  await init();
  const desk = new Desk();
  desk.openFamily(family, undefined);
  desk.make(order);
  const names = JSON.parse(desk.files()).filter((/** @type {string} */ name) => name === what || (what === 'drawing.svg' && /^drawing-\d+\.svg$/u.test(name)));
  const files = names.map((/** @type {string} */ name) => [name, desk.file(name)]);
  desk.free();
  return files;
}
