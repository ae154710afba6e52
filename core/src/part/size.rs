//! A size with its limits.

use serde::{Deserialize, Serialize};

use crate::quantity::Length;

/// One of the three directions of a part.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Serialize, Deserialize)]
#[serde(rename_all = "lowercase")]
pub enum Axis {
    /// Along the bar.
    X,
    /// Across the bar.
    Y,
    /// Up.
    Z,
}

impl Axis {
    /// The letter that stands for it on a machine and on paper.
    pub const fn letter(self) -> char {
        match self {
            Self::X => 'X',
            Self::Y => 'Y',
            Self::Z => 'Z',
        }
    }
}

/// What the limits of a size rest on.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, Deserialize)]
#[serde(rename_all = "kebab-case")]
pub enum Basis {
    /// The general tolerance of the drawing.
    General,
    /// A zone of ISO 286, such as `e9`.
    Zone(String),
    /// Limits that the user or the family gives.
    Given,
    /// The stock as it comes.
    Stock,
}

/// A size: nominal, and how far it may leave it.
#[derive(Clone, Debug, PartialEq, Serialize, Deserialize)]
pub struct Size {
    /// The name of the value that it shows, as the family file writes it.
    pub name: String,
    /// In plain words: `width of the tongue`.
    pub title: String,
    /// The size that the others are counted from, as printed.
    pub nominal: Length,
    /// Upper limit less nominal.
    pub upper: Length,
    /// Lower limit less nominal.
    pub lower: Length,
    /// What the limits rest on.
    pub basis: Basis,
}

impl Size {
    /// The largest good size.
    pub fn most(&self) -> Length {
        self.nominal + self.upper
    }

    /// The smallest good size.
    pub fn least(&self) -> Length {
        self.nominal + self.lower
    }

    /// The middle of the limits: what the cutter aims at.
    pub fn middle(&self) -> Length {
        self.nominal + (self.upper + self.lower) / 2.0
    }

    /// Whether a measured value is good; the limits themselves are good.
    pub fn holds(&self, measured: Length) -> bool {
        let dust = Length::mm(1e-7);
        measured >= self.least() - dust && measured <= self.most() + dust
    }
}
