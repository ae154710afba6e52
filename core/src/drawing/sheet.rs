//! A finished sheet: one list of drawn items at fixed places on paper.

use std::sync::Arc;

use crate::geom::{Point, Rect, Vector};
use crate::quantity::Angle;

/// A sheet of paper with all that is drawn on it.
///
/// Places are millimetres of paper from the lower left corner, X to the right and Y up.
#[derive(Clone, Debug, PartialEq)]
pub struct Sheet {
    /// Extent of the paper to the right, in millimetres.
    pub width: f64,
    /// Extent of the paper upwards, in millimetres.
    pub height: f64,
    /// Number of the part.
    pub number: String,
    /// Name of the part.
    pub title: String,
    /// The whole digest, of which the title block shows the first figures.
    pub digest: String,
    /// Paper millimetres for one millimetre of the part, as the title block says it.
    pub scale: f64,
    /// Whether the written file carries the lettering with it.
    pub embed_font: bool,
    /// The box that holds everything, in which the frame is drawn.
    pub frame: Rect,
    /// What is drawn, in the order of drawing.
    pub items: Vec<Item>,
    /// The sheets that follow, where a table finds no room on this one; none of them has any of
    /// its own.
    pub following: Vec<Sheet>,
}

/// One drawn thing.
#[derive(Clone, Debug, PartialEq)]
pub struct Item {
    /// Its form and place.
    pub shape: Shape,
    /// What it is for.
    pub role: Role,
    /// The pen that draws it.
    pub pen: Pen,
    /// The values that it shows, if it shows any.
    pub shows: Option<Arc<Shown>>,
}

/// The values that an item shows.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Shown {
    /// Names of the values, as [`crate::part::Size::name`] gives them.
    pub names: Vec<String>,
    /// In plain words.
    pub title: String,
}

/// The forms that are drawn.
#[derive(Clone, Debug, PartialEq)]
pub enum Shape {
    /// A straight line.
    Line(Point, Point),
    /// A broken line: the short lines that it is made of, one after the other.
    Dashes(Vec<(Point, Point)>),
    /// A part of a circle.
    Arc {
        /// Its middle.
        centre: Point,
        /// Its radius.
        radius: f64,
        /// Direction from the middle to where it starts.
        start: Angle,
        /// How far it turns to the left; less than a full turn.
        sweep: Angle,
    },
    /// A circle.
    Circle {
        /// Its middle.
        centre: Point,
        /// Its radius.
        radius: f64,
    },
    /// Straight lines from point to point.
    Polyline {
        /// The points; never fewer than two.
        points: Vec<Point>,
        /// Whether the last goes back to the first.
        closed: bool,
        /// Whether the inside is black and the edge has no line.
        filled: bool,
    },
    /// A line of text.
    Text {
        /// Where its base line starts, or has its middle or end.
        at: Point,
        /// Which of them.
        anchor: Anchor,
        /// Height of a capital.
        height: f64,
        /// Whether it reads upwards instead of to the right.
        upright: bool,
        /// The text; the lettering has every character of it.
        text: String,
        /// The box that its ink fills.
        ink: Rect,
    },
}

impl Shape {
    /// Moves it.
    pub(super) fn shift(&mut self, by: Vector) {
        let moved = |place: &mut Point| *place = *place + by;
        match self {
            Self::Line(from, to) => [from, to].into_iter().for_each(moved),
            Self::Dashes(dashes) => dashes.iter_mut().flat_map(|(from, to)| [from, to]).for_each(moved),
            Self::Arc { centre, .. } | Self::Circle { centre, .. } => moved(centre),
            Self::Polyline { points, .. } => points.iter_mut().for_each(moved),
            Self::Text { at, ink, .. } => [at, &mut ink.low, &mut ink.high].into_iter().for_each(moved),
        }
    }
}

/// Which place of a text its `at` is.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Anchor {
    /// The start of the line.
    Start,
    /// Its middle.
    Middle,
    /// Its end.
    End,
}

/// What an item is for.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Role {
    /// An edge that is seen.
    Outline,
    /// An edge behind material.
    Hidden,
    /// An axis or a middle.
    Centre,
    /// From an edge out to a dimension.
    Extension,
    /// A dimension line.
    Dimension,
    /// From a text to what it speaks of.
    Leader,
    /// The head of a dimension line or leader.
    Arrow,
    /// Hatching of cut material.
    Hatch,
    /// Where a piece of a long bar is left out, and the circle of a detail.
    Break,
    /// The frame, tables and the check bar.
    Frame,
    /// The projection symbol and the pictorial view: pictures that carry no size.
    Picture,
    /// Text.
    Text,
}

impl Role {
    /// Its name in a file.
    pub const fn name(self) -> &'static str {
        match self {
            Self::Outline => "outline",
            Self::Hidden => "hidden",
            Self::Centre => "centre",
            Self::Extension => "extension",
            Self::Dimension => "dimension",
            Self::Leader => "leader",
            Self::Arrow => "arrow",
            Self::Hatch => "hatch",
            Self::Break => "break",
            Self::Frame => "frame",
            Self::Picture => "picture",
            Self::Text => "text",
        }
    }
}

/// The pens; dashes are drawn as the short lines that they are.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Pen {
    /// Visible edges.
    Outline,
    /// Everything narrow: dimensions, leaders, thread roots.
    Thin,
    /// Dashes of hidden edges.
    Hidden,
    /// Dashes of axes.
    Centre,
    /// The frame.
    Frame,
}

impl Pen {
    /// Width of the line. ISO 128-2 group 0.5: wide 0.5, narrow 0.25; frame 0.7 by ISO 5457
    /// (both from memory). The narrow line stays above 0.25 mm so that copies keep it.
    pub const fn width(self) -> f64 {
        match self {
            Self::Outline => 0.5,
            Self::Thin | Self::Hidden | Self::Centre => 0.25,
            Self::Frame => 0.7,
        }
    }
}
