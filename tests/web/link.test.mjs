// Whatever stands in the address, it is read as text or passed over; what is written is read again.

import assert from 'node:assert/strict';
import { readFileSync } from 'node:fs';
import { test } from 'node:test';
import { differs, read, write } from '../../web/page/link.js';

/** A plain generator with a fixed start, so that a failure comes again. */
function dice(seed) {
  let state = seed >>> 0;
  return (below) => Math.floor(((state = (Math.imul(state, 1664525) + 1013904223) >>> 0) / 2 ** 32) * below);
}

const hostile = readFileSync(new URL('../facts/hostile.txt', import.meta.url), 'utf8').trim().split('\n').map((line) => JSON.parse(line));

function checked(hash) {
  const asked = read(hash);
  for (const text of [asked.family, asked.unit, asked.control, ...Object.keys(asked.sizes), ...Object.values(asked.sizes)]) {
    assert.ok(text === undefined || (typeof text === 'string' && text.length <= 200), `${hash}: ${typeof text}`);
  }
  assert.ok(asked.unit === undefined || asked.unit === 'mm' || asked.unit === 'in', 'a unit or none');
  assert.ok(Object.keys(asked.sizes).length <= 200, 'so many sizes at most');
  assert.equal(Object.getPrototypeOf(asked.sizes), null, 'names are names, whatever they are');
  return asked;
}

test('hostile texts as names and values come back as they were', () => {
  for (const text of hostile) {
    const state = { family: text, unit: 'mm', control: text, sizes: { [text]: text, __proto__x: text, constructor: text } };
    const asked = checked(write(state));
    assert.equal(asked.family, text || undefined, 'family');
    assert.equal(asked.control, text || undefined, 'control');
    // What is written may stand for line ends as they are written in addresses.
    assert.equal(asked.sizes.constructor, text, 'a size');
  }
});

test('the digest goes with the sizes, and is none of them', () => {
  const asked = checked(write({ family: 'joining-key', unit: 'mm', sizes: { slot_opening: '9.5' }, digest: '0123456789abcdef' }));
  assert.deepEqual([{ ...asked.sizes }, asked.digest], [{ slot_opening: '9.5' }, '0123456789ab']);
  assert.deepEqual({ ...checked('#a/mm?part-digest=<b>&x=1').sizes }, { x: '1' });
  assert.equal(checked('#a/mm?part-digest=<b>').digest, undefined);
  assert.equal(differs(undefined, 'anything'), '');
  assert.equal(differs('0123456789ab', '0123456789abcdef'), '');
  assert.match(differs('0123456789ab', 'ffff56789abcdef'), /make one of ffff56789abc here/u);
  assert.match(differs('0123456789ab', undefined), /refused here/u);
});

test('random addresses', () => {
  const roll = dice(9);
  const signs = ['#', '/', '?', '&', '=', '%', '%41', '%ff', '%E2%82', '+', '__proto__', 'mm', 'in', 'joining-key', 'screw', 'M5', '\0', 'é', '😀', '\ud800', ' ', '"', '<', 'x'.repeat(300), '&a=1'.repeat(300)];
  for (let round = 0; round < 20000; round++) {
    let hash = roll(4) ? '#' : '';
    for (let left = roll(14); left > 0; left--) hash += signs[roll(signs.length)];
    checked(hash);
  }
  checked(`#joining-key/mm?${'a=1&'.repeat(100000)}`);
});
