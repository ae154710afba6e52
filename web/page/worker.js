// The core once more, beside the page: a variant that takes long to prove is worked out here, and no key waits for it.

import { Core, load } from './core.js';

const started = load().then(() => new Core());

/** What lies on the desk, so that it is read again only where it changed. */
const lies = { family: '', shop: '' };

const ACTS = {
  /** @param {Core} core @param {any} asked */
  make(core, { family, shop, order }) {
    const [theirs, ours] = [JSON.stringify(family), JSON.stringify(shop)];
    if (lies.shop !== ours) core.openShop(shop.files, shop.control);
    if (lies.family !== theirs) core.openFamily(family.name, family.text);
    [lies.family, lies.shop] = [theirs, ours];
    const text = core.tell(order);
    const names = core.files();
    const motions = [];
    for (let run = core.motions(0); run.length > 0; run = core.motions(motions.length)) motions.push(run);
    return [{ text, names, motions }, motions.map(({ buffer }) => buffer)];
  },
  /** @param {Core} core @param {{name: string}} asked */
  file: (core, { name }) => [core.file(name), []],
  /** @param {Core} core */
  archive: (core) => [core.archive(), []],
};

addEventListener('message', ({ data: { id, act, asked } }) =>
  started
    .then((core) => {
      const [answer, moved] = ACTS[act](core, asked);
      postMessage({ id, answer }, { transfer: moved });
    })
    .catch((error) => postMessage({ id, failed: String(error) })),
);
