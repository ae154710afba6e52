// The page: one family, one shop, sizes as they are typed; everything else follows.

import { Core, load } from './core.js';
import * as files from './files.js';
import { first } from './first.js';
import * as link from './link.js';
import { address, at, headed, make, said, say } from './make.js';
import * as papers from './papers.js';
import * as path from './path.js';
import * as program from './program.js';
import * as sheet from './sheet.js';
import * as sizes from './sizes.js';
import { meant } from './step.js';
import { belongs } from './thread.js';
import { Work } from './work.js';

/** How long the page waits before it says and keeps what was typed, in milliseconds. */
const SETTLE = 400;

/** Not there yet while its module is on the way. @type {Core | undefined} */
let core;

const state = {
  /** @type {any} */ family: null,
  /** What the family was opened by: its name, or its file's. */ name: '',
  /** @type {any} */ result: null,
  /** @type {Record<string, string>} */ given: {},
  /** @type {string | undefined} */ control: undefined,
  /** @type {Record<string, string> | undefined} */ ownShop: undefined,
  /** @type {Map<string, {title: string, text: string}>} */ ownFamilies: new Map(),
  run: 0,
  /** The paper that is turned to. */ paper: 'program',
  /** @type {Set<string>} papers that still show an earlier variant, unseen */ stale: new Set(),
  /** @type {any} */ pick: null,
  /** What a link asked of a family that is not here yet. @type {{family: string, sizes: Record<string, string>, digest?: string} | null} */ asked: null,
  /** Whether a link asked for what it did not get: another part than it was, a shop or control that is not here. */ amiss: false,
};

let settling = 0;
/** The address that the page stands for. */
let written = '';
/** Whether another family was chosen since: the way back leads to the one before. */
let turned = false;
/** A fresh page says nothing, until something is typed. */
let quiet = true;

const on = {
  typed: (/** @type {string} */ name, /** @type {string | null} */ text) => {
    if (text === null) delete state.given[name];
    else state.given[name] = text;
    quiet = false;
    // Whoever types goes on from what stands there.
    note({ sizes: '', digest: '', unit: '' });
    if (!core) at('said').textContent = 'The page is still loading. What you typed is worked out as soon as it is there.';
    work.soon();
  },
  picked: (/** @type {string} */ name) => pick({ value: name }, false),
};

/** All that a worker must know to come to the same variant. */
const asked = () => ({
  family: { name: state.name, text: state.ownFamilies.get(state.name)?.text },
  shop: { files: state.ownShop, control: state.control },
  order: { unit: sizes.unit(), sizes: state.given },
});

/** Who works it out, and when. */
const work = new Work({
  core: () => core,
  asked,
  arrived: (result) => {
    state.result = result;
    show();
    clearTimeout(settling);
    settling = setTimeout(settle, SETTLE);
  },
  broken,
});

/** All that came of the sizes, in every place. */
function show() {
  const { result } = state;
  state.run = Math.min(state.run, Math.max(0, (result.goods?.runs.length ?? 1) - 1));
  sizes.show(state.family, result, state.given, on);
  sheet.show(result);
  if (!result.goods) papers.clear();
  showRun();
  state.stale = new Set(['first', 'follows', 'rules', 'files']);
  showPaper();
  const word = sizes.state(result);
  at('word').textContent = word;
  at('word').className = `word mark ${word}`;
  at('number').textContent = result.goods?.number ?? 'none while refused';
  at('digest').textContent = result.goods ? `, digest ${result.goods.digest.slice(0, 12)}` : '';
  at('print').disabled = !result.goods;
  mark(false);
}

/** Names the page in the browser's own head, which a key need not wait for: it can take longer than the drawing. */
const entitle = () => (document.title = `${state.result.goods?.number ?? 'refused'} – ${state.family.title} – Barwright`);

