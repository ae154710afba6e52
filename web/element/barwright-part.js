// `barwright-part`: a family of parts on a product page, as a field of its form.

import { alone, forbidden, load, picture } from './drawn.js';
import { carried, enter, exact, stands, typed, unknown } from './form.js';
import { LONGEST, findings, frame, read } from './frame.js';
import { make } from './node.js';
import { firstView, renewSheets } from './picture.js';
import { STYLE } from './style.js';
import { about, apart, decimal, local, meant, roots, shown as reads, usual, wrong } from './step.js';
import { learn, mass, words } from './words.js';

/** How long it waits before it says what came of the typing, in milliseconds. */
const SETTLE = 400;
/** Below so many pixels a whole sheet is too small to read. */
const NARROW = 640;
const OFFERS = ['drawing', 'program', 'print', 'svg', 'pdf', 'record'];

// Where there is no page (a shop's pages are built ahead) this stands in, so that importing is harmless.
const Base = /** @type {typeof HTMLElement} */ (globalThis.HTMLElement ?? class {});

/** @type {CSSStyleSheet | undefined} */
let style;

export class BarwrightPart extends Base {
  static formAssociated = true;
  static observedAttributes = ['family', 'value', 'fixed', 'shown', 'units', 'offer', 'lang', 'name', 'loading'];

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
  /** The units in which the attributes' bare lengths are meant, however the visitor types. @type {{value: 'mm' | 'in', fixed: 'mm' | 'in'} | null} */ #meant = null;
  /** The shop's own verdict. */ #custom = '';
  /** The size that was typed last. */ #last = '';
  /** Where a refusal leads. @type {HTMLElement | undefined} */ #anchor;
  /** @type {Set<string>} */ #warned = new Set();
  #failed = false;
  #off = false;
  /** Whether the sheet stands at its true size. @type {boolean | null} */ #real = null;
  #fresh = true;
  #edition = 0;
  #settling = 0;
  /** @type {Promise<void> | null} */ #starting = null;

