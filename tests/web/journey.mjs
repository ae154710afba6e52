// A journey through the page: a browser and a server for all of one file, a page of its own for each.

import assert from 'node:assert/strict';
import { after, before, test } from 'node:test';
import { browser, open, serve } from './house.mjs';

/** Sets up what the journeys of a file need. */
export function journeys() {
  /** @type {{server?: any, chrome?: any}} what stands while they are made */ const stand = {};
  before(async () => {
    stand.server = await serve();
    stand.chrome = await browser();
  });
  after(async () => {
    await stand.chrome.close();
    stand.server.end();
  });

  /** A journey with a page of its own, which must not complain. */
  function journey(name, act, { hash = '', options = {} } = {}) {
    test(name, async () => {
      const context = await stand.chrome.newContext({ viewport: { width: 1280, height: 900 }, acceptDownloads: true, ...options });
      try {
        const page = await open(context, stand.server.address + hash);
        await act(page, context);
        assert.deepEqual(await page.complaints(), [], 'nothing on the console, nothing against the policy');
      } finally {
        await context.close();
      }
    });
  }
  return { journey, stand };
}

export const text = (page, selector) => page.locator(selector).innerText();
export const drawing = (page) => page.locator('#sheet svg').innerHTML();
export const program = (page) => page.locator('#text').textContent();
export const word = (page) => text(page, '#word');

/** Drops files on the page, as from a folder of the visitor's. */
export const drop = (page, files) => page.evaluate((files) => {
  const carried = new DataTransfer();
  for (const [name, text] of files) carried.items.add(new File([text], name));
  for (const kind of ['dragover', 'drop']) document.body.dispatchEvent(new DragEvent(kind, { dataTransfer: carried, bubbles: true, cancelable: true }));
}, files);
