// The one thread: pick any thing, and the same thing is marked in every other place.

/**
 * What is picked.
 * @typedef {{value?: string, size?: string, feature?: string, line?: number, run?: number, rule?: string}} Pick
 */

/**
 * Everything that belongs to a picked thing.
 * @param {Pick | null} pick @param {any} family @param {any} result
 */
export function belongs(pick, family, result) {
  const marks = { values: new Set(), sizes: new Set(), features: new Set(), rules: new Set(), stretches: /** @type {any[]} */ ([]) };
  if (!pick || !family || !result) return marks;
  const { links } = family;
  const goods = result.goods;
  const names = sizes(goods);
  const base = (/** @type {string} */ size) => (links.values[size] ? size : links.values[size.split('.')[0]] ? size.split('.')[0] : null);
  const byFeature = (/** @type {string} */ feature) => names.filter((name) => name.startsWith(`${feature}.`) || links.features[feature]?.includes(base(name) ?? name));
  const of = (/** @type {string} */ size) => Object.keys(links.features).filter((feature) => byFeature(feature).includes(size));
  if (pick.value) {
    marks.values.add(pick.value);
    const rests = (/** @type {string} */ size) => {
      const value = base(size);
      const roots = value ? [value, ...links.values[value]] : of(size).flatMap((feature) => links.features[feature]).flatMap((value) => [value, ...(links.values[value] ?? [])]);
      return roots.includes(pick.value);
    };
    const near = names.filter((name) => base(name) === pick.value || says(formula(family, base(name)), pick.value));
    for (const name of near.length > 0 ? near : names.filter(rests)) marks.sizes.add(name);
    for (const rule of result.rules) if (says(rule.must, pick.value)) marks.rules.add(rule.name);
  }
  if (pick.size) {
    for (const name of pick.size.split(' ')) {
      marks.sizes.add(name);
      const value = base(name);
      for (const feature of of(name)) marks.features.add(feature);
      if (value) {
        marks.values.add(value);
        for (const root of nearest(family, value)) marks.values.add(root);
      } else {
        for (const feature of of(name)) for (const value of links.features[feature] ?? []) marks.values.add(value);
      }
    }
    for (const rule of result.rules) if ([...marks.values].some((value) => says(rule.must, value))) marks.rules.add(rule.name);
  }
  if (pick.rule) {
    marks.rules.add(pick.rule);
    const rule = result.rules.find((/** @type {any} */ rule) => rule.name === pick.rule);
    for (const value of Object.keys(links.values)) if (rule && says(rule.must, value)) marks.values.add(value);
    for (const name of names) if (marks.values.has(base(name))) marks.sizes.add(name);
  }
  if (pick.feature) {
    marks.features.add(pick.feature);
    for (const name of byFeature(pick.feature)) marks.sizes.add(name);
    for (const value of links.features[pick.feature] ?? []) marks.values.add(value);
  }
  for (const [run, { stretches }] of (goods?.runs ?? []).entries()) {
    for (const stretch of stretches) if (marks.features.has(stretch.feature)) marks.stretches.push({ run, ...stretch });
  }
  return marks;
}

/** The names of all sizes of the part. @param {any} goods @returns {string[]} */
function sizes(goods) {
  if (!goods) return [];
  const drawn = goods.sheets.flatMap((/** @type {any} */ sheet) => [...sheet.svg.matchAll(/data-value="([^"]*)"/gu)]).flatMap((match) => match[1].split(' '));
  return [...new Set([...goods.first_piece.map((/** @type {any} */ reading) => reading.name), ...drawn])];
}

/** @param {any} family @param {string | null} value */
function formula(family, value) {
  return family.follows.find((/** @type {any} */ follows) => follows.name === value)?.formula ?? '';
}

/** The sizes that a value names in its formula, or else those that it rests on. @param {any} family @param {string} value */
function nearest(family, value) {
  const text = formula(family, value);
  const roots = family.links.values[value] ?? [];
  const named = roots.filter((/** @type {string} */ root) => says(text, root));
  return named.length > 0 ? named : roots;
}

/** Whether a formula names a value. @param {string} text @param {string} name */
function says(text, name) {
  return new RegExp(`(?<![\\w.])${name.replace(/[^\w]/gu, '\\$&')}(?!\\w)`, 'u').test(text);
}