  connectedCallback() {
    // What was set on the element before it was known hides its accessors.
    for (const name of ['value', 'sizes', 'units', 'family', 'fixed', 'shown', 'offer', 'name', 'disabled', 'loading']) {
      if (!Object.hasOwn(this, name)) continue;
      const early = /** @type {any} */ (this)[name];
      delete (/** @type {any} */ (this)[name]);
      /** @type {any} */ (this)[name] = early;
    }
    if (this.#family) return this.#show();
    if (!this.#root?.firstChild) {
      style ??= new CSSStyleSheet();
      if (style.cssRules.length === 0) style.replaceSync(STYLE);
      this.#root.adoptedStyleSheets = [style];
      this.#stand('');
    }
    if (this.getAttribute('loading') === 'eager') return void this.start();
    this.#watch ??= new IntersectionObserver((seen) => seen.some((one) => one.isIntersecting) && this.start(), { rootMargin: '200px' });
    this.#watch.observe(this);
  }

  disconnectedCallback() {
    this.#watch?.disconnect();
    clearTimeout(this.#settling);
    // Put in again it would take the focus.
    this.#anchor?.removeAttribute('autofocus');
  }

  /** Fetches the core now, whether or not the element is near the screen. @returns {Promise<void>} */
  start() {
    this.#watch?.disconnect();
    return (this.#starting ??= this.#start());
  }

  async #start() {
    this.#failed = false;
    this.#state('loading');
    const core = load();
    core.catch(() => undefined);
    await learn(this.#lang);
    this.#stand(words(this.#lang).loading);
    try {
      const { Desk } = await core;
      this.#desk ??= new Desk();
    } catch (error) {
      return this.#fail(error, forbidden() ? "The page's policy must allow 'wasm-unsafe-eval'." : 'The server must send element.js and element_bg.wasm.');
    }
    this.#reopen();
  }

  /** The shop's own words, and one of ours. */
  #stand(text) {
    this.#root.replaceChildren(make('slot', { onslotchange: () => this.#held() }), make('p', { id: 'said', role: 'status', tabindex: '-1', text }));
    this.#held();
  }

  /** While there is no part the shop's own fields carry the order; where there are none, nothing must be sent without it. */
  #held() {
    if (this.#family) return;
    const say = words(this.#lang);
    const said = this.#root.getElementById('said');
    const alone = !carried(this);
    const text = this.#failed ? `${say.failed} ${say.again}` : say.loading;
    if (this.#failed && said) said.textContent = alone ? text : '';
    if (alone || this.#custom) this.#internals.setValidity({ customError: true }, this.#custom || text, said ?? undefined);
    else this.#internals.setValidity({});
  }

  /** The shop's own words stay where they are. */
  #fail(error, advice = '') {
    this.#family = null;
    this.#told = null;
    this.#starting = null;
    this.#failed = true;
    this.#edition += 1;
    clearTimeout(this.#settling);
    this.#wake();
    this.#internals.setFormValue(null);
    this.#stand('');
    this.#state('failed');
    const text = error instanceof Error ? error.message : String(error);
    this.dispatchEvent(new CustomEvent('barwright-error', { detail: { message: `${words(this.#lang).failed} ${text} ${advice}`.trim() }, bubbles: true, composed: true }));
  }

  /** The family that the attribute names, or the reason why there is none. */
  #reopen() {
    try {
      this.#open();
    } catch (error) {
      this.#fail(error);
    }
  }

  #open() {
    const name = this.family;
    const { family } = JSON.parse(this.#desk.openFamily(name, undefined));
    if (!family) throw new Error(`There is no family ${name.slice(0, 80)}.`);
    this.#family = family;
    this.#failed = false;
    this.#starting ??= Promise.resolve();
    this.#meant ??= { value: this.#attribute, fixed: this.#attribute };
    this.#last = '';
    this.#given = { ...this.#begin(), ...this.#known(typed(this), this.#attribute), ...this.#known(this.#pending ?? {}) };
    this.#pending = null;
    this.#warn();
    const there = this.getRootNode().activeElement;
    // Fields of the shop's own words would be submitted beside ours.
    for (const field of this.querySelectorAll('input, select, textarea, button')) {
      if (field.disabled) continue;
      field.disabled = true;
      this.#asleep.push(field);
    }
    this.#build();
    this.#work();
    if (!this.#told) return;
    // Whoever types already goes on typing, in the field of the same size; of another, nothing is typed by chance.
    if (there && there !== this && this.contains(there)) {
      const field = this.#root.getElementById(`size-${stands(there)}`) ?? this.#root.querySelector('h2');
      field.focus({ preventScroll: true });
      field.setSelectionRange?.(field.value.length, field.value.length);
    }
    this.dispatchEvent(new CustomEvent('barwright-ready', { detail: this.#detail(), bubbles: true, composed: true }));
  }

  /** Names that nothing answers to: told once, to whoever writes the page. */
  #warn() {
    const sizes = this.#family.sizes.map((size) => size.name);
    for (const text of unknown(this, { fixed: sizes, value: sizes, shown: sizes, offer: OFFERS, units: ['mm', 'in'] })) {
      if (!this.#warned.has(text)) console.warn(text);
      this.#warned.add(text);
    }
  }

  #wake() {
    for (const field of this.#asleep.splice(0)) field.disabled = false;
  }

  /** Only sizes that the family has, and that the shop did not fix; bare lengths are meant in the units. */
  #known(sizes, units = this.units) {
    const fixed = read(this.getAttribute('fixed'));
    return Object.fromEntries(this.#family.sizes.filter((size) => Object.hasOwn(sizes, size.name) && !(size.name in fixed)).map((size) => {
      const text = String(sizes[size.name]).slice(0, LONGEST);
      return [size.name, units === this.units ? text : meant(size, text, units)];
    }));
  }

  /** What the attribute begins with. */
  #begin() {
    return this.#known(read(this.getAttribute('value')), this.#meant?.value);
  }

  /** @returns {'mm' | 'in'} */
  get #attribute() {
    return this.getAttribute('units') === 'in' ? 'in' : 'mm';
  }

  #state(name) {
    for (const one of ['loading', 'ready', 'invalid', 'failed']) one === name ? this.#internals.states?.add(one) : this.#internals.states?.delete(one);
    this.#internals.ariaBusy = String(name === 'loading');
  }

  get #lang() {
    return this.closest('[lang]')?.getAttribute('lang') || 'en';
  }

  /** What the shop offers. */
  get #offers() {
    const list = this.getAttribute('offer');
    return new Set(list === null ? OFFERS : list.split(/[\s,]+/u).filter((one) => OFFERS.includes(one)));
  }

