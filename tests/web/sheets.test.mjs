// A drawing is changed line by line where that will do: it must come to the same as if it were read anew.

import assert from 'node:assert/strict';
import { test } from 'node:test';
import { open } from './house.mjs';
import { journeys } from './journey.mjs';

const { stand } = journeys();

/** Edits of one family, one after the other: how often the sheet differs from a fresh reading, and how much was read. */
async function edited(address, family, edits) {
  // The comparison reads markup itself, which the page's policy forbids.
  const context = await stand.chrome.newContext({ viewport: { width: 1280, height: 900 }, bypassCSP: true });
  const page = await open(context, `${stand.server.address}${address}`);
  const found = await page.evaluate(async ({ family, edits }) => {
    const { Core } = await import('./core.js');
    const core = new Core();
    core.openShop();
    core.openFamily(family);
    const all = { same: 0, other: [], refused: 0, read: [], whole: [] };
    const sizes = {};
    const { get, set } = Object.getOwnPropertyDescriptor(Element.prototype, 'innerHTML');
    let read = 0;
    for (const [name, text] of edits) {
      if (text === '') delete sizes[name];
      else sizes[name] = text;
      const field = document.getElementById(`size-${name}`);
      read = 0;
      Object.defineProperty(Element.prototype, 'innerHTML', { configurable: true, get, set(text) { read += String(text).length; set.call(this, text); } });
      field.value = text;
      field.dispatchEvent(new Event(field.tagName === 'SELECT' ? 'change' : 'input', { bubbles: true }));
      while (document.body.dataset.busy === 'yes') await new Promise((rest) => setTimeout(rest));
      Object.defineProperty(Element.prototype, 'innerHTML', { configurable: true, get, set });
      const { goods } = core.make({ unit: 'mm', sizes });
      const sheet = document.getElementById('sheet');
      if (!goods) {
        all.refused += Number(sheet.querySelector('svg') === null);
        continue;
      }
      const seen = sheet.cloneNode(true);
      for (const node of seen.querySelectorAll('[class]')) node.removeAttribute('class');
      const fresh = document.createElement('template');
      fresh.innerHTML = goods.sheets.map((one) => one.svg).join('');
      for (const node of [...fresh.content.childNodes]) if (node.nodeType !== Node.ELEMENT_NODE) node.remove();
      const [is, wanted] = [[...seen.children], [...fresh.content.children]];
      if (is.length === wanted.length && is.every((one, index) => one.isEqualNode(wanted[index]))) all.same += 1;
      else all.other.push(`${name} ${text}`);
      all.read.push(read);
      all.whole.push(goods.sheets.reduce((sum, one) => sum + one.svg.length, 0));
    }
    return all;
  }, { family, edits });
  await context.close();
  assert.deepEqual(found.other, [], family);
  assert.equal(found.same + found.refused, edits.length, family);
  return found;
}

test('drawings of one part after another are what a fresh reading gives', async () => {
  const key = [];
  for (let at = 0; at < 60; at++) {
    key.push(['slot_opening', (8 + (at % 13) / 4).toFixed(2)]);
    // Lines come and go, and so does the part.
    if (at % 5 === 0) key.push(['screws', String(1 + (at % 4))]);
    if (at % 7 === 0) key.push(['length_per_rail', at % 2 ? '45' : '30']);
    if (at % 9 === 0) key.push(['slot_opening', '200']);
  }
  const { same, refused } = await edited('', 'joining-key', key);
  assert.ok(same > 40 && refused > 5, `${same} drawn, ${refused} refused`);
  const plate = ['2', '3', '', '4', '2.5'].flatMap((text, at) => [['corner', text], ['pitch', String(18 + 4 * at)]]);
  await edited('#tapped-plate/mm', 'tapped-plate', plate);
});

test('what a key leaves as it was is not read again', async () => {
  const { read, whole } = await edited('', 'joining-key', Array.from({ length: 20 }, (_, at) => ['slot_opening', (9 + (at % 10) / 10).toFixed(1)]));
  const [least, of] = [read, whole].map((list) => list.reduce((sum, one) => sum + one, 0));
  console.log(`# of ${of} letters of drawings ${least} were read`);
  assert.ok(least < 0.7 * of, `${least} of ${of}`);
});
