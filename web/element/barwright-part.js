// `barwright-part`: a family of parts on a product page, as a field of its form.

import { firstView, picture } from './drawn.js';
import { STYLE } from './style.js';
import { renewAll } from './renew.js';
import { about, apart, decimal, local, roots, shown as reads, stepped, usual, wrong } from './step.js';
import { mass, words } from './words.js';

/** How long it waits before it says what came of the typing, in milliseconds. */
const SETTLE = 400;
const LONGEST = 200;
/** Below so many pixels a whole sheet is too small to read. */
const NARROW = 640;
const OFFERS = ['drawing', 'program', 'print', 'svg', 'pdf', 'record'];

// Where there is no page (a shop's pages are built ahead) this stands in, so that importing is harmless.
const Base = /** @type {typeof HTMLElement} */ (globalThis.HTMLElement ?? class {});

/** One core for all elements; a load that failed may be tried again. @type {Promise<typeof import('./element.js')> | undefined} */
let loading;
const load = () =>
  (loading ??= import('./element.js')
    .then(async (module) => {
      await module.default();
      lettering();
      return module;
    })
    .catch((error) => {
      loading = undefined;
      throw error;
    }));

/** The face of the drawings, once for the page: a shadow root cannot name one. */
function lettering() {
  if ([...document.fonts].some((face) => face.family.includes('Barwright Lettering'))) return;
  const face = new FontFace('Barwright Lettering', `url(${JSON.stringify(new URL('barwright-lettering.woff2', import.meta.url).href)}) format("woff2")`);
  document.fonts.add(face);
  face.load().catch(() => undefined);
}

/** @type {CSSStyleSheet | undefined} */
let style;
const paper = globalThis.CSSStyleSheet && globalThis.document ? new CSSStyleSheet() : undefined;

/** @param {string} tag @param {Record<string, any>} [has] @param {...any} children @returns {any} */
function make(tag, has = {}, ...children) {
  const node = document.createElement(tag);
  for (const [name, value] of Object.entries(has)) {
    if (value === undefined || value === null || value === false) continue;
    if (name === 'text') node.textContent = value;
    else if (typeof value === 'function') node.addEventListener(name.slice(2), value);
    else node.setAttribute(name, value === true ? '' : String(value));
  }
  node.append(...children.filter((child) => child !== null && child !== undefined && child !== false));
  return node;
}

/** Sizes out of `a=1&b=2`. @param {string | null} text @returns {Record<string, string>} */
function read(text) {
  const sizes = Object.create(null);
  for (const [name, value] of [...new URLSearchParams((text ?? '').slice(0, 20000))].slice(0, 200)) sizes[name.slice(0, LONGEST)] = value.slice(0, LONGEST);
  return sizes;
}

/** Gives a file to the browser. @param {string} name @param {Uint8Array} bytes @param {string} kind */
function give(name, bytes, kind) {
  const address = URL.createObjectURL(new Blob([/** @type {any} */ (bytes)], { type: kind }));
  make('a', { href: address, download: name }).click();
  setTimeout(() => URL.revokeObjectURL(address), 10_000);
}

export class BarwrightPart extends Base {
  static formAssociated = true;
  static observedAttributes = ['family', 'value', 'fixed', 'shown', 'units', 'offer', 'lang', 'name'];

  #internals = this.attachInternals?.();
  #root = this.attachShadow?.({ mode: 'open', delegatesFocus: true });
  /** @type {any} */ #desk = null;
  /** @type {any} */ #family = null;
  /** @type {any} */ #told = null;
  /** What was typed or set, by size. @type {Record<string, string>} */ #given = {};
  /** What came before there was a family to take it. @type {Record<string, string> | null} */ #pending = null;
  /** @type {'mm' | 'in' | null} */ #units = null;
  /** @type {IntersectionObserver | null} */ #watch = null;
  /** @type {any[]} */ #asleep = [];
  #off = false;
  /** Whether the sheet stands at its true size. @type {boolean | null} */ #real = null;
  #fresh = true;
  #edition = 0;
  #settling = 0;
  /** @type {Promise<void> | null} */ #starting = null;

