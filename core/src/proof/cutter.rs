//! A tool as the stack of cylinders and cones that it turns in.

use crate::quantity::trig;
use crate::shop::{Cutter, Tool};

/// What a section of a tool may touch.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(super) enum Role {
    /// Cuts.
    Edge,
    /// As thick as the edges at most, but without them.
    Neck,
    /// The shank above the reach.
    Shank,
    /// The holder.
    Holder,
}

/// A section of a tool: a cylinder, or a cone that widens upward.
#[derive(Clone, Copy, Debug)]
pub(super) struct Section {
    pub(super) role: Role,
    /// Above the tip.
    pub(super) low: f64,
    pub(super) high: f64,
    pub(super) radius_low: f64,
    pub(super) radius_high: f64,
}

impl Section {
    /// Its largest radius where it is lower than `height` above the tip; `None` where it is not.
    pub(super) fn radius_below(&self, height: f64) -> Option<f64> {
        if height <= self.low {
            return None;
        }
        let share = if self.high > self.low { ((height - self.low) / (self.high - self.low)).min(1.0) } else { 1.0 };
        Some(self.radius_low + (self.radius_high - self.radius_low) * share)
    }

    pub(super) const fn name(&self) -> &'static str {
        match self.role {
            Role::Edge => "cutter",
            Role::Neck => "neck of the tool",
            Role::Shank => "shank",
            Role::Holder => "holder",
        }
    }
}

/// A holder is at least this long: the nose of a spindle is not far above, and wider.
const HOLDER: f64 = 500.0;

/// The sections of a tool, from the tip up.
pub(super) fn sections(tool: &Tool) -> Vec<Section> {
    let radius = tool.diameter.as_mm() / 2.0;
    let (point, nose) = point(tool);
    // A reamer's lead is as wide as the reamer to whatever it might touch.
    let nose = if matches!(tool.cutter, Cutter::Reamer { .. }) { radius } else { nose };
    // What does not stand out of the holder is holder, whatever the other lengths say.
    let out = tool.stick_out.as_mm().max(point);
    let edges = tool.flute_length.as_mm().clamp(point, out);
    let reach = tool.reach.as_mm().clamp(edges, out);
    let section = |role, low, high, radius_low, radius_high| Section { role, low, high, radius_low, radius_high };
    let shank = tool.shank.as_mm() / 2.0;
    let holder = tool.holder.as_mm() / 2.0;
    let mut list = Vec::with_capacity(5);
    if point > 0.0 {
        list.push(section(Role::Edge, 0.0, point, nose, radius));
    }
    list.push(section(Role::Edge, point, edges, radius, radius));
    if reach > edges {
        list.push(section(Role::Neck, edges, reach, radius, radius));
    }
    if out > reach {
        list.push(section(Role::Shank, reach, out, shank, shank));
    }
    list.push(section(Role::Holder, out, out + HOLDER, holder, holder));
    list
}

/// How far above its tip a tool has its full radius, and its radius at the tip.
pub(super) fn point(tool: &Tool) -> (f64, f64) {
    let radius = tool.diameter.as_mm() / 2.0;
    match &tool.cutter {
        Cutter::Spot { .. } | Cutter::Drill { .. } => (tool.point_length().as_mm(), 0.0),
        Cutter::Countersink { angle, nose } => {
            let nose = (nose.as_mm() / 2.0).min(radius);
            ((radius - nose) / trig::tan(*angle / 2.0).max(1e-3), nose)
        }
        Cutter::Reamer { lead } => (lead.as_mm(), 0.0),
        Cutter::EndMill { .. } | Cutter::ThreadMill { .. } => (0.0, radius),
    }
}

/// The radius of a tool so far above its tip.
pub(super) fn point_radius(tool: &Tool, above: f64) -> f64 {
    let radius = tool.diameter.as_mm() / 2.0;
    let (point, nose) = point(tool);
    if above <= 0.0 {
        0.0
    } else if above >= point {
        radius
    } else {
        nose + (radius - nose) * above / point
    }
}
