// The program, line by line.

import { at, clock, make } from './make.js';

/** Height of a line; the style sheet says the same. */
const LINE = 20;

/** Lines of one block. */
const BLOCK = 40;

/** @type {{text: string, texts: string[], run: any, line: number}} */
const now = { text: '', texts: [], run: null, line: 0 };

/** @param {any} run nothing where the sizes are refused */
export function show(run) {
  now.run = run;
  const text = run?.text ?? '';
  if (now.text !== text) {
    now.text = text;
    now.texts = text.split('\n');
    if (now.texts.at(-1) === '') now.texts.pop();
    fill();
    // The line that is marked is another one now.
    tell(now.line, null, null);
  }
  if (now.line > now.texts.length) now.line = 0;
  place();
}

/** Blocks of lines: the browser lays out only those that are seen. */
function fill() {
  const node = at('text');
  const count = Math.ceil(now.texts.length / BLOCK);
  while (node.children.length > count) node.lastChild.remove();
  while (node.children.length < count) node.append(make('div'));
  for (let index = 0; index < count; index++) {
    const lines = now.texts.slice(index * BLOCK, (index + 1) * BLOCK);
    const [block, words] = [node.children[index], `${lines.join('\n')}\n`];
    if (block.textContent !== words) block.textContent = words;
    block.style.height = `${lines.length * LINE}px`;
  }
}

/** @param {number} line from one @param {boolean} bring it into view */
export function go(line, bring) {
  now.line = line;
  place();
  if (!bring) return;
  const listing = at('listing');
  const top = (line - 1) * LINE;
  if (top < listing.scrollTop || top > listing.scrollTop + listing.clientHeight - 3 * LINE) listing.scrollTop = top - listing.clientHeight / 2;
}

function place() {
  const mark = at('now');
  mark.hidden = now.line === 0;
  mark.style.top = `${(now.line - 1) * LINE}px`;
}

/** @param {any[]} stretches marked by the thread */
export function mark(stretches) {
  at('marks').replaceChildren(
    ...stretches.map((stretch) => {
      const node = make('div', { class: 'mark' });
      node.style.top = `${(stretch.from - 1) * LINE}px`;
      node.style.height = `${(stretch.to - stretch.from + 1) * LINE}px`;
      return node;
    }),
  );
}

/** The stretch of the program that a line lies in. @param {number} line */
export function stretch(line) {
  return now.run?.stretches.find((/** @type {any} */ one) => one.from <= line && line <= one.to) ?? null;
}

/** Says what a line is. @param {number} line @param {number | null} time in seconds @param {any} part */
export function tell(line, time, part) {
  const words = now.texts[line - 1];
  if (words === undefined) return say(now.texts.length > 0 ? 'Pick a line, or walk with the arrow keys.' : '');
  const there = stretch(line);
  const feature = part?.features.find((/** @type {any} */ one) => one.id === there?.feature);
  const parts = [`Line ${line}: ${words}`, there?.title, feature?.title, there && `tool ${there.tool}`, time !== null && clock(time)];
  say(parts.filter(Boolean).join(' · '));
}

/** The same again is not announced. @param {string} text */
function say(text) {
  const line = at('line-said');
  if (line.textContent !== text) line.textContent = text;
}

/** @param {(line: number) => void} picked */
export function listen(picked) {
  const listing = at('listing');
  listing.addEventListener('click', (/** @type {MouseEvent} */ event) => {
    // Whoever marks text to copy it picks nothing.
    if (String(getSelection()) !== '') return;
    const line = Math.floor((event.clientY - at('text').getBoundingClientRect().top) / LINE) + 1;
    if (line >= 1 && line <= now.texts.length) picked(line);
  });
  listing.addEventListener('keydown', (/** @type {KeyboardEvent} */ event) => {
    const page = Math.max(1, Math.floor(listing.clientHeight / LINE) - 1);
    const steps = { ArrowDown: 1, ArrowUp: -1, PageDown: page, PageUp: -page, Home: -1e9, End: 1e9 }[event.key];
    if (steps === undefined || now.texts.length === 0 || event.ctrlKey || event.metaKey || event.altKey) return;
    event.preventDefault();
    const line = Math.min(now.texts.length, Math.max(1, now.line + steps));
    picked(line);
  });
}
