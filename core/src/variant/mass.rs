//! What the finished piece weighs.

use crate::part::{Depth, Head, Holes, Make, Part, Pose};
use crate::quantity::{Mass, trig};

/// Mass of the finished piece at the middle of its limits; chamfers and edge breaks are left out,
/// and a thread counts as a bore half way between its minor and its major diameter.
pub(super) fn of(part: &Part) -> Mass {
    let (length, width, height) =
        (part.length.nominal.as_mm(), part.width.nominal.as_mm(), part.height.nominal.as_mm());
    let mut volume = length * width * height;
    for (_, tongue) in part.tongues() {
        volume -= length * (width - tongue.width.middle().as_mm()) * tongue.height.middle().as_mm();
    }
    for pose in [Pose::Top, Pose::Bottom, Pose::OnLeft, Pose::OnRight] {
        let posed = part.posed(pose);
        let through = posed.height.nominal.as_mm();
        for (_, holes) in posed.holes() {
            let each = hole(holes, through);
            for _ in &holes.places {
                volume -= each;
            }
        }
    }
    for (_, slot) in part.slots() {
        let wide = slot.width.middle().as_mm();
        let deep = slot.depth.blind().map_or(height, |depth| depth.middle().as_mm());
        let area = slot.length.as_ref().map_or(length * wide, |long| {
            (long.middle().as_mm() - wide) * wide + std::f64::consts::FRAC_PI_4 * wide * wide
        });
        volume -= area * deep;
    }
    if let Some(corner) = &part.ends.corner {
        let radius = corner.middle().as_mm();
        volume -= (4.0 - std::f64::consts::PI) * radius * radius * height;
    }
    Mass::gram(volume * part.material.density.as_gram_per_mm3())
}

/// What one hole takes away, in cubic millimetres.
fn hole(holes: &Holes, through: f64) -> f64 {
    let (drilled, diameter) = match &holes.make {
        Make::Plain { diameter } | Make::Reamed { diameter } => {
            let diameter = diameter.middle().as_mm();
            (diameter, diameter)
        }
        Make::Tapped { thread, drill, .. } => {
            let drilled = drill.diameter.as_mm();
            (drilled, f64::midpoint(drilled, thread.major.as_mm()))
        }
    };
    let disc = |diameter: f64| std::f64::consts::FRAC_PI_4 * diameter * diameter;
    let bore = match &holes.depth {
        Depth::Through => disc(diameter) * through,
        Depth::Blind(depth) => {
            let full = match &holes.make {
                Make::Tapped { full: Some(full), .. } => full.nominal.as_mm(),
                _ => depth.middle().as_mm(),
            };
            // The drill's point of 118° below its full diameter.
            let point = drilled / 2.0 / trig::tan(crate::quantity::Angle::degree(59.0));
            disc(diameter) * full + disc(drilled) * (depth.middle().as_mm() - full + point / 3.0)
        }
    };
    let head = match &holes.head {
        None => 0.0,
        Some(Head::Counterbore { diameter: wide, depth }) => {
            (disc(wide.middle().as_mm()) - disc(diameter)) * depth.middle().as_mm()
        }
        Some(Head::Countersink { diameter: wide, angle }) => {
            let wide = wide.middle().as_mm();
            let deep = (wide - diameter) / 2.0 / trig::tan(*angle / 2.0);
            // A frustum less the bore inside it.
            std::f64::consts::PI / 12.0 * deep * (wide * wide + wide * diameter + diameter * diameter)
                - disc(diameter) * deep
        }
    };
    bore + head
}
