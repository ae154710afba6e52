// The element's own words in German; fetched where they are spoken.

/** @type {ReturnType<typeof import('./words.js').words>} */
export const DE = {
  loading: 'Die Maße werden geholt.',
  failed: 'Die Maße lassen sich hier nicht berechnen.',
  fixed: 'Für Sie gewählt', drawing: 'Zeichnung', program: 'Programm', numberOf: 'Teilenummer', blank: 'Geschnitten aus', mass: 'Masse', verdict: 'Urteil',
  holds: 'passt', caution: 'Vorsicht', refused: 'abgelehnt', none: 'keine, solange abgelehnt', units: 'Zahlen sind in', mm: 'mm', in: 'Zoll',
  range: (from, to) => `${from} bis ${to}`,
  would: (count) => (count === 1 ? 'Das würde genügen:' : 'Jedes davon würde genügen:'), instead: (ask, to) => `${ask}: ${to}`,
  real: 'Wahre Größe', goneDrawing: 'Keine Zeichnung: Die Maße sind abgelehnt.',
  gone: 'Keine Zeichnung und kein Programm: Die Maße sind abgelehnt.',
  correct: (reason, more) => `Diese Maße sind abgelehnt. ${reason} ${more}`,
  one: (count) => (count === 1 ? 'Eines würde genügen: Nehmen Sie es.' : 'Nehmen Sie eines, das genügt.'), noneDo: 'Kein einzelnes Maß hier würde allein genügen: Ändern Sie mehrere, oder fragen Sie den Laden.', unknown: 'Was genügen würde, ist hier nicht bekannt: Ändern Sie ein Maß, oder fragen Sie den Laden.',
  stands: (to) => `So abgelehnt; ${to} würde genügen`, measured: ' – wenn es so gemessen ist', how: 'Hilfe', digest: 'Prüfsumme', again: 'Laden Sie die Seite neu, oder fragen Sie den Laden.',
  print: 'Zeichnung drucken', svg: 'Zeichnung (SVG)', pdf: 'Zeichnung (PDF)', record: 'Datenblatt (part.json)', code: 'Programm', fetching: 'Die Datei wird geschrieben.', missed: 'Die Datei ließ sich nicht holen. Versuchen Sie es noch einmal.',
  changed: (number) => `Die Zeichnung ist neu: ${number}.`,
};