/** The paper that is turned to, if it is not of this variant yet. */
function showPaper() {
  if (state.paper === 'files' && !core) return at('panel-files').replaceChildren(make('p', { class: 'quiet', text: 'The files come with the rest of the page, which is still loading.' }));
  if (!state.stale.delete(state.paper)) return;
  const { result } = state;
  if (state.paper === 'files') files.show(work.source, result, asked, () => state.result === result && document.body.dataset.busy !== 'yes');
  else papers.show(state.paper, state.result, (what) => pick(what, true));
}

/** The program, path and buttons of the run that is turned to. */
function showRun() {
  const goods = state.result.goods;
  const run = goods?.runs[state.run];
  program.show(run);
  path.show(run, () => work.source.motions(state.run));
  const choose = (/** @type {number} */ index) => {
    state.run = index;
    showRun();
    mark(false);
  };
  const runs = goods?.runs.length > 1 ? goods.runs : [];
  at('runs').hidden = runs.length === 0;
  const title = (/** @type {any} */ one, /** @type {number} */ index) => `Setup ${index + 1}: ${one.title}`;
  const buttons = [...at('runs').children];
  // The same buttons stay: whoever chose by keyboard keeps the place.
  if (buttons.length !== runs.length || runs.some((/** @type {any} */ one, /** @type {number} */ index) => buttons[index].textContent !== title(one, index))) {
    at('runs').replaceChildren(...runs.map((/** @type {any} */ one, /** @type {number} */ index) => make('button', { type: 'button', text: title(one, index), onclick: () => choose(index) })));
  }
  for (const [index, button] of [...at('runs').children].entries()) button.setAttribute('aria-pressed', String(index === state.run));
}

/** Says what came of it and keeps it in the address, once the typing rests. */
function settle() {
  const { result, family } = state;
  entitle();
  if (!quiet) {
    const count = result.remedies.length;
    const text = result.goods
      ? `${sizes.state(result)}: ${result.goods.number}. Drawing and program are new.`
      : `Refused. ${sizes.reason(family, result)} ${count === 0 ? '' : count === 1 ? 'One size would do.' : `${count} sizes would do, each by itself.`}`;
    at('said').textContent = text;
  }
  // A link whose family is not here, or another by now, is kept as it came, until something is chosen.
  if (quiet && (state.asked || state.amiss)) return;
  written = link.write({ family: state.name, unit: sizes.unit(), control: state.control, sizes: state.given, digest: result.goods?.digest, ownShop: state.ownShop !== undefined });
  try {
    if (turned) history.pushState(null, '', written);
    else history.replaceState(null, '', written);
    turned = false;
  } catch {
    // A browser that bears no more changes for now; the next one is kept again.
  }
}

/** The core gave up, which it never should. @param {unknown} error */
function broken(error) {
  gone(`Something in the page broke: ${error instanceof Error ? error.message : error}. Load the page again; the sizes before it stand in its address.`);
}

/** Nothing of the core is trusted any more. @param {string} why */
function gone(why) {
  state.result = null;
  clearTimeout(settling);
  sheet.clear();
  program.show(null);
  path.show(null, () => new Float64Array());
  for (const id of ['panel-first', 'panel-follows', 'panel-rules', 'panel-files', 'verdict']) at(id).replaceChildren();
  at('word').textContent = 'refused';
  at('word').className = 'word mark refused';
  at('number').textContent = 'none';
  at('no-program').textContent = 'There is no program.';
  document.title = 'refused – Barwright';
  for (const id of ['sum', 'thread', 'runs', 'digest']) at(id).replaceChildren();
  at('print').disabled = true;
  at('verdict').append(make('p', { class: 'finding refused', text: why }));
}

/** Picks a thing; the thread then marks it everywhere. @param {any} what @param {boolean} bring it into view */
function pick(what, bring) {
  state.pick = what;
  mark(bring);
}

