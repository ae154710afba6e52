//! What a formula can stand for.

use std::fmt;
use std::sync::Arc;

use crate::quantity::{Dim, Length, Quantity, ReadError, Unit, read_as};
use crate::standards::fit::{Deviations, Zone, zone};
use crate::standards::material::{Material, material};
use crate::standards::screw::{CapScrew, SetScrew};
use crate::standards::stock::Bar;
use crate::standards::thread::{Thread, thread};

/// The kind of a value, known before the value is.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Kind {
    /// A number with its dimension.
    Quantity(Dim),
    /// Yes or no.
    Truth,
    /// A word.
    Word,
    /// A screw thread.
    Thread,
    /// A set screw.
    SetScrew,
    /// A socket head cap screw.
    CapScrew,
    /// A material.
    Material,
    /// A fit: a zone of ISO 286, or clearances.
    Fit,
    /// A bar on the rack.
    Bar,
    /// The whole rack.
    Rack,
    /// Places of a grid.
    Places,
}

/// A value.
#[derive(Clone, Debug, PartialEq)]
pub enum Value {
    /// A number with its dimension.
    Quantity(Quantity),
    /// Yes or no.
    Truth(bool),
    /// A word.
    Word(String),
    /// A screw thread.
    Thread(Arc<Thread>),
    /// A set screw.
    SetScrew(Arc<SetScrew>),
    /// A socket head cap screw.
    CapScrew(Arc<CapScrew>),
    /// A material.
    Material(Arc<Material>),
    /// A fit.
    Fit(Fit),
    /// A bar on the rack.
    Bar(Arc<Bar>),
    /// The whole rack.
    Rack(Arc<[Bar]>),
    /// Places of a grid: column and row, from one.
    Places(Arc<[(u32, u32)]>),
}

/// How a size is to sit in another.
#[derive(Clone, Debug, PartialEq)]
pub enum Fit {
    /// A tolerance zone of ISO 286.
    Zone(Zone),
    /// Least and most clearance, typed by the user.
    Clearance {
        /// Least.
        least: Length,
        /// Most.
        most: Length,
    },
}

impl Fit {
    /// The limit deviations of a size that is to sit so in an opening of this nominal size.
    ///
    /// # Errors
    /// A sentence, where the zone is not defined for the size.
    pub fn deviations(&self, nominal: Length) -> Result<Deviations, String> {
        match self {
            Self::Zone(zone) => zone.limits(nominal).map_err(|unknown| unknown.to_string()),
            Self::Clearance { least, most } => Ok(Deviations { upper: -*least, lower: -*most }),
        }
    }
}

impl fmt::Display for Kind {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::Quantity(dim) => dim.fmt(f),
            Self::Truth => f.write_str("yes or no"),
            Self::Word => f.write_str("word"),
            Self::Thread => f.write_str("thread"),
            Self::SetScrew => f.write_str("set screw"),
            Self::CapScrew => f.write_str("cap screw"),
            Self::Material => f.write_str("material"),
            Self::Fit => f.write_str("fit"),
            Self::Bar => f.write_str("bar"),
            Self::Rack => f.write_str("rack"),
            Self::Places => f.write_str("list of places"),
        }
    }
}

impl Kind {
    /// A bare number.
    pub const NUMBER: Self = Self::Quantity(Dim::NUMBER);
    /// A length.
    pub const LENGTH: Self = Self::Quantity(Dim::LENGTH);
}

impl Value {
    /// The kind of the value.
    pub const fn kind(&self) -> Kind {
        match self {
            Self::Quantity(quantity) => Kind::Quantity(quantity.dim),
            Self::Truth(_) => Kind::Truth,
            Self::Word(_) => Kind::Word,
            Self::Thread(_) => Kind::Thread,
            Self::SetScrew(_) => Kind::SetScrew,
            Self::CapScrew(_) => Kind::CapScrew,
            Self::Material(_) => Kind::Material,
            Self::Fit(_) => Kind::Fit,
            Self::Bar(_) => Kind::Bar,
            Self::Rack(_) => Kind::Rack,
            Self::Places(_) => Kind::Places,
        }
    }

    /// The number, where the value is one; zero otherwise, which inference rules out.
    pub(super) const fn number(&self) -> f64 {
        match self {
            Self::Quantity(quantity) => quantity.value,
            _ => 0.0,
        }
    }

    /// The length, where the value is one.
    pub fn length(&self) -> Option<Length> {
        match self {
            Self::Quantity(quantity) if quantity.dim == Dim::LENGTH => Some(Length::mm(quantity.value)),
            _ => None,
        }
    }

