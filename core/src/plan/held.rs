//! What a load asks of a plan: its piece in another holding, and how far the tools go around it.

use super::bench::Bench;
use super::model::SetupPlan;
use super::{setup, travel};
use crate::diag::Checked;
use crate::part::Part;
use crate::quantity::Length;
use crate::shop::{Setup, Shop, Vise};

/// The piece of a setup in a certain holding.
#[derive(Clone, Debug, PartialEq)]
pub struct Held {
    /// How it stands there.
    pub setup: Setup,
    /// What is to be known of that holding.
    pub notes: Vec<String>,
}

/// How far the tools of a setup go, in the axes of its piece.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct Reach {
    /// The tools' middles along X.
    pub x: (Length, Length),
    /// The same along Y.
    pub y: (Length, Length),
    /// Their edges along X.
    pub edge_x: (Length, Length),
    /// The same along Y.
    pub edge_y: (Length, Length),
}

/// Holds the piece of a setup in a vise that is not the one it was planned for, such as a place of
/// a plate.
///
/// # Errors
/// As findings: what the vise cannot hold, or what would be cut there.
pub fn held(part: &Part, setup: &SetupPlan, shop: &Shop, vise: &Vise) -> Checked<Held> {
    let shop = Shop { vise: vise.clone(), ..shop.clone() };
    let posed = part.posed(setup.pose);
    let mut bench = Bench::new(part, &posed, setup.pose, &shop);
    let found = setup::hold(&mut bench, setup.setup.number, &setup.operations);
    match found {
        Some(setup) => Checked::unless_refused(Held { setup, notes: bench.notes }, bench.findings),
        None => Checked { value: None, findings: bench.findings },
    }
}

/// How far the tools of a setup go around its piece.
pub fn reach(setup: &SetupPlan) -> Reach {
    let mut reach: Option<Reach> = None;
    for operation in &setup.operations {
        let Some([x, y]) = travel::extent(std::slice::from_ref(operation)) else { continue };
        let tool = setup.tools.iter().find(|tool| tool.number == operation.tool);
        let radius = tool.map_or(Length::ZERO, |tool| tool.diameter / 2.0);
        let wide = |(low, high): (Length, Length)| (low - radius, high + radius);
        let one = Reach { x, y, edge_x: wide(x), edge_y: wide(y) };
        let with = |a: (Length, Length), b: (Length, Length)| (a.0.min(b.0), a.1.max(b.1));
        reach = Some(reach.map_or(one, |known| Reach {
            x: with(known.x, one.x),
            y: with(known.y, one.y),
            edge_x: with(known.edge_x, one.edge_x),
            edge_y: with(known.edge_y, one.edge_y),
        }));
    }
    let none = (Length::ZERO, Length::ZERO);
    reach.unwrap_or(Reach { x: none, y: none, edge_x: none, edge_y: none })
}
