//! Which size a reading is of.

use crate::diag::{Diagnostic, nearest};
use crate::part::{Characteristic, Kind, Part, inspected};
use crate::quantity::{Dim, Length, read_as};

/// What a gauge or an instrument said.
#[derive(Clone, Debug, PartialEq)]
pub(super) enum Said {
    /// Lengths that were read, at least one.
    Lengths(Vec<Length>),
    /// Whether the GO and the NOT GO plug entered, as far as they were tried.
    Plug(Option<bool>, Option<bool>),
}

/// A size with its readings.
#[derive(Clone, Debug)]
pub(super) struct Read {
    pub(super) characteristic: Characteristic,
    /// The feature whose threads a plug was tried in, or of the characteristic.
    pub(super) feature: Option<String>,
    pub(super) said: Said,
}

impl Read {
    pub(super) fn mean(&self) -> Option<Length> {
        match &self.said {
            Said::Lengths(list) if !list.is_empty() => {
                let count = list.iter().fold(0.0, |count, _| count + 1.0);
                Some(list.iter().copied().sum::<Length>() / count)
            }
            _ => None,
        }
    }

    /// Each length that was read.
    pub(super) fn lengths(&self) -> &[Length] {
        match &self.said {
            Said::Lengths(list) => list,
            Said::Plug(..) => &[],
        }
    }

    /// Whether every one of them is within the limits: a mean may be where no reading is.
    pub(super) fn holds(&self) -> bool {
        self.lengths().iter().all(|length| self.characteristic.size.holds(*length))
    }

    /// The smallest and the largest reading.
    pub(super) fn ends(&self) -> Option<(Length, Length)> {
        let least = self.lengths().iter().copied().min_by(|a, b| a.order(*b))?;
        let most = self.lengths().iter().copied().max_by(|a, b| a.order(*b))?;
        Some((least, most))
    }

    /// From the one to the other.
    pub(super) fn spread(&self) -> Length {
        self.ends().map_or(Length::ZERO, |(least, most)| most - least)
    }
}

/// Reads what was typed; readings of one size come together.
pub(super) fn read(part: &Part, readings: &[(String, String)]) -> (Vec<Read>, Vec<Diagnostic>) {
    let known = inspected(part);
    let mut list: Vec<Read> = Vec::new();
    let mut findings = Vec::new();
    for (name, text) in readings {
        // As it was typed, and else with `-` for the `_` of a name.
        let plain = name.replace('-', "_");
        let either = [name.as_str(), plain.as_str()];
        if let Some((feature, go)) = either.iter().find_map(|name| plug_of(part, name)) {
            let Some(entered) = yes(text) else {
                findings.push(
                    Diagnostic::refused("adjust/value", format!("{name}: a plug enters or not."))
                        .help(format!("Write {name}=yes or {name}=no.")),
                );
                continue;
            };
            plug(&mut list, &known, &feature, go, entered);
            continue;
        }
        let Some(characteristic) = either.iter().find_map(|name| size_of(part, &known, name)) else {
            findings.push(unknown(part, &known, name));
            continue;
        };
        let value = match read_as(text, Dim::LENGTH, Some(part.unit)) {
            Ok(value) => Length::mm(value.value),
            Err(error) => {
                let finding = Diagnostic::refused("adjust/value", format!("{name}: {}", error.what));
                findings.push(if error.help.is_empty() { finding } else { finding.help(error.help) });
                continue;
            }
        };
        let size = &characteristic.size;
        // Wear, deflection and a tool measured badly come to hundredths; half a millimetre is
        // another tool, another unit or another face. Common practice, no source.
        if (value - size.middle()).abs() > Length::mm(0.5) {
            let off = part.unit.say((value - size.middle()).abs());
            findings.push(
                Diagnostic::refused(
                    "adjust/far",
                    format!("{name}: {} is {off} from {}.", part.unit.say(value), part.unit.say(size.middle())),
                )
                .note("No offset is corrected by so much.")
                .help("Look for a wrong tool, a reading in another unit, a chip under the part; measure again."),
            );
            continue;
        }
        match list.iter_mut().find(|read| read.characteristic.size.name == size.name) {
            Some(Read { said: Said::Lengths(values), .. }) => values.push(value),
            _ => list.push(Read {
                characteristic: characteristic.clone(),
                feature: None,
                said: Said::Lengths(vec![value]),
            }),
        }
    }
    (list, findings)
}

