//! Screw threads of the 60° profile: unified and ISO metric.

use std::f64::consts::PI;

use serde::{Deserialize, Serialize};

use super::drill::Drill;
use super::unknown::{folded, shown};
use super::{Unknown, metric, unified};
use crate::quantity::{Area, Length, Stress, Unit};

/// The way a thread turns.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "lowercase")]
pub enum Hand {
    /// Right: a nut that turns clockwise goes away.
    #[default]
    Right,
    /// Left.
    Left,
}

/// A thread with its limits of size.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct Thread {
    /// As it is written on a drawing, without class: `M5x0.8`, `10-32 UNF`, `1/4-20 UNC`.
    pub designation: String,
    /// As a person calls it: `M5`, `10-32`, `1/4-20`.
    pub name: String,
    /// The unit that its standard is written in.
    pub unit: Unit,
    /// Basic major diameter.
    pub major: Length,
    /// Axial distance between neighbouring threads.
    pub pitch: Length,
    /// Limits of the hole.
    pub internal: Internal,
    /// Limits of the screw.
    pub external: External,
    /// The usual drill before the thread is cut.
    pub tap_drill: Drill,
    /// Tensile stress area of the screw.
    pub stress_area: Area,
    /// Where the limits come from: standard and table or formula.
    pub source: String,
}

/// Limits of an internal thread.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct Internal {
    /// Tolerance class: `6H`, `2B`, `3B`.
    pub class: String,
    /// Smallest minor diameter.
    pub minor_min: Length,
    /// Largest minor diameter.
    pub minor_max: Length,
    /// Smallest pitch diameter.
    pub pitch_min: Length,
    /// Largest pitch diameter.
    pub pitch_max: Length,
}

/// Limits of an external thread.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct External {
    /// Tolerance class: `6g`, `2A`.
    pub class: String,
    /// Largest major diameter.
    pub major_max: Length,
    /// Smallest major diameter.
    pub major_min: Length,
    /// Largest pitch diameter.
    pub pitch_max: Length,
    /// Smallest pitch diameter.
    pub pitch_min: Length,
}

/// The thread with this name, as people type it: `M5`, `m6x1`, `M10×1.25-6H`, `1/4-20`,
/// `#10-32 UNF`, `.250-20-3B`.
///
/// Without a class the limits are those of 6H/6g or 2A/2B; `-3A` and `-3B` change their own side.
///
/// # Errors
/// Offers the nearest threads, or the pitches that the size has.
///
/// ```
/// use barwright_core::standards::thread::thread;
/// assert_eq!(thread("m10 × 1.25").unwrap().designation, "M10x1.25");
/// assert_eq!(thread("#10-32").unwrap().tap_drill.name, "#21");
/// ```
pub fn thread(name: &str) -> Result<Thread, Unknown> {
    let form = "Write a thread as `M5`, `M8x1`, `10-32` or `1/4-20`.";
    match folded(name) {
        None => Err(Unknown::new(format!("`{}` is too long for the name of a thread.", shown(name)), form)),
        Some(text) if text.is_empty() => Err(Unknown::new("No thread is named.", form)),
        Some(text) => match text.strip_prefix('m') {
            Some(rest) => metric::read(name, rest),
            None => unified::read(name, &text),
        },
    }
}

/// The names of every thread in the tables, metric first, each by rising size.
pub fn all() -> impl Iterator<Item = String> {
    metric::names().chain(unified::names())
}

/// The answer to a thread that no table holds, with the nearest names.
pub(super) fn unknown(name: &str) -> Unknown {
    let names: Vec<String> = all().collect();
    Unknown::near("thread", name, names.iter().map(String::as_str))
}

/// tan 30°, the slope of a flank.
const TAN_30: f64 = 0.577_350_269_189_625_8;

impl Thread {
    /// Height of the thread that a drill leaves, in percent of three quarters of the sharp
    /// triangle's height on each side: `100 · (major − drill) / (1.299 · pitch)`.
    ///
    /// This is the percentage of trade charts, by which the usual drills give about 75 %.
    pub fn percent_of_trade_height(&self, drill: Length) -> f64 {
        100.0 * (self.major - drill).as_mm() / (1.299_038_105_676_658 * self.pitch.as_mm())
    }

    /// Height of the thread that a drill leaves, in percent of the basic height, five eighths of
    /// the sharp triangle's on each side (ISO 68-1): `100 · (major − drill) / (1.0825 · pitch)`.
    ///
    /// It is 1.2 times [`Self::percent_of_trade_height`].
    pub fn percent_of_basic_height(&self, drill: Length) -> f64 {
        100.0 * (self.major - drill).as_mm() / (1.082_531_754_730_548 * self.pitch.as_mm())
    }

