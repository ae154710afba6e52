//! What stands on the table in one setup, as boxes and circles.

use crate::part::{Depth, Part};
use crate::plan::{Move, SetupPlan};
use crate::quantity::Length;

/// What stands on the table, in the axes of the setup.
#[derive(Clone, Debug)]
pub(super) struct Scene {
    /// The piece from its left to its right end.
    pub(super) piece: (Length, Length),
    /// Half of its width.
    pub(super) half: Length,
    /// Its height.
    pub(super) height: Length,
    /// The jaws from left to right.
    pub(super) jaws: (Length, Length),
    pub(super) jaw_thickness: Length,
    pub(super) jaw_top: Length,
    /// The bed that the parallels stand on.
    pub(super) bed: Length,
    pub(super) parallel_thickness: Length,
    /// The stop from left to right, and its top.
    pub(super) stop: (Length, Length),
    pub(super) stop_top: Length,
    pub(super) clear: Length,
    /// Edges of tongues along the piece, and how deep their shoulders lie.
    pub(super) edges: Vec<(Length, Length)>,
    pub(super) holes: Vec<Hole>,
    pub(super) slots: Vec<Slot>,
    /// Where the first cut begins.
    pub(super) first: Option<First>,
    /// The deepest that any tool goes.
    pub(super) lowest: Length,
}

/// A hole as it is cut in this setup.
#[derive(Clone, Copy, Debug)]
pub(super) struct Hole {
    pub(super) x: Length,
    pub(super) y: Length,
    pub(super) radius: Length,
    /// Nothing where it goes through.
    pub(super) depth: Option<Length>,
}

/// A slot, or a groove from end to end, as it is cut in this setup.
#[derive(Clone, Copy, Debug)]
pub(super) struct Slot {
    pub(super) x: Length,
    pub(super) y: Length,
    pub(super) half_wide: Length,
    /// Nothing for a groove.
    pub(super) half_long: Option<Length>,
}

/// Where the first cut begins.
#[derive(Clone, Copy, Debug)]
pub(super) struct First {
    pub(super) tool: u32,
    pub(super) x: Length,
    pub(super) y: Length,
    /// The height down to which the tool comes at the rapid.
    pub(super) from: Length,
    /// The height to which the first move at a feed goes.
    pub(super) to: Length,
}

impl Scene {
    pub(super) fn of(part: &Part, setup: &SetupPlan) -> Self {
        let part = part.posed(setup.pose);
        let vise = &setup.setup;
        let piece = part.blank_along();
        let stop = vise.stop_at.unwrap_or(-part.length.nominal / 2.0);
        let middle = vise.jaw_middle;
        let edges = part.tongues().flat_map(|(_, tongue)| {
            let half = tongue.width.nominal / 2.0;
            [(half, tongue.height.nominal), (-half, tongue.height.nominal)]
        });
        let holes = part.holes().flat_map(|(_, holes)| {
            let depth = match &holes.depth {
                Depth::Through => None,
                Depth::Blind(depth) => Some(depth.nominal),
            };
            let radius = holes.radius();
            holes.places.iter().map(move |place| Hole { x: place.x, y: place.y, radius, depth })
        });
        let slots = part.slots().map(|(_, slot)| Slot {
            x: slot.place.x,
            y: slot.place.y,
            half_wide: slot.width.nominal / 2.0,
            half_long: slot.length.as_ref().map(|length| length.nominal / 2.0),
        });
        let lowest = setup.operations.iter().map(crate::plan::Operation::lowest).fold(Length::ZERO, Length::min);

        Self {
            piece,
            half: part.blank.width / 2.0,
            height: part.blank.height,
            jaws: (middle - vise.jaw_reach, middle + vise.jaw_reach),
            jaw_thickness: vise.jaw_thickness,
            jaw_top: vise.jaw_top,
            bed: vise.parallel_top - vise.parallel_height,
            parallel_thickness: vise.parallel_thickness,
            stop: (stop - vise.stop_thickness, stop),
            stop_top: vise.stop_top,
            clear: vise.clear,
            edges: edges.collect(),
            holes: holes.collect(),
            slots: slots.collect(),
            first: first(setup),
            lowest,
        }
    }

    /// How far the piece stands out of the jaws at the left and at the right; below nothing where
    /// it ends between them.
    pub(super) fn overhang(&self) -> (Length, Length) {
        (self.jaws.0 - self.piece.0, self.piece.1 - self.jaws.1)
    }

    /// How much of the piece's height is between the jaws.
    pub(super) fn grip(&self) -> Length {
        self.jaw_top + self.height
    }

    /// What is free between the parallels.
    pub(super) fn gap(&self) -> Length {
        (self.half - self.parallel_thickness) * 2.0
    }

    /// From the parallel to the nearest hole that comes out below.
    pub(super) fn beside_parallel(&self) -> Option<Length> {
        let through = self.holes.iter().filter(|hole| hole.depth.is_none());
        through.map(|hole| self.gap() / 2.0 - hole.y.abs() - hole.radius).min_by(|a, b| a.order(*b))
    }
}

/// Where the first move at a feed begins.
fn first(setup: &SetupPlan) -> Option<First> {
    let operation = setup.operations.first()?;
    let (mut x, mut y, mut z) = (Length::ZERO, Length::ZERO, setup.setup.clear);
    for step in &operation.moves {
        match step {
            Move::Rapid { to } => {
                x = to.x.unwrap_or(x);
                y = to.y.unwrap_or(y);
                z = to.z.unwrap_or(z);
            }
            Move::Feed { to, .. } => {
                return Some(First { tool: operation.tool, x, y, from: z, to: to.z.unwrap_or(z) });
            }
            Move::Arc { to, .. } => return Some(First { tool: operation.tool, x, y, from: z, to: to.z }),
            Move::Drill { places, from, depth, .. } => {
                let place = places.first()?;
                return Some(First { tool: operation.tool, x: place.x, y: place.y, from: *from, to: *depth });
            }
        }
    }
    None
}