/** @param {boolean} bring */
function mark(bring) {
  const { family, result } = state;
  if (!result) return;
  const what = state.pick;
  const marks = belongs(what, family, result);
  sheet.mark(marks.sizes, bring && !what?.line);
  papers.mark(marks);
  const here = marks.stretches.filter((stretch) => stretch.run === state.run);
  program.mark(here);
  path.mark(what?.line ? new Set() : marks.features);
  if (bring && here.length > 0 && !what?.line) program.go(here[0].from, true);
  tell(marks);
}

/** The thread in words, with a way to each place. @param {any} marks */
function tell(marks) {
  const { family, result, pick: what } = state;
  const line = at('thread');
  if (!what) {
    line.replaceChildren(make('span', { class: 'quiet', text: 'Pick a size, a dimension, a rule or a line of the program: the same thing is marked everywhere.' }));
    return;
  }
  const go = (/** @type {string} */ text, /** @type {() => void} */ act) => make('button', { type: 'button', class: 'link', text, onclick: act });
  const parts = [];
  const name = what.value ?? what.size?.split(' ')[0] ?? what.rule ?? what.feature;
  const known = result.values.find((/** @type {any} */ value) => value.name === name);
  const reading = result.goods?.first_piece.find((/** @type {any} */ one) => one.name === name);
  const ask = family.sizes.find((/** @type {any} */ size) => size.name === name)?.ask;
  const feature = result.goods?.part.features.find((/** @type {any} */ one) => marks.features.has(one.id));
  const title = ask ?? known?.title ?? reading?.title ?? (what.feature && feature?.title) ?? name?.replaceAll(/[-_.]/gu, ' ');
  parts.push(make('strong', { text: headed(title ?? '') }), known ? ` ${said(known.text)}. ` : reading ? ` ${say(reading.nominal, result.unit)}. ` : '. ');
  if (known?.why) parts.push(make('span', { class: 'quiet', text: `${headed(known.why).replace(/[.:]?$/u, '.')} ` }));
  const rests = family.sizes.filter((/** @type {any} */ size) => marks.values.has(size.name) && size.name !== name);
  if (rests.length > 0 && rests.length < 8) {
    parts.push('Sizes: ', ...rests.flatMap((/** @type {any} */ size, /** @type {number} */ index) => [index ? ', ' : '', go(size.ask, () => at(`size-${size.name}`).focus())]), '. ');
  }
  if (what.value && marks.sizes.size > 0 && ask) parts.push(go('See it on the sheet', () => { mark(true); at('sheet').focus(); }), '. ');
  for (const stretch of marks.stretches.slice(0, 8)) {
    parts.push(go(`${stretch.title}, line ${stretch.from}`, () => toLine(stretch.run, stretch.from)), ' ');
  }
  if (reading?.measured !== null && reading?.measured !== undefined) parts.push(go('First piece', () => turn('first')));
  line.replaceChildren(...parts);
}

/** @param {number} run @param {number} line */
function toLine(run, line) {
  turn('program');
  if (run !== state.run) {
    state.run = run;
    showRun();
  }
  fromLine(line);
  program.go(line, true);
  at('listing').focus();
}

/** A line of the program was picked: its motion, its feature. @param {number} line */
function fromLine(line) {
  const stretch = program.stretch(line);
  pick(stretch ? { feature: stretch.feature, line } : null, true);
  program.go(line, true);
  path.go(line);
  program.tell(line, path.timeOf(line), state.result?.goods?.part);
}

/** @type {(id: string) => void} */
let turn = () => {};

/** The unit of bare numbers changed: what was typed keeps its meaning. @param {'mm' | 'in'} before */
function otherUnit(before) {
  const now = sizes.unit();
  if (Object.keys(state.given).length > 0) {
    for (const size of state.family.sizes) {
      const text = state.given[size.name];
      if (text === undefined && size.usual_inch) state.given[size.name] = sizes.usual(size, before);
      else if (text !== undefined) state.given[size.name] = meant(size, text, before);
    }
    at('said').textContent = `The sizes stay as they are; bare numbers are ${now === 'in' ? 'inches' : 'millimetres'} now.`;
  }
  work.soon();
}