    /// The area in which the thread of the hole shears, at least material of both.
    ///
    /// FED-STD-H28/2B, table II.B.1, formula 2a; ASME B1.1, appendix.
    pub fn internal_shear_area(&self, engagement: Length) -> Area {
        let screw = self.external.major_min.as_mm();
        let flank = self.pitch.as_mm() / 2.0 + TAN_30 * (screw - self.internal.pitch_max.as_mm());
        Area::mm2(PI / self.pitch.as_mm() * engagement.as_mm() * screw * flank)
    }

    /// The area in which the thread of the screw shears, at least material of both.
    ///
    /// FED-STD-H28/2B, table II.B.1, formula 4a; ASME B1.1, appendix.
    pub fn external_shear_area(&self, engagement: Length) -> Area {
        let hole = self.internal.minor_max.as_mm();
        let flank = self.pitch.as_mm() / 2.0 + TAN_30 * (self.external.pitch_min.as_mm() - hole);
        Area::mm2(PI / self.pitch.as_mm() * engagement.as_mm() * hole * flank)
    }

    /// The length of full thread at which the screw breaks before either thread strips.
    ///
    /// FED-STD-H28/2B, formulas 14 to 16, with the shear strength taken as half the tensile
    /// strength. Lead of the tap, chamfers and countersinks are no full thread. The model shares
    /// the load evenly, which it is not: beyond about 1.5 diameters more length helps little
    /// (common practice). A hole without strength gives a length without end.
    pub fn engagement_for_full_strength(&self, screw_tensile: Stress, hole_tensile: Stress) -> Length {
        let unit = Length::mm(1.0);
        let own = 2.0 * self.stress_area.as_mm2() / self.external_shear_area(unit).as_mm2();
        let ratio = screw_tensile / hole_tensile;
        let hole = 2.0 * self.stress_area.as_mm2() / self.internal_shear_area(unit).as_mm2() * ratio;
        Length::mm(own.max(hole))
    }

