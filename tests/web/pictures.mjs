// The README's pictures of the page and of a shop's page: node pictures.mjs, after web/build.

import { join } from 'node:path';
import { shop, visit, ready } from './element.mjs';
import { browser, open, root, serve } from './house.mjs';

const picture = (page, name) => page.screenshot({ path: join(root, 'tests/pictures', name), animations: 'disabled' });
const look = { viewport: { width: 1280, height: 1400 }, colorScheme: 'light', reducedMotion: 'reduce' };

const [pages, shops, chrome] = [await serve(), await shop(), await browser()];
try {
  const page = await open(await chrome.newContext(look), pages.address);
  await page.locator('#size-slot_opening').focus();
  await picture(page, 'page.png');
  const order = await visit(await chrome.newContext(look), `${shops.address}/part/example/index.html`);
  await order.evaluate(() => customElements.whenDefined('barwright-part').then(() => document.querySelector('barwright-part').start()));
  await ready(order);
  await picture(order, 'shop.png');
} finally {
  await chrome.close();
  pages.end();
  shops.end();
}
