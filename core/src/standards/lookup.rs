//! A card for any name of any standard: what a person or a page is shown.

mod cards;

use super::Unknown;
use super::unknown::shown;
use crate::quantity::{Angle, Area, Density, Feed, Force, Length, Stress, Torque, Unit, fixed, pick, trimmed};

/// Kinds of names that [`look_up`] reads.
pub const KINDS: [&str; 6] = ["thread", "drill", "fit", "screw", "tolerance", "material"];

/// All that a standard says about one name.
#[derive(Clone, Debug, PartialEq)]
pub struct Card {
    /// The kind: one of [`KINDS`].
    pub kind: &'static str,
    /// The name as the standard writes it.
    pub name: String,
    /// A title in plain words.
    pub title: String,
    /// The unit that the standard is written in.
    pub unit: Unit,
    /// The values, in the order that a person reads them.
    pub rows: Vec<Row>,
    /// Where the values come from.
    pub source: String,
}

/// One value of a card.
#[derive(Clone, Debug, PartialEq)]
pub struct Row {
    /// Plain field name: `minor_min`.
    pub key: String,
    /// In words: `Minor diameter, smallest`.
    pub label: String,
    /// The value.
    pub value: Value,
    /// What else is to be known about it; often empty.
    pub note: String,
}

/// A value of any kind.
#[derive(Clone, Debug, PartialEq)]
pub enum Value {
    /// A length.
    Length(Length),
    /// Lengths to choose from.
    Lengths(Vec<Length>),
    /// An area.
    Area(Area),
    /// An angle.
    Angle(Angle),
    /// A force.
    Force(Force),
    /// A turning moment.
    Torque(Torque),
    /// A stress.
    Stress(Stress),
    /// A density.
    Density(Density),
    /// A cutting speed or a feed.
    Feed(Feed),
    /// A bare number.
    Number(f64),
    /// Percent.
    Percent(f64),
    /// Words.
    Text(String),
}

impl Value {
    /// The value as people read it, in the unit of the standard.
    pub fn say(&self, unit: Unit) -> String {
        let inch = unit == Unit::Inch;
        match self {
            // Inch sizes are written to four places, as their tables are.
            Self::Length(length) if inch => format!("{} in", fixed(length.as_inch(), 4)),
            Self::Length(length) => format!("{} mm", trimmed(length.as_mm(), 4)),
            Self::Lengths(lengths) => {
                let all: Vec<String> = lengths.iter().map(|length| trimmed(unit.of(*length), 4)).collect();
                format!("{} {}", all.join(", "), unit.sign())
            }
            Self::Area(area) if inch => format!("{} in²", pick(area.as_mm2() / 645.16, 4)),
            Self::Area(area) => format!("{} mm²", pick(area.as_mm2(), 4)),
            Self::Angle(angle) => degrees(*angle),
            Self::Force(force) if inch => format!("{} lbf", pick(force.as_newton() / 4.448_221_615_260_5, 4)),
            Self::Force(force) => format!("{} N", pick(force.as_newton(), 4)),
            Self::Torque(torque) if inch => format!("{} in-lb", pick(torque.as_newton_mm() / 112.984_829_027_616_7, 3)),
            Self::Torque(torque) => format!("{} N·m", pick(torque.as_newton_mm() / 1000.0, 3)),
            Self::Stress(stress) => format!("{} MPa", pick(stress.as_mpa(), 4)),
            Self::Density(density) => format!("{} g/cm³", trimmed(density.as_gram_per_mm3() * 1000.0, 3)),
            Self::Feed(feed) => format!("{} m/min", trimmed(feed.as_mm_per_min() / 1000.0, 1)),
            Self::Number(number) => trimmed(*number, 4),
            Self::Percent(percent) => format!("{} %", fixed(*percent, 1)),
            Self::Text(text) => text.clone(),
        }
    }

    /// The number in plain units (mm, mm², °, N, N·m, N/mm², g/cm³, m/min), free of the dust of
    /// binary arithmetic; `None` for words and lists.
    pub fn number(&self) -> Option<f64> {
        let value = match self {
            Self::Length(length) => length.as_mm(),
            Self::Area(area) => area.as_mm2(),
            Self::Angle(angle) => angle.as_degree(),
            Self::Force(force) => force.as_newton(),
            Self::Torque(torque) => torque.as_newton_mm() / 1000.0,
            Self::Stress(stress) => stress.as_mpa(),
            Self::Density(density) => density.as_gram_per_mm3() * 1000.0,
            Self::Feed(feed) => feed.as_mm_per_min() / 1000.0,
            Self::Number(number) | Self::Percent(number) => *number,
            Self::Text(_) | Self::Lengths(_) => return None,
        };
        Some(tidy(value))
    }
}

/// An angle in degrees and minutes where these say all of it, as ISO 2768-1 does: `1° 30′`.
fn degrees(angle: Angle) -> String {
    let degrees = angle.as_degree();
    let whole = (degrees.abs() + 1e-9).floor();
    let minutes = (degrees.abs() - whole) * 60.0;
    let sign = if degrees < 0.0 { "-" } else { "" };
    if (minutes - minutes.round()).abs() > 1e-6 {
        return format!("{}°", trimmed(degrees, 4));
    }
    match (fixed(whole, 0), fixed(minutes, 0)) {
        (whole, minutes) if minutes == "0" => format!("{sign}{whole}°"),
        (whole, minutes) if whole == "0" => format!("{sign}{minutes}′"),
        (whole, minutes) => format!("{sign}{whole}° {minutes}′"),
    }
}

