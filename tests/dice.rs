//! Sizes that are random and yet the same on every run.

use barwright_core::quantity::{Unit, trimmed};
use barwright_core::variant::Inputs;

/// Random numbers from a seed: the same row on every machine (the mixing of `SplitMix64`, from
/// memory; nothing rests on its quality).
#[derive(Clone, Debug)]
pub struct Dice(u64);

impl Dice {
    /// Dice that fall in the row of this seed.
    pub fn new(seed: u64) -> Self {
        Self(seed)
    }

    /// The next number.
    pub fn roll(&mut self) -> u64 {
        self.0 = self.0.wrapping_add(0x9e37_79b9_7f4a_7c15);
        let mut mixed = self.0;
        mixed = (mixed ^ (mixed >> 30)).wrapping_mul(0xbf58_476d_1ce4_e5b9);
        mixed = (mixed ^ (mixed >> 27)).wrapping_mul(0x94d0_49bb_1331_11eb);
        mixed ^ (mixed >> 31)
    }

    /// A number from 0 up to but not `below`.
    pub fn below(&mut self, below: u64) -> u64 {
        self.roll() % below.max(1)
    }

    /// A number between two, in steps of a thousandth of the way.
    pub fn between(&mut self, low: f64, high: f64) -> f64 {
        let thousandths = u32::try_from(self.below(1001)).unwrap_or(0);
        low + (high - low) * f64::from(thousandths) / 1000.0
    }

    /// One of these things.
    ///
    /// # Panics
    /// Where there are none.
    pub fn pick<'c, T>(&mut self, things: &'c [T]) -> &'c T {
        let at = usize::try_from(self.below(things.len() as u64)).unwrap_or(0);
        &things[at]
    }

    /// True so many times of a hundred.
    pub fn chance(&mut self, percent: u64) -> bool {
        self.below(100) < percent
    }

    /// One of these.
    ///
    /// # Panics
    /// Where there are none.
    pub fn one<'c>(&mut self, choices: &[&'c str]) -> &'c str {
        let at = usize::try_from(self.below(choices.len() as u64)).unwrap_or(0);
        choices.get(at).copied().expect("something to choose from")
    }

    /// True one time in so many.
    pub fn once_in(&mut self, times: u64) -> bool {
        self.below(times) == 0
    }

    /// Sizes of a joining key that might well be good: a slot as they come, a screw that suits it.
    pub fn likely_key(&mut self) -> Inputs {
        let unit = if self.once_in(2) { Unit::Inch } else { Unit::Mm };
        let say = |mm: f64| match unit {
            Unit::Mm => trimmed(mm, 1),
            Unit::Inch => trimmed(mm / 25.4, 3),
        };
        let slot = self.between(6.0, 20.0);
        let lips = self.between(2.0, 5.0);
        let room = slot + self.between(4.0, 10.0);
        let deep = self.between(7.0, 14.0);
        let reach = self.between(20.0, 60.0);
        let screw = match slot {
            small if small < 7.5 => self.one(&["M3", "6-32"]),
            small if small < 9.5 => self.one(&["M3", "M4", "8-32"]),
            middle if middle < 12.0 => self.one(&["M4", "M5", "8-32", "10-32", "10-24"]),
            middle if middle < 15.0 => self.one(&["M5", "M6", "10-32", "1/4-20", "1/4-28"]),
            _ => self.one(&["M6", "M8", "1/4-20", "5/16-18"]),
        };
        let given = [
            ("slot_opening", say(slot)),
            ("lip_thickness", say(lips)),
            ("channel_width", say(room)),
            ("channel_depth", say(deep)),
            ("length_per_rail", say(reach)),
            ("screw", screw.to_owned()),
            ("screws", (1 + self.below(3)).to_string()),
            ("tongue_fit", self.one(&["e9", "d9", "h9", "f7", "0.05 to 0.12 mm"]).to_owned()),
            ("material", self.one(&["brass-c36000", "aluminium-6061-t6", "steel-12l14"]).to_owned()),
        ];
        let given = given.into_iter().map(|(name, text)| (name.to_owned(), text)).collect();
        Inputs { unit: Some(unit), like: None, given }
    }

    /// Sizes from the whole range that the family takes and a little beyond, each given or left.
    pub fn any_key(&mut self) -> Inputs {
        let unit = if self.once_in(2) { Unit::Inch } else { Unit::Mm };
        let mut inputs = Inputs { unit: Some(unit), ..Inputs::default() };
        let lengths = [
            ("slot_opening", 3.0, 42.0),
            ("lip_thickness", 0.5, 16.0),
            ("channel_width", 5.0, 62.0),
            ("channel_depth", 2.0, 52.0),
            ("length_per_rail", 5.0, 210.0),
            ("side_play", 0.0, 3.2),
            ("head_play", 0.0, 5.2),
            ("below_face", 0.0, 10.5),
            ("step", 0.0, 5.2),
        ];
        for (name, low, high) in lengths {
            if self.once_in(3) {
                let mm = self.between(low, high);
                let text = if unit == Unit::Mm { trimmed(mm, 3) } else { trimmed(mm / 25.4, 4) };
                inputs.given.insert(name.to_owned(), text);
            }
        }
        let words = [
            ("screws", ["1", "2", "8", "9", "0"]),
            ("screw", ["M3", "M8", "10-24", "1/4-28", "5/16-18"]),
            ("tongue_fit", ["e9", "H7", "js6", "c11", "0.02 to 0.02 mm"]),
            ("material", ["brass-c36000", "steel-1018", "stainless-303", "aluminium-6061-t6", "steel-12l14"]),
            ("rail_material", ["brass-c36000", "steel-1018", "stainless-303", "aluminium-6061-t6", "steel-12l14"]),
            ("torque", ["0.05 N·m", "2 N·m", "60 N·m", "35 in-lb", "1 N·m"]),
            ("nut_factor", ["0.08", "0.2", "0.4", "0.5", "0.15"]),
        ];
        for (name, choices) in words {
            if self.once_in(3) {
                inputs.given.insert(name.to_owned(), self.one(&choices).to_owned());
            }
        }
        inputs
    }
}