  connectedCallback() {
    // What was set on the element before it was known hides its accessors.
    for (const name of ['value', 'sizes', 'units', 'family']) {
      if (!Object.hasOwn(this, name)) continue;
      const early = /** @type {any} */ (this)[name];
      delete (/** @type {any} */ (this)[name]);
      /** @type {any} */ (this)[name] = early;
    }
    if (this.#family) return;
    if (!this.#root?.firstChild) {
      style ??= new CSSStyleSheet();
      if (style.cssRules.length === 0) style.replaceSync(STYLE);
      this.#root.adoptedStyleSheets = [style];
      this.#root.append(make('slot'));
    }
    if (this.getAttribute('loading') === 'eager') return void this.start();
    this.#watch ??= new IntersectionObserver((seen) => seen.some((one) => one.isIntersecting) && this.start(), { rootMargin: '200px' });
    this.#watch.observe(this);
  }

  disconnectedCallback() {
    this.#watch?.disconnect();
    clearTimeout(this.#settling);
  }

  /** Fetches the core now, whether or not the element is near the screen. @returns {Promise<void>} */
  start() {
    this.#watch?.disconnect();
    return (this.#starting ??= this.#start());
  }

  async #start() {
    this.#state('loading');
    try {
      const { Desk } = await load();
      this.#desk = new Desk();
      this.#open();
    } catch (error) {
      this.#starting = null;
      this.#fail(error);
    }
  }

  /** The shop's own words stay where they are. @param {unknown} error */
  #fail(error) {
    this.#family = null;
    this.#told = null;
    this.#edition += 1;
    this.#wake();
    this.#internals.setFormValue(null);
    this.#internals.setValidity({});
    this.#root.replaceChildren(make('slot'));
    this.#state('failed');
    const text = error instanceof Error ? error.message : String(error);
    this.dispatchEvent(new CustomEvent('barwright-error', { detail: { message: `${words(this.#lang).failed} ${text} The server must send element_bg.wasm, and the page's policy must allow 'wasm-unsafe-eval'.` }, bubbles: true, composed: true }));
  }

  #open() {
    const name = this.family;
    const { family } = JSON.parse(this.#desk.openFamily(name, undefined));
    if (!family) throw new Error(`There is no family ${name.slice(0, 80)}.`);
    this.#family = family;
    this.#given = this.#known({ ...read(this.getAttribute('value')), ...this.#pending });
    this.#pending = null;
    // Fields of the shop's own words would be submitted beside ours.
    for (const field of this.querySelectorAll('input, select, textarea, button')) {
      if (/** @type {any} */ (field).disabled) continue;
      /** @type {any} */ (field).disabled = true;
      this.#asleep.push(field);
    }
    this.#build();
    this.#work();
    this.#state(this.#told.goods ? 'ready' : 'invalid');
    this.dispatchEvent(new CustomEvent('barwright-ready', { detail: this.#detail(), bubbles: true, composed: true }));
  }

  #wake() {
    for (const field of this.#asleep.splice(0)) field.disabled = false;
  }

  /** Only sizes that the family has, and that the shop did not fix. @param {Record<string, string>} sizes */
  #known(sizes) {
    const fixed = read(this.getAttribute('fixed'));
    const names = this.#family.sizes.map((/** @type {any} */ size) => size.name);
    return Object.fromEntries(Object.entries(sizes).filter(([name]) => names.includes(name) && !(name in fixed)).map(([name, text]) => [name, String(text).slice(0, LONGEST)]));
  }

  /** @param {'loading' | 'ready' | 'invalid' | 'failed'} name */
  #state(name) {
    for (const one of ['loading', 'ready', 'invalid', 'failed']) one === name ? this.#internals.states?.add(one) : this.#internals.states?.delete(one);
  }

  get #lang() {
    return this.closest('[lang]')?.getAttribute('lang') || 'en';
  }

  /** What the shop offers. */
  get #offers() {
    const list = this.getAttribute('offer');
    return new Set(list === null ? OFFERS : list.split(/\s+/u).filter((one) => OFFERS.includes(one)));
  }

