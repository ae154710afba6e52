//! What the tests of the whole house share: the families, the demo shop, and dice that fall the
//! same way every time.

use std::collections::BTreeMap;
use std::path::{Path, PathBuf};

use barwright_core::family::{self, Family};
use barwright_core::shop::{self, Shop};
use barwright_core::source::Source;

/// The top folder of the project.
pub fn root() -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).join("..")
}

/// A family of the project, by its name.
///
/// # Panics
/// When the file is not there or not sound.
pub fn family(name: &str) -> Family {
    let path = root().join("families").join(format!("{name}.yaml"));
    let text = std::fs::read_to_string(&path).unwrap_or_else(|error| panic!("{}: {error}", path.display()));
    family::load(&Source::new(format!("families/{name}.yaml"), text)).into_result().expect("the family is sound")
}

/// The files of the demo shop, with one of its control profiles.
///
/// # Panics
/// When the files cannot be read.
pub fn shop_files(control: &str) -> BTreeMap<String, Source> {
    let folder = root().join("families/shop");
    let mut files = BTreeMap::new();
    for item in std::fs::read_dir(&folder).expect("the demo shop is there") {
        let path = item.expect("a readable folder").path();
        let name = path.file_name().expect("a name").to_string_lossy().into_owned();
        let text = std::fs::read_to_string(&path).expect("a readable file");
        let text = if name == "shop.yaml" { with_control(&text, control) } else { text };
        files.insert(name.clone(), Source::new(name, text));
    }
    files
}

fn with_control(text: &str, control: &str) -> String {
    text.lines()
        .map(|line| {
            if line.starts_with("control:") {
                format!("control: control-{control}.yaml\n")
            } else {
                format!("{line}\n")
            }
        })
        .collect()
}

/// The demo shop with one of its control profiles: `canned`, `written-out`, `absolute`.
///
/// # Panics
/// When its files are not sound.
pub fn shop(control: &str) -> Shop {
    shop::load(&shop_files(control), "shop.yaml").into_result().expect("the demo shop is sound")
}

/// The control profiles of the demo shop.
pub const CONTROLS: [&str; 3] = ["canned", "written-out", "absolute"];

/// Dice that fall the same way every time (xorshift64*, Vigna 2016).
#[derive(Clone, Debug)]
pub struct Dice(u64);

impl Dice {
    /// Dice of this seed.
    pub const fn new(seed: u64) -> Self {
        Self(seed.wrapping_mul(0x9E37_79B9_7F4A_7C15) | 1)
    }

    /// Any number.
    pub const fn roll(&mut self) -> u64 {
        self.0 ^= self.0 >> 12;
        self.0 ^= self.0 << 25;
        self.0 ^= self.0 >> 27;
        self.0.wrapping_mul(0x2545_F491_4F6C_DD1D)
    }

    /// A number from zero up to, not including, `end`.
    pub const fn below(&mut self, end: u64) -> u64 {
        self.roll() % end
    }

    /// A number from `low` to `high`.
    pub const fn between(&mut self, low: f64, high: f64) -> f64 {
        low + (high - low) * ((self.roll() >> 11) as f64 / (1_u64 << 53) as f64)
    }

    /// True so many times of a hundred.
    pub const fn chance(&mut self, percent: u64) -> bool {
        self.below(100) < percent
    }

    /// One of several.
    ///
    /// # Panics
    /// When there is none.
    pub fn one<'a, T>(&mut self, of: &'a [T]) -> &'a T {
        let at = self.below(of.len() as u64);
        &of[usize::try_from(at).expect("an index")]
    }
}

#[cfg(test)]
mod tests {
    use super::Dice;

    #[test]
    fn dice_fall_the_same_way_and_everywhere() {
        let (mut a, mut b) = (Dice::new(7), Dice::new(7));
        let rolls: Vec<u64> = (0..100).map(|_| a.below(10)).collect();
        assert_eq!(rolls, (0..100).map(|_| b.below(10)).collect::<Vec<_>>(), "the same seed, the same rolls");
        assert!((0..10).all(|side| rolls.contains(&side)), "every side comes up: {rolls:?}");
    }
}
