// Files to take away; fetched when the first is asked for.

import { make } from './node.js';

/** Gives a file to the browser. @param {string} name @param {Uint8Array} bytes @param {string} kind */
export function give(name, bytes, kind) {
  const address = URL.createObjectURL(new Blob([/** @type {any} */ (bytes)], { type: kind }));
  make('a', { href: address, download: name }).click();
  setTimeout(() => URL.revokeObjectURL(address), 10_000);
}

/** The files of a variant by the whole core, the same bytes as the command line's. @param {string} what @param {string} family @param {string} order @returns {Promise<[string, any][]>} */
export async function written(what, family, order) {
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
