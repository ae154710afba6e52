// An order of many pieces, worked out in a worker by a module of its own, which is fetched when the first is asked for.

import init, { Desk } from './orders.js';

const started = init();

addEventListener('message', async ({ data: { id, asked } }) => {
  try {
    await started;
    const desk = new Desk();
    const { family, shop, order, pieces, spares } = asked;
    desk.openShop(shop.files && JSON.stringify(shop.files), shop.control);
    desk.openFamily(family.name, family.text);
    desk.make(JSON.stringify(order));
    const { findings, files } = JSON.parse(desk.order(pieces, spares));
    const given = files.length > 0 ? { packet: desk.orderFile('packet.pdf'), archive: desk.orderArchive() } : {};
    desk.free();
    postMessage({ id, answer: { findings, ...given } });
  } catch (error) {
    postMessage({ id, failed: String(error) });
  }
});
