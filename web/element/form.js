// The form around the element: its default button, the shop's own fields and attributes, bare numbers.

import { read } from './frame.js';
import { meant, usual } from './step.js';

const TEXTLESS = /^(?:hidden|checkbox|radio|button|reset|file|range|color|submit|image)$/u;

/** What Enter in a field does, as in any form: its default button; without one, a form of one field is sent. @param {any} host */
export function enter(host) {
  const form = host.form;
  if (!form) return;
  const all = [...form.getRootNode().querySelectorAll('button, input')].filter((one) => one.form === form && !host.contains(one));
  const button = all.find((one) => one.type === 'submit' || one.type === 'image');
  if (button) button.click();
  else if (!all.some((one) => one.localName === 'input' && !TEXTLESS.test(one.type))) form.requestSubmit();
}

/** The shop's own fields inside that can be filled in. @param {any} host */
const fields = (host) => [...host.querySelectorAll('input, select, textarea')].filter((field) => !field.disabled);

/** Whether the shop's own fields carry the order where there is no part. @param {HTMLElement} host */
export const carried = (host) => fields(host).some((field) => field.name !== '' && !/^(?:button|reset|submit|image)$/u.test(field.type));

/** The size that a field of the shop's own stands for. @param {any} field */
export const stands = (field) => field.dataset?.size ?? field.name;

/** What was typed or chosen in the shop's own fields, by size. @param {HTMLElement} host @returns {Record<string, string>} */
export function typed(host) {
  const sizes = Object.create(null);
  for (const field of fields(host)) {
    if (TEXTLESS.test(field.type) || field.value.trim() === '') continue;
    const before = field.localName === 'select' ? ([...field.options].find((option) => option.defaultSelected) ?? field.options[0])?.value : field.defaultValue;
    if (field.value !== before) sizes[stands(field)] = field.value;
  }
  return sizes;
}

/** Kinds whose texts are not rounded to be read. */
const WHOLE = new Set(['count', 'thread', 'material', 'fit', 'word', 'places', 'yes or no']);

/**
 * Sizes by which the same part is made again: as they were asked for or are usual. What is worked out from others is left
 * out: it follows again, and its text is rounded.
 * @param {any} family @param {any} told @param {Record<string, string>} asked @param {string} units of its bare numbers
 * @returns {Record<string, string>}
 */
export const exact = (family, told, asked, units) => Object.fromEntries(told.values.filter((value) => value.parameter).flatMap(({ name, text }) => {
  const size = family.sizes.find((one) => one.name === name);
  const plain = usual(size, units);
  const exactly = asked[name] !== undefined ? meant(size, asked[name], units) : WHOLE.has(size.kind) ? text : /^[\d.]+(?: \S+)?$/u.test(plain) ? plain : null;
  return exactly === null ? [] : [[name, exactly]];
}));

/** What attributes name that is not there, in words. @param {HTMLElement} host @param {Record<string, string[]>} known by attribute */
export function unknown(host, known) {
  return Object.entries(known).flatMap(([attribute, names]) => {
    const text = host.getAttribute(attribute) ?? '';
    const told = attribute === 'fixed' || attribute === 'value' ? Object.keys(read(text)) : text.split(/[\s,]+/u).filter(Boolean);
    return told.filter((name) => !names.includes(name)).slice(0, 20).map((name) => `barwright-part: ${attribute} has “${name.slice(0, 80)}”, which is none of ${names.join(', ')}.`);
  });
}
