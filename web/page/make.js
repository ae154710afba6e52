// What every part of the page needs: elements, texts and numbers as its visitor reads them.

import { decimal, local } from './step.js';

export { make } from './node.js';

/** @param {string} id @returns {any} */
export const at = (id) => document.getElementById(id);

/** `3:07` for 187 seconds. @param {number} seconds */
export function clock(seconds) {
  const whole = Math.floor(seconds);
  return `${Math.floor(whole / 60)}:${String(whole % 60).padStart(2, '0')}`;
}

const scripts = globalThis.trustedTypes?.createPolicy('barwright-worker', { createScriptURL: (/** @type {string} */ text) => text });

/** The address of one of the page's own scripts, as a strict policy wants it. @param {string} name @returns {any} */
export const address = (name) => (scripts ? scripts.createScriptURL(name) : name);

/** The decimal sign of whoever looks; drawings, programs and files keep the point. */
const sign = decimal(globalThis.navigator?.language);

/** A text of the core with the visitor's decimal sign. @param {string} text */
export const said = (text) => local(text, sign);

/** A number of millimetres in a unit, without zeros at its end. @param {number} mm @param {string} unit */
export function say(mm, unit, more = 0) {
  const inch = unit === 'in';
  const text = (inch ? mm / 25.4 : mm).toFixed((inch ? 4 : 3) + more).replace(/\.?0+$/, '');
  return said(text === '-0' ? '0' : text);
}

/** With a capital at its head. @param {string} text */
export const headed = (text) => text.charAt(0).toUpperCase() + text.slice(1);
