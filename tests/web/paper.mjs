// Paper: a page as it prints, measured in the ink of its PDF.

import { execFileSync } from 'node:child_process';
import { mkdtempSync, readFileSync, rmSync, writeFileSync } from 'node:fs';
import { tmpdir } from 'node:os';
import { join } from 'node:path';

/** The page as it prints: number of pages, size in mm, and the ink of its first at 20 dots per mm. */
export async function printed(page) {
  const folder = mkdtempSync(join(tmpdir(), 'barwright-'));
  try {
    writeFileSync(join(folder, 'page.pdf'), await page.pdf({ preferCSSPageSize: true }));
    const told = execFileSync('pdfinfo', [join(folder, 'page.pdf')]).toString();
    const words = execFileSync('pdftotext', ['-layout', join(folder, 'page.pdf'), '-']).toString();
    execFileSync('pdftoppm', ['-r', '508', '-gray', join(folder, 'page.pdf'), join(folder, 'ink')]);
    const pages = Number(/Pages:\s+(\d+)/u.exec(told)[1]);
    const [, width, height] = /Page size:\s+([\d.]+) x ([\d.]+)/u.exec(told).map(Number);
    return { pages, width: (width / 72) * 25.4, height: (height / 72) * 25.4, words, ink: readFileSync(join(folder, `ink-${'1'.padStart(String(pages).length, '0')}.pgm`)) };
  } finally {
    rmSync(folder, { recursive: true, force: true });
  }
}

/** How far the outermost long lines stand apart along and up, in millimetres, by the middle of their ink. */
export function frame(pgm) {
  const [, wide, high] = /^P5\s+(\d+)\s+(\d+)\s+255\s/u.exec(pgm.subarray(0, 40).toString('latin1')).map(Number);
  const from = pgm.length - wide * high;
  const [columns, rows] = [new Float64Array(wide), new Float64Array(high)];
  for (let y = 0, at = from; y < high; y++) {
    for (let x = 0; x < wide; x++, at++) {
      columns[x] += 255 - pgm[at];
      rows[y] += 255 - pgm[at];
    }
  }
  return { along: apart(columns), up: apart(rows) };
}

/** @param {Float64Array} ink of each column, or of each row */
function apart(ink) {
  const long = 0.6 * Math.max(...ink);
  const middle = (first, way) => {
    let [sum, weight] = [0, 0];
    for (let at = first - 2 * way; ink[at] > 0.2 * long || Math.abs(at - first) <= 2; at += way) {
      sum += at * ink[at];
      weight += ink[at];
    }
    return sum / weight;
  };
  const places = [...ink.keys()].filter((at) => ink[at] > long);
  return (middle(places.at(-1), -1) - middle(places[0], 1)) / 20;
}
