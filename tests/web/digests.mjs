// The page's module gives the bytes that the same sizes gave elsewhere: node digests.mjs LIST
//
// A line of the list, as tests/same_bytes.rs writes it: the sum of the answer, the sum of all files
// in one archive, the sum of the papers (which no page makes), the order.

import { createHash } from 'node:crypto';
import { readFileSync } from 'node:fs';
import { initSync, Desk } from '../../web/dist/barwright.js';

const sum = (bytes) => createHash('sha256').update(bytes).digest('hex').slice(0, 24);

initSync({ module: readFileSync(new URL('../../web/dist/barwright_bg.wasm', import.meta.url)) });
const desk = new Desk();
const lines = readFileSync(process.argv[2], 'utf8').trim().split('\n');
let made = 0;
const wrong = [];
for (const line of lines) {
  const [answer, files, , ...rest] = line.split(' ');
  const asked = JSON.parse(rest.join(' '));
  desk.openFamily(asked.family);
  desk.openShop(undefined, asked.control);
  const ours = [sum(desk.make(asked.order)), '-'];
  const archive = desk.archive();
  if (archive) {
    made++;
    ours[1] = sum(archive);
  }
  if (ours[0] !== answer || ours[1] !== files) wrong.push(`${ours} here: ${line}`);
}
console.log(`${lines.length} variants, ${made} made, ${wrong.length} with other bytes`);
for (const line of wrong.slice(0, 20)) console.log(line);
process.exit(wrong.length === 0 && made > lines.length / 10 ? 0 : 1);