/** Lays out what a family asks for. @param {string} name @param {any} family */
function lay(name, family) {
  state.family = family;
  state.name = name;
  work.another();
  state.given = {};
  state.pick = null;
  at('about').textContent = family.about;
  at('family').value = name;
  at('example').replaceChildren(
    make('option', { value: '', text: 'what is usual' }),
    ...family.examples.map((/** @type {any} */ example) => make('option', { value: example.name, text: example.title })),
  );
  sizes.fields(family, on);
  sheet.begin();
}

/** Puts a family on the desk. @param {string} name @param {Record<string, string>} given @param {string} [digest] of the part that a link was written for */
function open(name, given, digest) {
  const own = state.ownFamilies.get(name);
  const opened = core.openFamily(name, own?.text);
  if (!opened.family) return opened;
  const unknown = [];
  lay(name, opened.family);
  for (const [size, text] of Object.entries(given)) {
    if (opened.family.sizes.some((/** @type {any} */ one) => one.name === size)) state.given[size] = text;
    else unknown.push(size);
  }
  const left = unknown.length > 0 ? `The link names sizes that this family does not have; they are left out: ${unknown.join(', ').slice(0, 200)}.` : '';
  work.now();
  const changed = state.result ? link.differs(digest, state.result.goods?.digest) : '';
  state.amiss = changed !== '';
  note({ sizes: left, digest: changed, family: '', unit: '' });
  if (state.result) entitle();
  return opened;
}

/** @param {string} [control] */
function openShop(control) {
  const opened = core.openShop(state.ownShop, control);
  if (opened.shop) {
    state.control = control && opened.shop.controls.includes(control) ? control : undefined;
    showShop(opened.shop);
  }
  return opened;
}

/** @param {any} shop */
function showShop(shop) {
  // What is shown is what the program is written for, whatever was asked.
  at('control').replaceChildren(...shop.controls.map((/** @type {string} */ name) => make('option', { value: name, text: name.replaceAll('-', ' '), selected: name === shop.control })));
  at('shop').textContent = `For the machine of ${shop.owner}${state.ownShop ? `, by your own ${Object.keys(state.ownShop).join(', ').slice(0, 200)}` : ''}. Its control: ${shop.control_title}.`;
}

/** The visitor's own files: families, or files of a shop. @param {Map<string, string>} texts */
function own(texts) {
  /** @type {any[]} */ const findings = [];
  const shop = Object.create(null);
  const families = [];
  for (const [name, text] of texts) {
    if (/^family\s*:/mu.test(text)) families.push({ name, text });
    else shop[name] = text;
  }
  const said = [];
  if (Object.keys(shop).length > 0) {
    const before = state.ownShop;
    state.ownShop = { ...before, ...shop };
    const opened = openShop(state.control);
    findings.push(...opened.findings);
    if (opened.shop) {
      note({ shop: '' });
      said.push(`The shop is that of ${opened.shop.owner}, with your ${Object.keys(state.ownShop ?? {}).join(', ')}.`);
    } else {
      state.ownShop = before;
      openShop(state.control);
      said.push('Your shop is refused; the one before it stays.');
    }
    // A link that waits for this shop has its control now.
    if (quiet) fromAddress();
    else work.now();
  }
  for (const { name, text } of families) {
    const tried = new Core().openFamily(name, text);
    findings.push(...tried.findings);
    if (!tried.family) {
      said.push(`${name} is refused; the family before it stays.`);
      continue;
    }
    state.ownFamilies.set(name, { title: tried.family.title, text });
    if (![...at('family').options].some((option) => option.value === name)) at('family').append(make('option', { value: name, text: `${tried.family.title} (${name})` }));
    open(name, ...(state.asked && [name, tried.family.name].includes(state.asked.family) ? [state.asked.sizes, state.asked.digest] : [{}]));
    said.push(`${name} is open.`);
  }
  files.showFindings(findings);
  at('own-said').textContent = said.join(' ');
  at('said').textContent = said.join(' ');
  if (state.ownShop) at('own-said').append(' ', make('button', { type: 'button', class: 'link', text: 'Take the shop that the page came with', onclick: given }));
  // Files may be dropped anywhere; what is wrong with them must be seen all the same.
  if (at('own-findings').childElementCount > 0) at('own-said').scrollIntoView({ block: 'start' });
}

