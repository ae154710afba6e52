// Sizes as texts: a step further, what is usual, the decimal sign of a language. No page is needed for it.

/**
 * A typed number some steps on; nothing where it is no plain number.
 * @param {any} size @param {string} text @param {number} steps @param {string} unit
 */
export function stepped(size, text, steps, unit) {
  const match = /^\s*([-+]?\d+(?:[.,]\d+)?)\s*((?![\d/⁄½⅓⅔¼¾⅛⅜⅝⅞-]).*)?$/u.exec(text);
  if (!match) return null;
  const word = (match[2] ?? '').trim();
  // A step is of millimetres or inches; of `10' 6"` the first number is neither.
  if (size.kind === 'length' && !/^(?:mm|in|inch|inches|["″”]|)$/u.test(word)) return null;
  const inch = size.kind === 'length' && (word === '' ? unit === 'in' : word !== 'mm');
  const step = size.kind === 'count' ? '1' : inch ? '0.005' : /^[\d.]+/u.exec(size.step?.[0] ?? '')?.[0];
  if (!step) return null;
  const decimals = Math.max(...[match[1].replace(',', '.'), step].map((number) => number.split('.')[1]?.length ?? 0));
  const value = Math.max(0, Number(match[1].replace(',', '.')) + steps * Number(step)).toFixed(decimals);
  return word === '' ? value : `${value} ${word}`;
}

/** What is a number, and two of them, without a unit. */
const BARE = { length: /^[-+\d.,/⁄½⅓⅔¼¾⅛⅜⅝⅞\s]+$/u, fit: /^[+\d.,/⁄½⅓⅔¼¾⅛⅜⅝⅞\s]+(?:\sto\s|\.\.)[+\d.,/⁄½⅓⅔¼¾⅛⅜⅝⅞\s]+$/u };

/** A bare length, or two for a fit, with the unit that they were meant in; any other text as it is. @param {any} size @param {string} text @param {string} unit */
export const meant = (size, text, unit) => (BARE[size.kind]?.test(text) ? `${text.trim()} ${unit}` : text);

/** What a size usually is, as it is typed. @param {any} size @param {string} unit */
export function usual(size, unit) {
  return unit === 'in' && size.usual_inch ? size.usual_inch : size.usual;
}

/** The decimal sign of a language. @param {string | undefined} lang */
export function decimal(lang) {
  try {
    return new Intl.NumberFormat(lang).formatToParts(0.5).find((part) => part.type === 'decimal')?.value ?? '.';
  } catch {
    return '.';
  }
}

/** A text of the core with the decimal sign of a language; both signs are read. What it quotes for a terminal stands in quotation marks. @param {string} text @param {string} sign */
export const local = (text, sign) => (sign === ',' ? text.replace(/(\d)\.(?=\d)/gu, '$1,') : text).replace(/`([^`]*)`/gu, '‘$1’');

/** A size that is written for the command line, as it is read: `53mm` with a blank. @param {string} text */
export const apart = (text) => text.replace(/(\d)(?=(?:mm|in)\b)/gu, '$1 ');

/** A choice as it reads: `brass-c36000` as brass C36000. What is asked for stays as it is named. @param {any} size @param {string} text */
export const shown = (size, text) => (size.kind === 'material' ? text.replace(/^([a-z]+)-(?=.*\d)(.+)$/u, (_, metal, grade) => `${metal} ${grade.toUpperCase()}`) : text);

/** The size that a finding speaks of by itself; nothing for a rule, which speaks of several. @param {any} finding */
export function about(finding) {
  if (finding.code !== 'variant/value' && finding.code !== 'variant/out-of-range') return null;
  const colon = finding.headline.indexOf(': ');
  return colon < 0 ? null : finding.headline.slice(0, colon);
}

/** A remedy as a sentence; what is measured is not changed at will. @param {any} remedy */
export const would = (remedy) => `${apart(remedy.to)} would do${remedy.measured ? ', if it measures so' : ''}.`;

/**
 * What is wrong with one size by itself, and what would do. Where something is known that all rules bear, the
 * nearest that its range alone would bear is passed over.
 * @param {any} finding @param {string} name @param {any} [remedy] for this size
 */
export function wrong(finding, name, remedy) {
  const helps = remedy ? [would(remedy)] : finding.helps.map((/** @type {string} */ help) => apart(help.replaceAll(`${name}=`, '')));
  const text = [finding.headline.slice(name.length + 2), ...helps].join(' ');
  return text.charAt(0).toUpperCase() + text.slice(1);
}

/** The findings to be told: not those that only follow from another; what would do is told apart. @param {any[]} findings */
export const roots = (findings) => findings.filter((finding) => !finding.follows && finding.code !== 'variant/remedy');
