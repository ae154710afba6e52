//! What all parts of the planning share.

use super::model::{Choice, Operation};
use crate::diag::Diagnostic;
use crate::part::{Part, Pose};
use crate::quantity::{Feed, Length, Unit};
use crate::shop::{Shop, Tool};
use crate::standards::material::Group;

/// The part and the shop on the table, and what was found and decided so far.
pub(super) struct Bench<'a> {
    /// The part as it stands in this setup.
    pub(super) part: &'a Part,
    /// The part as it is drawn.
    pub(super) whole: &'a Part,
    pub(super) pose: Pose,
    pub(super) shop: &'a Shop,
    pub(super) findings: Vec<Diagnostic>,
    pub(super) choices: Vec<Choice>,
    pub(super) notes: Vec<String>,
    /// How far the end that is milled must stand beyond the jaws.
    pub(super) overhang: Option<Length>,
}

/// Height above the part at which the tool may go anywhere: above jaws, stop and chips.
/// Common practice, no source.
pub(super) const CLEAR: Length = Length::mm(5.0);

/// Height above the part down to which a tool comes at the rapid. Common practice, no source.
pub(super) const NEAR: Length = Length::mm(2.0);

/// So far above the clear height the longest tool of a program stands while it is changed: room
/// for hands. The others stand higher by what they are shorter, so that the spindle is always
/// changed at one height. Common practice, no source.
pub const CHANGE: Length = Length::mm(30.0);

/// So much farther than a cut is deep a tool must stand out of its holder. Common practice, no source.
pub(super) const HOLDER: Length = Length::mm(2.0);

/// A tool that is off by less than this is mentioned when none fits: it may be what was meant.
pub(super) const NEARLY: Length = Length::mm(0.6);

/// The least floor that stays under the deepest point of a blind cut. Common practice, no source.
pub(super) const FLOOR: Length = Length::mm(0.2);

/// What must stay free below everything that comes out under the part. Common practice, no source.
pub(super) const FREE: Length = Length::mm(1.0);

impl<'a> Bench<'a> {
    pub(super) const fn new(whole: &'a Part, part: &'a Part, pose: Pose, shop: &'a Shop) -> Self {
        Self { part, whole, pose, shop, findings: Vec::new(), choices: Vec::new(), notes: Vec::new(), overhang: None }
    }

    /// A length in the part's unit.
    pub(super) fn say(&self, length: Length) -> String {
        self.part.unit.say(length)
    }

    /// A length as it is set or read at the machine, in the control's unit.
    pub(super) fn at_mill(&self, length: Length) -> String {
        self.shop.control.speaks(self.part.unit).say(length)
    }

    /// The smallest step of the program, to which centres and radii are snapped.
    pub(super) fn step(&self) -> Length {
        let control = &self.shop.control;
        let unit = control.speaks(self.part.unit);
        let decimals = match unit {
            Unit::Mm => control.decimals_mm,
            Unit::Inch => control.decimals_inch,
        };
        let mut step = 1.0;
        for _ in 0..decimals.min(6) {
            step /= 10.0;
        }
        unit.length(step)
    }

    /// The thickest that the part can be, which is what has to be cut through.
    pub(super) fn thickness(&self) -> Length {
        self.part.height.most().max(self.part.blank.height)
    }

    /// The thinnest that the part can be: no blind cut may go so deep.
    pub(super) fn thinnest(&self) -> Length {
        self.part.height.least().min(self.part.blank.height)
    }

    /// A feed for moves through air that end beside the part or in a hole.
    pub(super) fn air(&self) -> Feed {
        self.feed_most().min(Feed::mm_per_min(500.0))
    }

    /// The machine's fastest feed, brought down to what a word can say: rounded up it would be
    /// beyond the machine.
    pub(super) fn feed_most(&self) -> Feed {
        let step = match self.shop.control.speaks(self.part.unit) {
            Unit::Mm => 0.1,
            Unit::Inch => 0.01 * 25.4,
        };
        let most = self.shop.machine.feed_max;
        let said = Feed::mm_per_min((most.as_mm_per_min() / step + 1e-9).floor() * step);
        if said > Feed::ZERO { said } else { most }
    }

    pub(super) fn note(&mut self, text: impl Into<String>) {
        let text = text.into();
        if !self.notes.contains(&text) {
            self.notes.push(text);
        }
    }

    /// What to mind with this control and this material.
    pub(super) fn cautions(&mut self) {
        if let Some(units) = self.shop.control.two_units(self.part.unit) {
            self.notes.insert(0, units);
        }
        match self.part.material.group {
            Group::Brass => self.note(
                "Sharp drills grab in brass where they come out below: dub the lips, clamp well; the feed is eased there.",
            ),
            Group::Aluminium => self.note("Aluminium welds to dry edges: use a drop of cutting fluid."),
            Group::Stainless => self.note("Never let an edge rub in stainless steel; it hardens at once."),
            Group::Plastic => self.note("Clamp lightly; plastics give way and spring back."),
            Group::Steel | Group::CastIron => {}
        }
    }

    /// The tools of these operations, in the order of their first use.
    pub(super) fn used(&self, operations: &[Operation]) -> Vec<Tool> {
        let mut tools: Vec<Tool> = Vec::new();
        for operation in operations {
            if tools.iter().any(|tool| tool.number == operation.tool) {
                continue;
            }
            tools.extend(self.shop.tools.iter().find(|tool| tool.number == operation.tool).cloned());
        }
        tools
    }
}

/// The least whole number that is not below a value, from one to `most`.
pub(super) fn whole(value: f64, most: u32) -> u32 {
    (1..most).find(|count| f64::from(*count) >= value - 1e-9).unwrap_or(most)
}