/** The shop that the page came with, again. */
function given() {
  state.ownShop = undefined;
  openShop(state.control);
  work.now();
  at('own-said').textContent = at('said').textContent = 'The shop is the one that the page came with.';
}

/** The families that can be chosen, by name. */
const offered = () => [...at('family').options].map((/** @type {any} */ option) => option.value);

/** Offers every family that is built in. */
function list() {
  const known = offered();
  const others = core.families().filter((family) => !known.includes(family.name));
  at('family').append(...others.map((family) => make('option', { value: family.name, text: family.title })));
}

/** What the address asks for. */
function fromAddress() {
  const asked = link.read(location.hash);
  if (asked.unit) /** @type {any} */ (document.querySelector(`input[name=unit][value=${asked.unit}]`)).checked = true;
  const { shop } = openShop(asked.control);
  // The list of families is made only where it is needed now: each of them is read for it.
  if (asked.family && !offered().includes(asked.family)) list();
  const name = asked.family && offered().includes(asked.family) ? asked.family : offered()[0];
  state.asked = asked.family && name !== asked.family ? { family: asked.family, sizes: asked.sizes, digest: asked.digest } : null;
  open(name, ...(state.asked ? [{}] : [asked.sizes, asked.digest]));
  const missing = {
    family: state.asked ? `The link is for the family ${state.asked.family}, which is not here; this is another. Choose its file under ‘Your own files’, and the sizes of the link are taken.` : '',
    shop: asked.ownShop && !state.ownShop ? 'The link was written with a shop of one’s own, which is not here: this is another shop’s machine and tools. Choose its files under ‘Your own files’ before a program is taken.' : '',
    control: asked.control && shop && !shop.controls.includes(asked.control) ? `The link is for the control ‘${asked.control.slice(0, 60)}’, which is not here; the program is written for ‘${shop.control}’.` : '',
    unit: asked.unknownUnit ? `The link’s unit ‘${asked.unknownUnit.slice(0, 20)}’ is neither mm nor in; bare numbers are ${sizes.unit()} here.` : '',
  };
  note(missing);
  state.amiss ||= Object.values(missing).some(Boolean);
}

/** What a link asked for and did not get, by what it is about. @type {Map<string, string>} */
const notes = new Map();

/** Notes it where it is seen first; what is empty is taken away. @param {Record<string, string>} about */
function note(about) {
  for (const [matter, text] of Object.entries(about)) {
    if (text) notes.set(matter, text);
    else notes.delete(matter);
  }
  const text = [...notes.values()].join(' ');
  if (at('note').textContent === text) return;
  at('note').textContent = text;
  at('note').hidden = text === '';
}

/** Shows what is known already, where the address asks for that. @returns {boolean} */
function early() {
  const known = first(location.hash, sizes.unit());
  if (!known) return false;
  showShop(known.shop);
  lay(known.name, known.family);
  state.result = known.told;
  show();
  entitle();
  performance.mark('drawn');
  return true;
}

/** The core is there: from here on everything is its own. @param {boolean} shown whether the usual variant stands there, and what was typed since */
function begin(shown) {
  core = new Core();
  if (!shown) return fromAddress();
  openShop();
  core.openFamily(state.name);
  work.now();
}

