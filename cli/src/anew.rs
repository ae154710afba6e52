//! A packet once more from its record: what `trace` holds a file against, and what `adjust` writes.

use barwright_core::batch::Count;
use barwright_core::drawing::{self, Convention, Format, Item, Paper, Sheet, Stamp};
use barwright_core::job::{self, Wanted};
use barwright_core::part::Part;
use barwright_core::record::{Ordered, Record};
use barwright_core::shop::Shop;

/// The words of each page of a PDF.
pub(crate) type Pages = [Vec<String>];

/// What is stamped on a part's papers; the revision is that of its order or, where its record knows
/// of none, the one that a program of it names.
pub(crate) fn stamp(record: &Record, shop: &Shop, named: Option<String>) -> Stamp {
    let ordered = || Ordered { revision: named.unwrap_or_else(|| "A".to_owned()), ..Ordered::default() };
    let Ordered { revision, date, drawn_by, .. } = record.order.clone().unwrap_or_else(ordered);
    Stamp {
        revision,
        date,
        drawn_by,
        digest: record.digest.clone(),
        owner: shop.owner.clone(),
        facing: job::facing(shop),
    }
}

/// The drawing in the form that these pages have; in the usual one where there are none.
pub(crate) fn sheet(part: &Part, stamp: &Stamp, proved: bool, pages: Option<&Pages>) -> Option<Sheet> {
    let usual = Format::usual(part.unit);
    let formats =
        std::iter::once(usual).chain([Convention::Iso, Convention::Asme].into_iter().flat_map(|convention| {
            [Paper::A4, Paper::A3, Paper::Letter, Paper::Tabloid].into_iter().map(move |paper| Format {
                convention,
                paper,
                ..usual
            })
        }));
    // Whatever the form, the words of a sheet are the nearest to themselves.
    let near = |sheet: &Sheet| {
        let off = |page: &Vec<String>| sheet.items.iter().filter(|item| !among(page, item)).count();
        pages.and_then(|pages| pages.iter().map(off).min()).unwrap_or(0)
    };
    let mut sheets = formats.filter_map(|format| job::drawn(part, &format, stamp, proved).value);
    match pages {
        None => sheets.next(),
        Some(_) => sheets.min_by_key(near),
    }
}

fn among(page: &[String], item: &Item) -> bool {
    match &item.shape {
        drawing::Shape::Text { text, .. } => page.contains(text),
        _ => true,
    }
}

/// What was ordered, to be worked out once more.
pub(crate) fn wanted(order: &Ordered) -> Wanted {
    let count = Count { ordered: order.pieces, spares: order.spares };
    Wanted { count, per_load: order.per_load, timed: order.timed }
}