  /** All that can be typed, chosen or read. */
  #build() {
    this.#root.replaceChildren(...frame(
      { say: words(this.#lang), theirs: this.#foreign, title: this.#family.title, sizes: this.#family.sizes, fixed: this.#fixed, shown: this.getAttribute('shown')?.split(/[\s,]+/u), offers: this.#offers, off: this.#off },
      {
        units: (unit) => { this.units = unit; this.#tell('change'); },
        size: (name) => ({ lang: () => this.#lang, units: () => this.units, take: (text) => this.#take(name, text), tell: (kind) => this.#tell(kind), left: () => this.#show(), enter: () => enter(this) }),
        zoom: () => this.#zoom(!this.#real), print: () => this.print(), download: (what) => void this.download(what),
      }));
    // On a narrow page a whole sheet could not be read.
    this.#real ??= this.clientWidth < NARROW;
    this.#fresh = true;
    this.#zoom(this.#real);
  }

  /** The sheet at its true size, or all of it at once. */
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

  #take(name, text) {
    if (text.trim() === '') delete this.#given[name];
    else this.#given[name] = text.slice(0, LONGEST);
    this.#last = name;
    this.#work();
  }

  /** What the core is asked for. */
  get #order() {
    return { unit: this.units, sizes: { ...this.#given, ...this.#fixed } };
  }

  /** What the shop fixed, in the units that it was meant in. @returns {Record<string, string>} */
  get #fixed() {
    const fixed = read(this.getAttribute('fixed'));
    const units = this.#meant?.fixed ?? this.units;
    return Object.fromEntries(this.#family.sizes.filter((size) => size.name in fixed).map((size) => [size.name, meant(size, fixed[size.name], units)]));
  }

  /** Remedies that can be chosen here, those last that are there to be measured. @returns {any[]} */
  get #remedies() {
    const all = this.#told.remedies.filter((remedy) => this.#root.getElementById(`size-${remedy.size}`));
    return [...all.filter((remedy) => !remedy.measured), ...all.filter((remedy) => remedy.measured)];
  }

  /** What is wrong with a size by itself. */
  #wrong(finding, size) {
    return local(wrong(finding, size, this.#told.remedies.find((remedy) => remedy.size === size)), decimal(this.#lang));
  }

  /** A finding in a sentence. */
  #text(finding) {
    const name = about(finding);
    const size = name && this.#family.sizes.find((size) => size.name === name);
    return size ? `${size.ask}: ${this.#wrong(finding, name)}` : local(finding.headline, decimal(this.#lang));
  }

  /** Why there is no part, and what to do. */
  get #refused() {
    const first = roots(this.#told.findings).find((finding) => finding.severity === 'refused');
    return words(this.#lang).correct(first ? this.#text(first) : '', this.#way).replace('  ', ' ').trim();
  }

  /** What to do about a refusal; a size that is wrong by itself says what would be right. */
  get #way() {
    const say = words(this.#lang);
    if (this.#remedies.length > 0) return say.one(this.#remedies.length);
    if (roots(this.#told.findings).some((finding) => finding.severity === 'refused' && about(finding))) return '';
    return this.#told.remedies.length > 0 || this.#told.findings.some(({ code }) => code === 'variant/no-single-remedy') ? say.noneDo : say.unknown;
  }

  /** Builds all of it anew, and leaves whoever types where they are. */
  #again() {
    const there = this.#root.activeElement;
    const chosen = there?.localName === 'input' ? [there.selectionStart, there.selectionEnd] : null;
    this.#build();
    this.#work();
    if (!there || !this.#told) return;
    const field = (there.id ? this.#root.getElementById(there.id) : there.dataset.offer ? this.#root.querySelector(`[data-offer="${there.dataset.offer}"]`) : null) ?? this.#root.querySelector('h2');
    field?.focus({ preventScroll: true });
    if (chosen) field?.setSelectionRange?.(...chosen);
  }

  /** Works the variant out; from here on nothing of the one before is to be had. */
  #work(all = false) {
    if (!this.#family) return;
    this.#edition += 1;
    this.#told = null;
    this.#internals.setFormValue(null);
    try {
      this.#told = JSON.parse(this.#desk.make(JSON.stringify(this.#order)));
      if (this.#told.broken) throw new Error(this.#told.broken);
    } catch (error) {
      this.#desk = null;
      return this.#fail(error);
    }
    this.#show(all);
    this.#submit();
    this.#state(this.#told.goods ? 'ready' : 'invalid');
    clearTimeout(this.#settling);
    this.#settling = setTimeout(() => {
      const said = this.#root.getElementById('said');
      if (said && this.#told) said.textContent = this.#told.goods ? words(this.#lang).changed(this.#told.goods.number) : this.#refused;
    }, SETTLE);
  }

  /** The form's entries and the verdict on them. */
  #submit() {
    const { goods } = this.#told;
    const name = this.getAttribute('name');
    const state = new URLSearchParams({ ...this.#given, ' units': this.units }).toString();
    if (!goods) {
      this.#internals.setFormValue(null, state);
      this.#internals.setValidity({ customError: true }, this.#custom || this.#refused, this.#anchor);
      return;
    }
    if (this.#custom) this.#internals.setValidity({ customError: true }, this.#custom, this.#anchor);
    else this.#internals.setValidity({});
    const data = new FormData();
    if (name) {
      data.append(name, goods.number);
      data.append(`${name}.link`, this.link);
      data.append(`${name}.digest`, goods.digest);
      data.append(`${name}.sizes`, JSON.stringify(exact(this.#family, this.#told, this.#order.sizes, this.units)));
    }
    this.#internals.setFormValue(data, state);
  }

  /** What came of the sizes; of all, also in the field that is typed in. */
  #show(all = false) {
    const root = this.#root;
    const told = this.#told;
    if (!told) return;
    const { goods } = told;
    const say = words(this.#lang);
    const sign = decimal(this.#lang);
    const values = new Map(told.values.map((value) => [value.name, value.text]));
    const by = (id) => root.getElementById(id);
    const asked = new Map(this.#family.sizes.map((size) => [size.name, size.ask]));
    const remedies = this.#remedies;
    const would = (remedy) => `${local(say.stands(apart(remedy.to)), sign)}${remedy.measured ? say.measured : ''}.`;
    by('units').value = this.units;
    /** @type {any[]} */
    const wrongly = [[], [], [], []];
    for (const size of this.#family.sizes) {
      const field = by(`size-${size.name}`);
      if (!field) continue;
      const text = this.#given[size.name] ?? local(values.get(size.name) ?? usual(size, told.unit), sign);
      if (field.tagName === 'SELECT' && ![...field.options].some((option) => option.value === text)) field.append(make('option', { value: text, text: reads(size, text) }));
      if (all || root.activeElement !== field || (field.value !== text && this.#given[size.name] !== undefined)) if (field.value !== text) field.value = text;
      const inch = +(told.unit === 'in');
      by(`size-${size.name}-limits`).textContent = size.from && size.to ? local(say.range(size.from[inch], size.to[inch]), sign) : '';
      const own = told.findings.filter((finding) => about(finding) === size.name).map((finding) => this.#wrong(finding, size.name)).join(' ');
      const remedy = remedies.find((remedy) => remedy.size === size.name);
      const message = by(`size-${size.name}-message`);
      message.textContent = own || (remedy ? would(remedy) : '');
      message.lang = own ? 'en' : this.#lang;
      message.hidden = message.textContent === '';
      if (message.hidden) field.removeAttribute('aria-invalid');
      else field.setAttribute('aria-invalid', 'true');
      wrongly[own ? 0 : !remedy ? 3 : size.name === this.#last ? 1 : 2].push(field);
    }
    this.#anchor?.removeAttribute('autofocus');
    this.#anchor = wrongly.flat()[0] ?? by('units');
    // The browser gives the focus to the element, and the element to the field that this marks.
    if (!goods) this.#anchor?.setAttribute('autofocus', '');
    const verdict = this.#verdict;
    by('numberOf').replaceChildren(...(goods ? [goods.number, make('small', {}, `${say.digest} ${goods.digest}`)] : [say.none]));
    by('verdict').replaceChildren(make('strong', { class: `mark ${verdict}`, text: say[verdict] }));
    by('blank').textContent = goods ? local(goods.blank, sign) : '–';
    by('mass').textContent = goods ? mass(goods.mass, this.#lang, told.unit) : '–';
    by('findings').replaceChildren(
      ...findings(roots(told.findings).map((finding) => ({ severity: finding.severity, text: this.#text(finding) })), say, this.#foreign && this.#lang),
      ...(goods && remedies.length === 0 ? [] : [make('p', { text: remedies.length > 0 ? say.would(remedies.length) : this.#way, lang: this.#foreign && this.#lang })]),
      make('ul', {}, ...remedies.map((remedy) => make('li', {}, make('button', { type: 'button', part: 'button', text: `${local(say.instead(asked.get(remedy.size), apart(remedy.to)), sign)}${remedy.measured ? say.measured : ''}`, onclick: () => {
        this.#take(remedy.size, local(apart(remedy.to), sign));
        by(`size-${remedy.size}`)?.focus();
        this.#tell('input');
        this.#tell('change');
      } })))));
    const drawing = by('drawing');
    if (drawing && goods) drawing.style.aspectRatio = `${goods.sheets[0].width} / ${goods.sheets[0].height}`;
    if (drawing && !(goods && renewSheets(drawing, goods.sheets.map((one) => one.svg), picture))) drawing.replaceChildren(make('p', { class: 'refused', text: this.#offers.has('program') ? say.gone : say.goneDrawing }));
    if (!goods) {
      drawing?.scrollTo(0, 0);
      this.#fresh = true;
    }
    if (this.#fresh) this.#firstView();
    by('code')?.replaceChildren(...(goods?.runs ?? []).map((run) => make('pre', { part: 'program', tabindex: '0', role: 'region', 'aria-label': run.file, text: run.text })));
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

  #tell(kind) {
    this.dispatchEvent(new CustomEvent(kind, { detail: this.#detail(), bubbles: true, composed: true }));
  }

  /** @param {string} name @param {string | null} before @param {string | null} after */
  attributeChangedCallback(name, before, after) {
    if (before === after) return;
    if (name === 'loading' && after === 'eager' && this.isConnected) return void this.start();
    if (name === 'family' && this.#family) {
      this.#pending = null;
      return this.#reopen();
    }
    // Another family is another chance.
    if (name === 'family' && this.#failed) return this.#desk ? this.#reopen() : void this.start();
    if (!this.#family || name === 'loading') return;
    if (name === 'name') return this.#submit();
    this.#warn();
    if (name === 'units') {
      const was = this.#units ?? (before === 'in' ? 'in' : 'mm');
      this.#units = null;
      return this.#turn(was);
    }
    if (this.#meant && (name === 'value' || name === 'fixed')) this.#meant[name] = this.#attribute;
    if (name === 'value') {
      this.#given = this.#begin();
      return this.#work(true);
    }
    this.#given = this.#known(this.#given);
    if (name === 'lang') void learn(this.#lang).then(() => this.#family && this.#again());
    else this.#again();
  }

  /** The unit of bare numbers was another: the part stays what it is. */
  #turn(before) {
    if (before === this.units) return;
    const fixed = this.#fixed;
    // What is usual may be another size in the other unit; only of a part that nobody touched.
    if (Object.keys({ ...this.#given, ...fixed }).length > 0) {
      for (const size of this.#family.sizes) {
        if (size.name in fixed) continue;
        const text = this.#given[size.name];
        if (text !== undefined) this.#given[size.name] = meant(size, text, before);
        else if (size.usual_inch) this.#given[size.name] = usual(size, before);
      }
    }
    this.#work(true);
  }

  formResetCallback() {
    this.#units = null;
    this.#pending = null;
    if (!this.#family) return;
    this.#given = this.#begin();
    this.#work(true);
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
  get fixed() { return this.getAttribute('fixed') ?? ''; }
  set fixed(sizes) { this.#reflect('fixed', sizes); }
  get shown() { return this.getAttribute('shown') ?? ''; }
  set shown(names) { this.#reflect('shown', names); }
  get offer() { return this.getAttribute('offer') ?? ''; }
  set offer(names) { this.#reflect('offer', names); }
  get loading() { return this.getAttribute('loading') === 'eager' ? 'eager' : 'lazy'; }
  set loading(how) { this.#reflect('loading', how); }
  /** Nothing takes it away. */
  #reflect(name, text) {
    text === null || text === undefined ? this.removeAttribute(name) : this.setAttribute(name, text);
  }
  get units() { return this.#units ?? this.#attribute; }
  set units(unit) {
    if (unit !== 'mm' && unit !== 'in') return;
    const before = this.units;
    this.#units = unit;
    if (this.#family) this.#turn(before);
  }

  /** The sizes of the variant as the core says them; what was asked for while it is refused. @returns {Record<string, string>} */
  get sizes() {
    if (!this.#family) return { ...read(this.getAttribute('value')), ...this.#pending };
    const told = this.#told?.goods ? this.#told.values.filter((value) => value.parameter).map((value) => [value.name, value.text]) : [];
    return { ...this.#order.sizes, ...Object.fromEntries(told) };
  }
  set sizes(sizes) {
    const texts = Object.fromEntries(Object.entries(sizes ?? {}).map(([name, text]) => [name, String(text)]));
    if (!this.#family) {
      this.#pending = { ...this.#pending, ...texts };
      return;
    }
    this.#given = this.#known(texts);
    this.#work(true);
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
  /** The shop's own verdict: while there is a message the form is held. A refusal holds it whatever the shop says. @param {string} message */
  setCustomValidity(message) {
    this.#custom = String(message);
    if (this.#told) this.#submit();
    else this.#held();
  }

  /** Prints the page with the sheet at its true size. */
  print() {
    const sheet = this.#told?.goods?.sheets[0];
    if (sheet && this.#offers.has('print') && this.#offers.has('drawing')) alone(this, sheet);
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
    const tell = (text) => this.#root.getElementById('fetched')?.replaceChildren(text);
    tell(words(this.#lang).fetching);
    const files = await import('./take.js').then(({ written }) => written(what, told.goods, this.family, JSON.stringify(this.#order))).catch(() => null);
    tell(files ? '' : words(this.#lang).missed);
    // Another variant by now: the visitor would get what no longer stands there.
    if (!files || edition !== this.#edition) return false;
    files.forEach((give) => give());
    return true;
  }
}

// The script may be on a page twice.
if (globalThis.customElements && !customElements.get('barwright-part')) customElements.define('barwright-part', BarwrightPart);