/// The size of this name; a tongue's own name stands for its width.
fn size_of<'c>(part: &Part, known: &'c [Characteristic], name: &str) -> Option<&'c Characteristic> {
    let named = |name: &str| known.iter().find(|characteristic| characteristic.size.name == name);
    named(name).or_else(|| match &part.feature(name)?.kind {
        Kind::Tongue(tongue) => named(&tongue.width.name),
        Kind::Holes(_) | Kind::Slot(_) => None,
    })
}

/// `holes.go` and `holes.not_go` of a group of tapped holes.
fn plug_of(part: &Part, name: &str) -> Option<(String, bool)> {
    let (feature, word) = name.rsplit_once('.')?;
    let go = match word {
        "go" => true,
        "not_go" | "not-go" | "no_go" | "no-go" | "notgo" => false,
        _ => return None,
    };
    let tapped = part.holes().any(|(known, holes)| known.id == feature && holes.thread().is_some());
    tapped.then(|| (feature.to_owned(), go))
}

fn plug(list: &mut Vec<Read>, known: &[Characteristic], feature: &str, go: bool, entered: bool) {
    let there = list.iter_mut().find(|read| read.feature.as_deref() == Some(feature));
    if let Some(Read { said: Said::Plug(yes, no), .. }) = there {
        *(if go { yes } else { no }) = Some(entered);
        return;
    }
    let prefix = format!("{feature}.");
    let pitch = known.iter().find(|characteristic| {
        characteristic.size.name.starts_with(&prefix) && characteristic.size.name.ends_with(".pitch_diameter")
    });
    if let Some(characteristic) = pitch {
        let said = if go { Said::Plug(Some(entered), None) } else { Said::Plug(None, Some(entered)) };
        list.push(Read { characteristic: characteristic.clone(), feature: Some(feature.to_owned()), said });
    }
}

fn yes(text: &str) -> Option<bool> {
    match text.trim().to_ascii_lowercase().as_str() {
        "yes" | "enters" | "true" => Some(true),
        "no" | "false" => Some(false),
        _ => None,
    }
}

fn unknown(part: &Part, known: &[Characteristic], name: &str) -> Diagnostic {
    let shown: String = name.chars().take(60).collect();
    let finding = Diagnostic::refused("adjust/name", format!("The part has no size `{}`.", shown.escape_debug()));
    let tapped = part.holes().filter(|(_, holes)| holes.thread().is_some());
    let plugs: Vec<String> =
        tapped.flat_map(|(feature, _)| [format!("{}.go", feature.id), format!("{}.not_go", feature.id)]).collect();
    let tongues = part.tongues().map(|(feature, _)| feature.id.as_str());
    let names = known
        .iter()
        .map(|characteristic| characteristic.size.name.as_str())
        .chain(tongues)
        .chain(plugs.iter().map(String::as_str));
    let names: Vec<&str> = names.collect();
    if let Some(near) = nearest(name, names.iter().copied()) {
        return finding.help(format!("Did you mean `{near}`?"));
    }
    // Of many holes the first stands for all.
    let later =
        |name: &str| name.split('.').nth(1).and_then(|part| part.parse::<u32>().ok()).is_some_and(|hole| hole > 1);
    let few: Vec<&str> = names.into_iter().filter(|name| !later(name)).collect();
    finding.help(format!("Known: {}.", few.join(", ")))
}