  /** All that can be typed, chosen or read. */
  #build() {
    const say = words(this.#lang);
    const offers = this.#offers;
    const fixed = read(this.getAttribute('fixed'));
    const shown = this.getAttribute('shown')?.split(/[\s,]+/u);
    const sizes = this.#family.sizes.filter((/** @type {any} */ size) => !(size.name in fixed) && (!shown || shown.includes(size.name)));
    const set = this.#family.sizes.filter((/** @type {any} */ size) => size.name in fixed);
    const button = (/** @type {string} */ kind, /** @type {string} */ text, /** @type {() => void} */ act) => offers.has(kind) && make('button', { type: 'button', part: 'button', 'data-offer': kind, text, onclick: act });
    // The family's words are English, whatever the page speaks.
    const theirs = this.#foreign;
    this.#root.replaceChildren(
      make('fieldset', { part: 'form', disabled: this.#off },
        make('div', { part: 'sizes' },
          make('h2', { text: this.#family.title, lang: theirs }),
          make('div', { class: 'size' }, make('label', { for: 'units', text: say.units }),
            make('select', { id: 'units', part: 'input', onchange: (/** @type {Event} */ event) => { event.stopPropagation(); this.units = /** @type {any} */ (event.target).value; this.#tell('change'); }, oninput: (/** @type {Event} */ event) => event.stopPropagation() },
              make('option', { value: 'mm', text: say.mm, selected: this.units === 'mm' }), make('option', { value: 'in', text: say.in, selected: this.units === 'in' }))),
          ...sizes.map((/** @type {any} */ size) => this.#row(size, theirs)),
          set.length > 0 && make('h2', { text: say.fixed }),
          set.length > 0 && make('dl', { part: 'fixed', lang: theirs }, ...set.flatMap((/** @type {any} */ size) => [make('dt', { text: size.ask }), make('dd', { 'data-fixed': size.name, text: reads(size, fixed[size.name]) })]))),
        make('div', { class: 'out' },
          make('dl', { part: 'facts' },
            ...['numberOf', 'verdict', 'blank', 'mass'].flatMap((id) => [make('dt', { text: say[id] }), make('dd', { id })])),
          make('div', { id: 'findings', lang: theirs }),
          offers.has('drawing') && make('div', { class: 'row' }, make('button', { type: 'button', id: 'true', part: 'button', 'aria-pressed': 'false', text: say.real, onclick: () => this.#zoom(!this.#real) })),
          offers.has('drawing') && make('div', { id: 'drawing', class: 'drawing', part: 'drawing', tabindex: '0', role: 'region', 'aria-label': say.drawing }),
          offers.has('program') && make('details', { id: 'programs' }, make('summary', { text: say.program }), make('div', { id: 'code' })),
          make('div', { class: 'row', part: 'files' },
            offers.has('drawing') && button('print', say.print, () => this.print()),
            button('svg', say.svg, () => void this.download('drawing.svg')), button('pdf', say.pdf, () => void this.download('drawing.pdf')),
            button('program', say.code, () => void this.download('program')), button('record', say.record, () => void this.download('part.json'))),
          make('slot', { name: 'extra' }))),
      make('p', { id: 'said', class: 'aside', role: 'status' }));
    // On a narrow page a whole sheet could not be read.
    this.#real ??= this.clientWidth < NARROW;
    this.#fresh = true;
    this.#zoom(this.#real);
  }

  /** The sheet at its true size, or all of it at once. @param {boolean} yes */
  #zoom(yes) {
    this.#real = yes;
    this.#root.getElementById('true')?.setAttribute('aria-pressed', String(yes));
    this.#root.getElementById('drawing')?.classList.toggle('true', yes);
    this.#firstView();
  }

  #firstView() {
    if (firstView(this.#root.getElementById('drawing'))) this.#fresh = false;
  }

  get #foreign() {
    return /^en\b/iu.test(this.#lang) ? undefined : 'en';
  }

  /** @param {any} size @param {string | undefined} theirs */
  #row(size, theirs) {
    const id = `size-${size.name}`;
    const has = { id, part: 'input', 'aria-describedby': `${id}-limits ${id}-message` };
    const choices = size.one_of.length > 0 ? size.one_of : size.kind === 'yes or no' ? ['yes', 'no'] : null;
    /** @type {any} */
    let field;
    const typed = (/** @type {Event} */ event) => {
      event.stopPropagation();
      if (event.type === 'change' && !choices) return this.#tell('change');
      this.#take(size.name, field.value);
      this.#tell(event.type);
    };
    if (choices) field = make('select', { ...has, class: 'wide', lang: theirs, oninput: typed, onchange: typed }, ...choices.map((/** @type {string} */ text) => make('option', { value: text, text: reads(size, text) })));
    else {
      field = make('input', { ...has, type: 'text', inputmode: ['fit', 'word', 'material', 'thread'].includes(size.kind) ? 'text' : 'decimal', spellcheck: 'false', maxlength: '100', oninput: typed, onchange: typed,
        onblur: () => field.value.trim() === '' && this.#show(),
        onkeydown: (/** @type {KeyboardEvent} */ event) => {
          if (event.key === 'Enter') return this.#internals.form?.requestSubmit();
          if (event.key !== 'ArrowUp' && event.key !== 'ArrowDown') return;
          const text = stepped(size, field.value, (event.key === 'ArrowUp' ? 1 : -1) * (event.shiftKey ? 10 : 1), this.units);
          if (text === null) return;
          event.preventDefault();
          field.value = local(text, decimal(this.#lang));
          this.#take(size.name, field.value);
          this.#tell('input');
        } });
    }
    return make('div', { class: 'size', part: 'field' }, make('label', { for: id, part: 'label', lang: theirs, text: size.ask }), field,
      make('p', { class: 'quiet', id: `${id}-limits`, lang: theirs, text: size.help ?? '' }), make('p', { class: 'message', part: 'error', id: `${id}-message`, hidden: true }));
  }

  /** @param {string} name @param {string} text */
  #take(name, text) {
    if (text.trim() === '') delete this.#given[name];
    else this.#given[name] = text.slice(0, LONGEST);
    this.#work();
  }

  /** What the core is asked for. */
  get #order() {
    return { unit: this.units, sizes: { ...this.#given, ...this.#fixed } };
  }

  get #fixed() {
    const names = this.#family.sizes.map((/** @type {any} */ size) => size.name);
    return Object.fromEntries(Object.entries(read(this.getAttribute('fixed'))).filter(([name]) => names.includes(name)));
  }

  /** Works the variant out; from here on nothing of the one before is to be had. */
  #work() {
    if (!this.#family) return;
    this.#edition += 1;
    this.#told = null;
    this.#internals.setFormValue(null);
    try {
      this.#told = JSON.parse(this.#desk.make(JSON.stringify(this.#order)));
      if (this.#told.broken) throw new Error(this.#told.broken);
    } catch (error) {
      this.#starting = null;
      loading = undefined;
      return this.#fail(error);
    }
    this.#show();
    this.#submit();
    this.#state(this.#told.goods ? 'ready' : 'invalid');
    clearTimeout(this.#settling);
    this.#settling = setTimeout(() => {
      const said = this.#root.getElementById('said');
      const say = words(this.#lang);
      if (said) said.textContent = this.#told?.goods ? say.changed(this.#told.goods.number) : say.correct;
    }, SETTLE);
  }

  /** The form's entries and the verdict on them. */
  #submit() {
    const { goods } = this.#told;
    const name = this.getAttribute('name');
    const state = new URLSearchParams({ ...this.#given, ' units': this.units }).toString();
    if (!goods) {
      const anchor = this.#root.querySelector('[aria-invalid="true"]') ?? this.#root.querySelector('[id^="size-"][part="input"]') ?? undefined;
      this.#internals.setFormValue(null, state);
      this.#internals.setValidity({ customError: true }, words(this.#lang).correct, anchor);
      return;
    }
    this.#internals.setValidity({});
    const data = new FormData();
    if (name) {
      data.append(name, goods.number);
      data.append(`${name}.link`, this.link);
      data.append(`${name}.digest`, goods.digest);
      data.append(`${name}.sizes`, JSON.stringify(this.sizes));
    }
    this.#internals.setFormValue(data, state);
  }

  #show() {
    const root = this.#root;
    const told = this.#told;
    if (!told) return;
    const { goods } = told;
    const say = words(this.#lang);
    const sign = decimal(this.#lang);
    const values = new Map(told.values.map((/** @type {any} */ value) => [value.name, value.text]));
    const by = (/** @type {string} */ id) => /** @type {any} */ (root.getElementById(id));
    const asked = new Map(this.#family.sizes.map((/** @type {any} */ size) => [size.name, size.ask]));
    const wrongly = (/** @type {any} */ finding, /** @type {string} */ size) => local(wrong(finding, size, told.remedies.find((/** @type {any} */ remedy) => remedy.size === size)), sign);
    for (const size of this.#family.sizes) {
      const field = by(`size-${size.name}`);
      if (!field) continue;
      const text = this.#given[size.name] ?? local(values.get(size.name) ?? usual(size, told.unit), sign);
      if (field.tagName === 'SELECT' && ![...field.options].some((option) => option.value === text)) field.append(make('option', { value: text, text: reads(size, text) }));
      if (root.activeElement !== field || (field.value !== text && this.#given[size.name] !== undefined)) field.value = text;
      const inch = +(told.unit === 'in');
      by(`size-${size.name}-limits`).textContent = size.from && size.to ? local(say.range(size.from[inch], size.to[inch]), sign) : (size.help ?? '');
      const own = told.findings.filter((/** @type {any} */ finding) => about(finding) === size.name).map((/** @type {any} */ finding) => wrongly(finding, size.name)).join(' ');
      const message = by(`size-${size.name}-message`);
      message.textContent = own;
      message.hidden = own === '';
      if (own) field.setAttribute('aria-invalid', 'true');
      else field.removeAttribute('aria-invalid');
    }
    const verdict = this.#verdict;
    by('numberOf').textContent = goods?.number ?? say.none;
    by('verdict').replaceChildren(make('strong', { class: `mark ${verdict}`, text: say[verdict] }));
    by('blank').textContent = goods ? local(goods.blank, sign) : '–';
    by('mass').textContent = goods ? mass(goods.mass, this.#lang) : '–';
    const fixed = this.#fixed;
    const remedies = told.remedies.filter((/** @type {any} */ remedy) => !(remedy.size in fixed) && by(`size-${remedy.size}`));
    by('findings').replaceChildren(
      ...roots(told.findings).map((/** @type {any} */ finding) => {
        const size = about(finding);
        const own = size && by(`size-${size}`);
        const text = own ? `${asked.get(size)}: ${wrongly(finding, size)}` : finding.headline;
        return make('p', { class: `finding ${finding.severity}` }, make('strong', { class: `mark ${finding.severity}`, text: say[finding.severity] ?? finding.severity, lang: this.#foreign && this.#lang }), ' ', make('span', { text: local(text, sign) }));
      }),
      remedies.length > 0 && make('p', { text: say.would, lang: this.#foreign && this.#lang }),
      make('ul', {}, ...remedies.map((/** @type {any} */ remedy) => make('li', {}, make('button', { type: 'button', part: 'button', text: local(say.instead(asked.get(remedy.size), apart(remedy.to)), sign), onclick: () => {
        this.#take(remedy.size, local(apart(remedy.to), sign));
        by(`size-${remedy.size}`)?.focus();
        this.#tell('input');
        this.#tell('change');
      } })))));
    for (const node of [...by('findings').childNodes]) if (node.nodeType === 3) node.remove();
    const drawing = by('drawing');
    if (drawing && goods) drawing.style.aspectRatio = `${goods.sheets[0].width} / ${goods.sheets[0].height}`;
    if (drawing) renewAll(drawing, (goods?.sheets.map((/** @type {any} */ one) => picture(one.svg)).filter(Boolean) ?? [make('p', { class: 'refused', text: this.#offers.has('program') ? say.gone : say.goneDrawing })]));
    if (!goods) {
      drawing?.scrollTo(0, 0);
      this.#fresh = true;
    }
    if (this.#fresh) this.#firstView();
    by('code')?.replaceChildren(...(goods?.runs ?? []).map((/** @type {any} */ run) => make('pre', { part: 'program', tabindex: '0', role: 'region', 'aria-label': run.file, text: run.text })));
    if (by('programs')) by('programs').hidden = !goods;
    for (const button of root.querySelectorAll('[data-offer]')) button.toggleAttribute('disabled', !goods);
  }

  get #verdict() {
    return !this.#told?.goods ? 'refused' : this.#told.findings.length > 0 ? 'caution' : 'holds';
  }

  #detail() {
    const goods = this.#told?.goods;
    return { number: goods?.number ?? null, sizes: this.sizes, blank: goods?.blank ?? null, mass: goods?.mass ?? null, verdict: this.#verdict, link: goods ? this.link : null, digest: goods?.digest ?? null };
  }

  /** @param {string} kind */
  #tell(kind) {
    this.dispatchEvent(new CustomEvent(kind, { detail: this.#detail(), bubbles: true, composed: true }));
  }

  /** @param {string} name @param {string | null} before @param {string | null} after */
  attributeChangedCallback(name, before, after) {
    if (before === after || !this.#family) return;
    if (name === 'name') return this.#submit();
    if (name === 'units') this.#units = null;
    if (name === 'family') {
      this.#pending = null;
      try {
        this.#open();
      } catch (error) {
        this.#fail(error);
      }
      return;
    }
    if (name === 'value') this.#given = this.#known(read(after));
    this.#given = this.#known(this.#given);
    this.#build();
    this.#work();
  }

  formResetCallback() {
    this.#units = null;
    this.#pending = null;
    if (!this.#family) return;
    this.#given = this.#known(read(this.getAttribute('value')));
    this.#build();
    this.#work();
  }

  /** @param {boolean} off */
  formDisabledCallback(off) {
    this.#off = off;
    this.#root.querySelector('fieldset')?.toggleAttribute('disabled', off);
  }

  /** @param {string} state */
  formStateRestoreCallback(state) {
    if (typeof state !== 'string') return;
    const { ' units': units, ...sizes } = read(state);
    if (units === 'mm' || units === 'in') this.#units = units;
    this.sizes = sizes;
  }

  get family() { return this.getAttribute('family') || 'joining-key'; }
  set family(name) { this.setAttribute('family', name); }
  get units() { return this.#units ?? (this.getAttribute('units') === 'in' ? 'in' : 'mm'); }
  set units(unit) {
    if (unit !== 'mm' && unit !== 'in') return;
    const before = this.units;
    this.#units = unit;
    if (!this.#family || before === unit) return;
    // What was typed keeps its meaning.
    for (const size of this.#family.sizes) {
      const text = this.#given[size.name];
      if (text !== undefined && size.kind === 'length' && /^[-+\d.,/\s]+$/u.test(text)) this.#given[size.name] = `${text.trim()} ${before}`;
    }
    this.#build();
    this.#work();
  }

  /** The sizes of the variant as the core says them; what was asked for while it is refused. @returns {Record<string, string>} */
  get sizes() {
    if (!this.#family) return { ...read(this.getAttribute('value')), ...this.#pending };
    const told = this.#told?.goods ? this.#told.values.filter((/** @type {any} */ value) => value.parameter).map((/** @type {any} */ value) => [value.name, value.text]) : [];
    return { ...this.#order.sizes, ...Object.fromEntries(told) };
  }
  set sizes(sizes) {
    const texts = Object.fromEntries(Object.entries(sizes ?? {}).map(([name, text]) => [name, String(text)]));
    if (!this.#family) {
      this.#pending = { ...this.#pending, ...texts };
      return;
    }
    this.#given = this.#known(texts);
    this.#work();
  }

  get value() { return new URLSearchParams(this.#family ? this.#given : this.sizes).toString(); }
  set value(text) { this.sizes = read(text); }
  /** The same variant on the page of Barwright: `#family/unit?sizes`, with what the part is now, so that the page tells when it is another. */
  get link() {
    const digest = this.#told?.goods?.digest.slice(0, 12);
    const query = new URLSearchParams({ ...(this.#family ? this.#order.sizes : this.sizes), ...(digest && { 'part-digest': digest }) }).toString();
    return `#${encodeURIComponent(this.family)}/${this.units}${query ? `?${query}` : ''}`;
  }
  /** The variant in a few facts; nothing while it is refused or not there yet. */
  get result() { return this.#told?.goods ? this.#detail() : null; }
  get name() { return this.getAttribute('name') ?? ''; }
  set name(name) { this.setAttribute('name', name); }
  get disabled() { return this.hasAttribute('disabled'); }
  set disabled(off) { this.toggleAttribute('disabled', off); }
  get form() { return this.#internals.form; }
  get labels() { return this.#internals.labels; }
  get type() { return 'barwright-part'; }
  get validity() { return this.#internals.validity; }
  get validationMessage() { return this.#internals.validationMessage; }
  get willValidate() { return this.#internals.willValidate; }
  checkValidity() { return this.#internals.checkValidity(); }
  reportValidity() { return this.#internals.reportValidity(); }

  /** Prints the page with the sheet at its true size. */
  print() {
    const sheet = this.#told?.goods?.sheets[0];
    if (!sheet || !this.#offers.has('print') || !this.#offers.has('drawing')) return;
    // The sheet alone: what stands beside the way to it is away while it prints, and the way has no edges.
    const marked = [];
    for (let node = /** @type {Element | null} */ (this); node; node = node.parentElement) {
      marked.push([node, 'data-barwright-way']);
      for (const other of node === document.documentElement ? [] : (node.parentElement?.children ?? [])) if (other !== node && other !== document.head) marked.push([other, 'data-barwright-away']);
    }
    for (const [node, name] of marked) node.setAttribute(name, '');
    paper?.replaceSync(`@page { size: ${sheet.width}mm ${sheet.height}mm; margin: 0 }
      @media print { [data-barwright-away] { display: none !important }
      [data-barwright-way] { all: revert !important; display: block !important; margin: 0 !important; padding: 0 !important; border: 0 !important; background: #fff !important } }`);
    if (paper) document.adoptedStyleSheets.push(paper);
    addEventListener('afterprint', () => {
      for (const [node, name] of marked) node.removeAttribute(name);
      document.adoptedStyleSheets = document.adoptedStyleSheets.filter((one) => one !== paper);
    }, { once: true });
    window.print();
  }

  /**
   * Gives one of the variant's files to the visitor, the same bytes as the command line writes. The
   * whole core is fetched for it the first time. Nothing comes where it is refused or not offered.
   * @param {'drawing.svg' | 'drawing.pdf' | 'program' | 'part.json'} what
   * @returns {Promise<boolean>} whether it was given
   */
  async download(what) {
    const kinds = { 'drawing.svg': 'svg', 'drawing.pdf': 'pdf', program: 'program', 'part.json': 'record' };
    const edition = this.#edition;
    const told = this.#told;
    if (!told?.goods || !Object.hasOwn(kinds, what) || !this.#offers.has(kinds[what])) return false;
    const number = told.goods.number.replace(/[^A-Za-z0-9._-]/gu, '-').slice(0, 120);
    if (what === 'program') {
      for (const run of told.goods.runs) give(`${number}-${run.file}`, new TextEncoder().encode(run.text), 'text/plain');
      return true;
    }
    const order = JSON.stringify(this.#order);
    const family = this.family;
    const said = this.#root.getElementById('said');
    if (said) said.textContent = words(this.#lang).fetching;
    const { default: init, Desk } = await import('./barwright.js');
    await init();
    // Another variant by now: the visitor would get what no longer stands there.
    if (edition !== this.#edition) return false;
    const desk = new Desk();
    desk.openFamily(family, undefined);
    desk.make(order);
    const names = JSON.parse(desk.files()).filter((/** @type {string} */ name) => name === what || (what === 'drawing.svg' && /^drawing-\d+\.svg$/u.test(name)));
    const files = names.map((/** @type {string} */ name) => [name, desk.file(name)]);
    desk.free();
    if (files.length === 0 || files.some(([, bytes]) => !bytes)) return false;
    for (const [name, bytes] of files) give(`${number}-${name}`, bytes, { 'drawing.svg': 'image/svg+xml', 'drawing.pdf': 'application/pdf', 'part.json': 'application/json' }[what]);
    return true;
  }
}

// The script may be on a page twice.
if (globalThis.customElements && !customElements.get('barwright-part')) customElements.define('barwright-part', BarwrightPart);