async function start() {
  const loading = load();
  const hash = location.hash;
  wire();
  const shown = early();
  // Only the core knows another family, control or shop.
  const later = [at('family'), at('control'), at('own')];
  for (const field of later) field.disabled = true;
  // What is dropped before it is there waits for it; a browser would turn to the file instead.
  files.listen((list) => loading.then(() => own(list), () => undefined), (text) => {
    at('own-findings').replaceChildren();
    at('own-said').textContent = text;
  });
  if (!shown) at('sum').textContent = 'The page is loading.';
  await loading;
  begin(shown && location.hash === hash);
  for (const field of later) field.disabled = false;
  addEventListener('hashchange', () => {
    if (location.hash === written) return;
    written = location.hash;
    fromAddress();
    // As with a fresh page: what the link asks for stays in the address until something is typed. Said
    // last, since a field that goes with its text still tells of a change.
    quiet = true;
  });
  document.body.dataset.ready = 'yes';
  performance.mark('ready');
  setTimeout(list);
  keep();
}

/** What is pressed, turned and chosen. */
function wire() {
  turn = papers.tabs((id) => {
    state.paper = id;
    path.see(id === 'program');
    if (!state.result) return;
    showPaper();
    mark(false);
  });
  sheet.listen((names) => pick({ size: names }, true), () => state.result?.goods && window.print());
  program.listen(fromLine);
  path.listen((line) => {
    program.go(line, true);
    program.tell(line, null, state.result?.goods?.part);
  });
  const walk = (/** @type {number} */ way) => {
    const names = sheet.onSheet();
    if (names.length === 0) return;
    const now = names.indexOf(state.pick?.size);
    pick({ size: names[(now + way + names.length) % names.length] }, true);
    at('said').textContent = at('thread').textContent;
  };
  at('next').addEventListener('click', () => walk(1));
  at('earlier').addEventListener('click', () => walk(state.pick?.size ? -1 : 0));
  at('family').addEventListener('change', () => {
    if (state.result) settle();
    turned = true;
    state.asked = null;
    open(at('family').value, {});
  });
  at('control').addEventListener('change', () => {
    const chosen = at('control').value;
    const opened = openShop(chosen);
    files.showFindings(opened.findings);
    note({ control: '' });
    if (!opened.shop) {
      openShop(state.control);
      at('own-said').textContent = at('said').textContent = `The control ‘${chosen}’ is refused; the one before it stays.`;
      at('own-said').scrollIntoView({ block: 'start' });
    }
    work.soon();
  });
  at('example').addEventListener('change', () => {
    const example = state.family.examples.find((/** @type {any} */ one) => one.name === at('example').value);
    if (example?.unit) /** @type {any} */ (document.querySelector(`input[name=unit][value=${example.unit}]`)).checked = true;
    state.given = { ...example?.sizes };
    work.soon();
  });
  for (const radio of document.querySelectorAll('input[name=unit]')) {
    radio.addEventListener('change', () => otherUnit(sizes.unit() === 'in' ? 'mm' : 'in'));
  }
  // An anchor would be taken for another variant: the address is this one.
  document.querySelector('.skip')?.addEventListener('click', (event) => {
    event.preventDefault();
    at('sizes').focus();
  });
  at('see').addEventListener('click', () => {
    at('sheet').closest('section').scrollIntoView();
    at('sheet').focus({ preventScroll: true });
  });
  at('fields').addEventListener('submit', (/** @type {Event} */ event) => event.preventDefault());
  // Files say themselves what came of them; a link may wait for just these.
  document.addEventListener('change', ({ target }) => target !== at('own') && (quiet = false), true);
}

/** Keeps the page for working without a network, where the browser does that. */
function keep() {
  if (!('serviceWorker' in navigator)) return;
  navigator.serviceWorker.register(address('sw.js')).then(
    () => navigator.serviceWorker.ready.then(() => (at('off').textContent = 'Everything is worked out in this browser. The page is kept here and works without a network.')),
    () => undefined,
  );
}

start().catch((error) => {
  document.body.dataset.ready = 'no';
  work.busy(false);
  for (const id of ['fields', 'control', 'example', 'shop']) at(id).replaceChildren();
  gone(`The page could not start: ${error instanceof Error ? error.message : error}. Its server must send the .wasm file, and its policy must allow 'wasm-unsafe-eval'.`);
});