    /// The thread as a drawing calls it out: `M5x0.8-6H`, `1/4-20 UNC-2B`, `M5x0.8-6H-LH`
    /// (ISO 965-1; ASME B1.1).
    pub fn callout(&self, class: &str, hand: Hand) -> String {
        let class = if class.is_empty() { String::new() } else { format!("-{class}") };
        let hand = match hand {
            Hand::Right => "",
            Hand::Left => "-LH",
        };
        format!("{}{class}{hand}", self.designation)
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::standards::drill;

    fn known(name: &str) -> Thread {
        thread(name).unwrap_or_else(|error| panic!("{name}: {error}"))
    }

    #[test]
    fn names_as_people_type_them() {
        for (typed, designation) in [
            ("M5", "M5x0.8"),
            ("m6x1", "M6x1"),
            ("M8x1", "M8x1"),
            ("M8 x 1.25", "M8x1.25"),
            ("M10×1.25", "M10x1.25"),
            ("M2,5", "M2.5x0.45"),
            ("M5-6H", "M5x0.8"),
            ("M5x0.80-6g", "M5x0.8"),
            ("1/4-20", "1/4-20 UNC"),
            ("1/4\"-20", "1/4-20 UNC"),
            ("1/4-20 UNC", "1/4-20 UNC"),
            ("1/4 – 20 unc – 2B", "1/4-20 UNC"),
            ("10-32", "10-32 UNF"),
            ("#10-32 UNF", "10-32 UNF"),
            ("No. 10-32", "10-32 UNF"),
            ("4-40", "4-40 UNC"),
            (".250-20", "1/4-20 UNC"),
            ("0.190-32", "10-32 UNF"),
            ("1-64", "1-64 UNC"),
            ("1-8", "1-8 UNC"),
            ("1 in-12", "1-12 UNF"),
            ("12-32", "12-32 UNEF"),
            ("1/4-20-3B", "1/4-20 UNC"),
        ] {
            assert_eq!(known(typed).designation, designation, "{typed}");
        }
    }

    #[test]
    fn every_thread_is_sound() {
        let mut count = 0;
        for name in all() {
            let thread = known(&name);
            count += 1;
            assert_eq!(thread.name, name, "a name leads back to itself");
            let int = &thread.internal;
            let ext = &thread.external;
            assert!(int.minor_min < int.minor_max && int.pitch_min < int.pitch_max, "{name}: hole");
            assert!(ext.pitch_min < ext.pitch_max && ext.major_min < ext.major_max, "{name}: screw");
            assert!(int.pitch_min >= ext.pitch_max && int.minor_max < int.pitch_min, "{name}: the two go together");
            let bore = thread.tap_drill.diameter.as_mm();
            assert!(
                bore >= int.minor_min.as_mm() - 1e-6 && bore <= int.minor_max.as_mm() + 1e-6,
                "{name}: tap drill {} outside {:?} to {:?}",
                thread.tap_drill.name,
                int.minor_min,
                int.minor_max
            );
            assert_eq!(drill::drill(&thread.tap_drill.name), Ok(thread.tap_drill.clone()), "{name}");
            assert!(!thread.source.is_empty(), "{name}: source");
        }
        assert!(count > 80, "only {count} threads");
    }

    #[test]
    fn classes() {
        // ASME B1.1, 1/4-20 UNC-3B (from memory): minor 0.1960 to 0.2067, pitch 0.2175 to 0.2211 in.
        let fine = known("1/4-20 UNC-3B");
        for (length, inch) in [
            (fine.internal.minor_min, 0.1960),
            (fine.internal.minor_max, 0.2067),
            (fine.internal.pitch_min, 0.2175),
            (fine.internal.pitch_max, 0.2211),
        ] {
            approx::assert_abs_diff_eq!(length.as_inch(), inch, epsilon = 1e-7);
        }
        assert_eq!((fine.internal.class.as_str(), fine.external.class.as_str()), ("3B", "2A"), "one side only");
        // The same table: 3/8-16 0.3182, 1/2-13 0.4284, 10-32 0.1641, 1-8 0.8797 in (from memory).
        for (name, inch) in [("3/8-16-3B", 0.3182), ("1/2-13-3B", 0.4284), ("10-32-3B", 0.1641), ("1-8-3B", 0.8797)] {
            approx::assert_abs_diff_eq!(known(name).internal.minor_max.as_inch(), inch, epsilon = 1e-7);
        }
        assert_eq!(known("1/4-20-3A").external.class, "3A", "the screw's side");
        let error = thread("M5-4H").expect_err("not in the table");
        assert!(error.help.contains("6H"), "{error}");
        assert!(thread("1/4-20-6H").is_err() && thread("M5-2B").is_err(), "classes of the other system");
    }

    #[test]
    fn callouts() {
        assert_eq!(known("M5").callout("6H", Hand::Right), "M5x0.8-6H", "ISO 965-1");
        assert_eq!(known("1/4-20").callout("2B", Hand::Left), "1/4-20 UNC-2B-LH", "ASME B1.1");
    }

    /// 1/4-20 UNC 2A/2B: FED-STD-H28/2B and the machinist handbook's formulas, worked by hand.
    #[test]
    fn strength_of_a_quarter_inch_thread() {
        let quarter = known("1/4-20");
        let inch = Length::inch(1.0);
        approx::assert_abs_diff_eq!(quarter.internal_shear_area(inch).as_mm2() / 645.16, 0.5390, epsilon = 5e-5);
        approx::assert_abs_diff_eq!(quarter.external_shear_area(inch).as_mm2() / 645.16, 0.3680, epsilon = 5e-5);
        let equal = quarter.engagement_for_full_strength(Stress::mpa(500.0), Stress::mpa(500.0));
        approx::assert_abs_diff_eq!(equal.as_inch(), 0.1730, epsilon = 1e-4);
        // 150 ksi screw in 60 ksi steel: J = 1.707, Q = 0.2952 in.
        let weak = quarter.engagement_for_full_strength(Stress::mpa(150.0), Stress::mpa(60.0));
        approx::assert_abs_diff_eq!(weak.as_inch(), 0.2952, epsilon = 1e-4);
    }

    #[test]
    fn two_percentages() {
        // 1/4-20 with #7: 75.4 % of the trade height, 90.5 % of the basic height (both worked).
        let quarter = known("1/4-20");
        let bore = quarter.tap_drill.diameter;
        approx::assert_abs_diff_eq!(quarter.percent_of_trade_height(bore), 75.4, epsilon = 0.05);
        approx::assert_abs_diff_eq!(quarter.percent_of_basic_height(bore), 90.5, epsilon = 0.05);
    }

    #[test]
    fn nasty_names() {
        let long = "M".repeat(10_000);
        for name in [
            "",
            " ",
            "M",
            "M5x",
            "Mx1",
            "M5x0",
            "M0",
            "M-5",
            "M5x1e0",
            "M5xx0.8",
            "M5x0.6",
            "9/0-20",
            "1/0-20",
            "1/4",
            "1/4-",
            "-20",
            "1/4-20-",
            "1/4-20-9Z",
            "1/4-20 UNF",
            "1/4-99999999999",
            "#-32",
            "--",
            "Ｍ５",
            "M5\0",
            "µ5",
            "M5-LH",
            "½-13",
            "NaN-20",
            "inf",
            long.as_str(),
        ] {
            let error = thread(name).expect_err(name);
            assert!(!error.what.is_empty() && !error.help.is_empty(), "{name}");
            assert!(error.to_string().len() < 300, "{name}: a message, not a book");
        }
    }
}
