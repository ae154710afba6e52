//! What goes into the bag with the pieces, and what stands on the bag.

use serde::{Deserialize, Serialize};

use super::count::Count;
use crate::part::{Part, Per};
use crate::quantity::{Torque, Unit, pick, say_torque};

/// A line of the hardware list.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
pub struct Item {
    /// What: `Set screw M5 × 12, cup point`.
    pub item: String,
    /// How many go with each piece; nothing where it goes with the order.
    pub each: Option<u32>,
    /// How many the order needs.
    pub count: u32,
    /// How many to have at hand: small things are lost.
    pub take: u32,
    /// Its key, in words.
    pub key: String,
    /// How tight, in words; nothing where it is not tightened.
    pub torque: String,
}

impl Item {
    /// Its key as it stands after other words: `key 2.5 mm`, and no second `key` where the key's own
    /// words say so; nothing where it has none.
    pub fn key_words(&self) -> String {
        let named = self.key.split_whitespace().any(|word| word.eq_ignore_ascii_case("key"));
        if self.key.is_empty() || named { self.key.clone() } else { format!("key {}", self.key) }
    }
}

/// The hardware for an order: for the pieces that are ordered, not for the spares.
///
/// Two of a hundred more are taken of what goes with each piece; common practice, no source.
pub fn hardware(part: &Part, count: Count) -> Vec<Item> {
    part.hardware
        .iter()
        .filter(|hardware| hardware.count > 0)
        .map(|hardware| {
            let each = (hardware.per == Per::Piece).then_some(hardware.count);
            let needed = each.map_or(hardware.count, |each| each.saturating_mul(count.ordered));
            let more = if each.is_some() { needed.div_ceil(50) } else { 0 };
            Item {
                item: hardware.item.clone(),
                each,
                count: needed,
                take: needed.saturating_add(more),
                key: hardware.key.clone().unwrap_or_default(),
                torque: hardware.torque.map(|torque| tighten(torque, part.unit)).unwrap_or_default(),
            }
        })
        .collect()
}

/// A torque as the drawing says it; in inches with the other beside it, for the driver that is there.
fn tighten(torque: Torque, unit: Unit) -> String {
    let said = say_torque(unit, torque);
    match unit {
        Unit::Mm => said,
        Unit::Inch => format!("{said} ({} N·m)", pick(torque.as_newton_mm() / 1000.0, 2)),
    }
}

/// The label of a bag, line by line.
pub fn label(part: &Part, count: Count, revision: &str, digest: &str, owner: &str) -> Vec<String> {
    let pieces = if count.ordered == 1 { "1 piece".to_owned() } else { format!("{} pieces", count.ordered) };
    let mut lines = vec![
        format!("{}  rev {revision}", part.number),
        part.title.clone(),
        format!("{pieces}, {}", part.material.title),
    ];
    lines.extend(hardware(part, count).into_iter().map(|item| match item.key.as_str() {
        "" => format!("{} × {}", item.count, item.item),
        _ => format!("{} × {}, {}", item.count, item.item, item.key_words()),
    }));
    lines.extend(
        hardware(part, count)
            .into_iter()
            .filter(|item| !item.torque.is_empty())
            .map(|item| format!("Tighten to {}", item.torque)),
    );
    lines.push(format!("{owner}  {digest}"));
    lines.push("Date ________  Inspected ________".to_owned());
    lines
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::part::Hardware;
    use crate::plan::tests::m5_key;

    fn part() -> Part {
        let mut part = m5_key();
        part.hardware = vec![
            Hardware {
                item: "Set screw M5 × 12".to_owned(),
                count: 4,
                per: Per::Piece,
                key: Some("2.5 mm".to_owned()),
                torque: Some(Torque::newton_mm(2350.0)),
            },
            Hardware { item: "Hexagon key 2.5 mm".to_owned(), count: 1, per: Per::Order, key: None, torque: None },
            Hardware { item: "nothing".to_owned(), count: 0, per: Per::Piece, key: None, torque: None },
        ];
        part
    }

    #[test]
    fn screws_for_all_that_is_ordered() {
        let list = hardware(&part(), Count { ordered: 50, spares: 4 });
        assert_eq!(list.len(), 2, "nothing of nothing");
        assert_eq!((list[0].count, list[0].take), (200, 204), "4 for each of 50, and 2 of a hundred");
        assert_eq!((list[1].count, list[1].take), (1, 1), "one key for all");
        let said = |key: &str| Item { key: key.to_owned(), ..list[0].clone() }.key_words();
        assert_eq!([said("2.5 mm"), said("hexagon key 2.5 mm"), said("")], ["key 2.5 mm", "hexagon key 2.5 mm", ""]);
        // 2.35 / (4.448 × 0.0254) = 20.80 in-lb.
        assert_eq!(list[0].torque, "2.35 N·m", "as the drawing says it");
        let mut inch = part();
        inch.unit = Unit::Inch;
        assert_eq!(
            hardware(&inch, Count { ordered: 1, spares: 0 })[0].torque,
            "20.8 in-lb (2.4 N·m)",
            "worked by hand"
        );
    }

    #[test]
    fn the_label_tells_what_is_in_the_bag() {
        let lines = label(&part(), Count { ordered: 50, spares: 0 }, "B", "0123456789ab", "Heddle Row Workshop");
        let text = lines.join("\n");
        for word in [
            "JK-10-M5-60",
            "rev B",
            "50 pieces",
            "Brass C36000",
            "200 × Set screw M5 × 12, key 2.5 mm",
            "2.35 N·m",
            "0123456789ab",
        ] {
            assert!(text.contains(word), "`{word}`:\n{text}");
        }
    }
}
