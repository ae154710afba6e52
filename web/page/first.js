// What stands on the page until its core is there: the usual variant, worked out by the same core when
// the page was built. No file of it is given; what is typed waits for the core.

import { USUAL } from './usual.js';

/**
 * The usual variant, where the address asks for just that: for nothing, or for the part that it is.
 * @param {string} hash @param {string} unit of bare numbers, which a browser may have kept
 */
export const first = (hash, unit) => (['', '#', USUAL.address].includes(hash) && unit === USUAL.unit ? USUAL : null);

/** Stands for the core: it knows no moves. */
export const NOBODY = { motions: () => new Float64Array() };