/// The double nearest to the number with six decimals.
fn tidy(value: f64) -> f64 {
    (value * 1e6).round() / 1e6
}

/// The card of a name: kind `thread` (`M5`), `drill` (`#7`), `fit` (`25 H7/g6`, `H7`), `screw`
/// (`M5 set`, `M6 cap`), `tolerance` (`ISO 2768-m`, `2768-m 30 mm`) or `material` (`brass`).
///
/// # Errors
/// Tells the kinds, or the nearest names of the kind.
///
/// ```
/// use barwright_core::standards::look_up;
/// assert_eq!(look_up("thread", "m5").unwrap().name, "M5x0.8");
/// assert!(look_up("thread", "M5x").is_err());
/// ```
pub fn look_up(kind: &str, name: &str) -> Result<Card, Unknown> {
    match kind.trim().to_ascii_lowercase().as_str() {
        "thread" | "threads" => cards::thread_card(name),
        "drill" | "drills" => cards::drill_card(name),
        "fit" | "fits" => cards::fit_card(name),
        "screw" | "screws" => cards::screw_card(name),
        "tolerance" | "tolerances" => cards::tolerance_card(name),
        "material" | "materials" => cards::material_card(name),
        _ => Err(Unknown::new(
            format!("`{}` is no kind of standard.", shown(kind)),
            format!("The kinds are {}.", KINDS.join(", ")),
        )),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_card_for_every_kind() {
        for (kind, asked, name, key, said) in [
            ("thread", "M5", "M5x0.8", "minor_max", "4.334 mm"),
            ("thread", "1/4-20-3B", "1/4-20 UNC", "minor_max", "0.2067 in"),
            ("drill", "#7", "#7", "diameter", "0.2010 in"),
            ("fit", "25 H7/g6", "25 H7/g6", "clearance_most", "0.041 mm"),
            ("fit", "10 mm e9", "10 e9", "lower", "-0.061 mm"),
            ("fit", "H7", "H7", "to_10_upper", "0.015 mm"),
            ("fit", "0.5 in H7", "12.7 H7", "upper", "0.018 mm"),
            ("screw", "M5 set", "M5 set", "key", "2.5 mm"),
            ("screw", "set 1/4-20", "1/4-20 set", "torque", "87 in-lb"),
            ("screw", "M6 cap", "M6 cap", "counterbore_diameter", "11 mm"),
            ("tolerance", "2768-m 30 mm", "ISO 2768-m", "deviation", "0.2 mm"),
            ("tolerance", "ISO 2768-m", "ISO 2768-m", "to_120", "0.3 mm"),
            ("tolerance", "2768-c", "ISO 2768-c", "angle_to_10", "1° 30′"),
            ("tolerance", "2768-c", "ISO 2768-c", "angle_over_400", "10′"),
            ("tolerance", "2768-v", "ISO 2768-v", "angle_to_10", "3°"),
            ("material", "brass", "brass-c36000", "density", "8.5 g/cm³"),
        ] {
            let card = look_up(kind, asked).unwrap_or_else(|error| panic!("{kind} {asked}: {error}"));
            assert_eq!((card.kind, card.name.as_str()), (kind, name), "{asked}");
            let row = card.rows.iter().find(|row| row.key == key);
            let row = row.unwrap_or_else(|| panic!("{asked}: no {key} in {:?}", card.rows));
            assert_eq!(row.value.say(card.unit), said, "{asked}: {key}");
            assert!(!card.source.is_empty() && !card.title.is_empty(), "{asked}");
            let mut keys: Vec<&str> = card.rows.iter().map(|row| row.key.as_str()).collect();
            keys.sort_unstable();
            assert!(keys.windows(2).all(|pair| pair[0] != pair[1]), "{asked}: a key twice in {keys:?}");
            let plain = |key: &&str| key.bytes().all(|b| b.is_ascii_lowercase() || b.is_ascii_digit() || b == b'_');
            assert!(keys.iter().all(plain), "{asked}: {keys:?}");
        }
    }

    #[test]
    fn nasty_names() {
        let long = "M5 ".repeat(4000);
        for kind in KINDS {
            for name in [
                "",
                " ",
                "Mx",
                "M5x",
                "9/0-20",
                "/",
                "25 ",
                "H7/",
                "0 H7",
                "-5 H7",
                "501 mm H7",
                "25 H7/g6/k5",
                "set",
                "cap",
                "M5 bolt",
                "2768-m 0",
                "2768-m x",
                "\u{0}",
                "ｆｉｔ",
                "🪛",
                long.as_str(),
            ] {
                let error = look_up(kind, name).expect_err(name);
                assert!(!error.what.is_empty() && !error.help.is_empty(), "{kind} {name}");
                assert!(error.to_string().len() < 400, "{kind} {name}: {error}");
            }
        }
        assert!(look_up("bolt", "M5").expect_err("no kind").help.contains("screw"), "offers the kinds");
    }
}