    /// A length as a value.
    pub const fn of_length(length: Length) -> Self {
        Self::Quantity(Quantity::mm(length.as_mm()))
    }
}

impl Value {
    /// Reads what a person types for a value of this kind: `3/8 in`, `M5`, `e9`,
    /// `0.05 to 0.10 mm`, `brass-c36000`, `yes`.
    ///
    /// # Errors
    /// What is wrong with it, and what would be right.
    pub fn read(kind: Kind, text: &str, unit: Option<Unit>) -> Result<Self, ReadError> {
        let text = text.trim();
        let unknown = |unknown: crate::standards::Unknown| ReadError { what: unknown.what, help: unknown.help };
        match kind {
            Kind::Quantity(dim) => read_as(text, dim, unit).map(Self::Quantity),
            Kind::Truth => match text {
                "yes" | "true" => Ok(Self::Truth(true)),
                "no" | "false" => Ok(Self::Truth(false)),
                _ => Err(ReadError {
                    what: format!("`{text}` is neither yes nor no."),
                    help: "Write `yes` or `no`.".to_owned(),
                }),
            },
            Kind::Word => Ok(Self::Word(text.to_owned())),
            Kind::Thread => thread(text).map(|thread| Self::Thread(Arc::new(thread))).map_err(unknown),
            Kind::Material => material(text).map(|material| Self::Material(Arc::new(material))).map_err(unknown),
            Kind::Fit => read_fit(text, unit).map(Self::Fit),
            Kind::Places => read_places(text).map(Self::Places),
            Kind::SetScrew | Kind::CapScrew | Kind::Bar | Kind::Rack => {
                Err(ReadError { what: format!("A {kind} cannot be typed."), help: String::new() })
            }
        }
    }
}

/// The most places that may be listed.
const MOST_PLACES: usize = 2000;

/// Places of a grid, column before row: `2/1, 3/1`; `none` for no place.
fn read_places(text: &str) -> Result<Arc<[(u32, u32)]>, ReadError> {
    if text == "none" {
        return Ok(Arc::from([]));
    }
    let wrong = |what: String| ReadError {
        what,
        help: "Write column/row, counted from the left and from the front: `2/1, 3/1`; or `none`.".to_owned(),
    };
    let place = |word: &str| {
        let (column, row) = word.split_once('/')?;
        let number = |digits: &str| digits.parse().ok().filter(|number| (1..=9999).contains(number));
        Some((number(column)?, number(row)?))
    };
    let mut places = Vec::new();
    for word in text.split([',', ' ', ';']).filter(|word| !word.is_empty()) {
        places.push(place(word).ok_or_else(|| wrong(format!("`{word}` is no place of a grid.")))?);
        if places.len() > MOST_PLACES {
            return Err(wrong(format!("These are more than {MOST_PLACES} places.")));
        }
    }
    if places.is_empty() {
        return Err(wrong("No place is given.".to_owned()));
    }
    places.sort_unstable();
    places.dedup();
    Ok(places.into())
}

/// A zone such as `e9`, or clearances such as `0.05 to 0.10 mm`.
fn read_fit(text: &str, unit: Option<Unit>) -> Result<Fit, ReadError> {
    let help = "Write a zone of ISO 286 such as `e9`, or the least and the most clearance: `0.05 to 0.10 mm`.";
    let Some((least, most)) = text.split_once(" to ").or_else(|| text.split_once("..")) else {
        return zone(text).map(Fit::Zone).map_err(|unknown| ReadError { what: unknown.what, help: help.to_owned() });
    };
    let most_length = read_as(most, Dim::LENGTH, unit)?;
    // The unit may stand once, at the end, and is meant for both then: `0.05 to 0.10 mm`.
    let sign =
        |text: &str| text.find(|c: char| c.is_alphabetic() || "\"'″′”’".contains(c)).map(|at| text[at..].to_owned());
    let least = match (sign(least), sign(most)) {
        (None, Some(sign)) => format!("{least} {sign}"),
        _ => least.to_owned(),
    };
    let least_length = read_as(&least, Dim::LENGTH, unit)?;
    if least_length.value < 0.0 || least_length.value >= most_length.value {
        return Err(ReadError { what: format!("`{text}` is no pair of clearances."), help: help.to_owned() });
    }
    Ok(Fit::Clearance { least: Length::mm(least_length.value), most: Length::mm(most_length.value) })
}
