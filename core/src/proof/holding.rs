//! What stands around the work: jaws, stop, parallels, the bed of the vise.

use crate::geom::{Point, Rect};
use crate::part::{End, Part};
use crate::shop::Setup;

/// Something that reaches from below up to `top`.
#[derive(Clone, Copy, Debug)]
pub(super) struct Obstacle {
    pub(super) name: &'static str,
    pub(super) code: &'static str,
    pub(super) rect: Rect,
    pub(super) top: f64,
}

/// Everything that the tool must keep away from.
pub(super) fn obstacles(part: &Part, setup: &Setup) -> Vec<Obstacle> {
    let (left, right) = part.blank_along();
    let (left, right) = (left.as_mm(), right.as_mm());
    let half_width = part.blank.width.as_mm() / 2.0;
    let (reach, middle) = (setup.jaw_reach.as_mm(), setup.jaw_middle.as_mm());
    let (low, high) = (middle - reach, middle + reach);
    let outside = half_width + setup.jaw_thickness.as_mm();
    // Parallels and bed are as long as the jaws; under a part that is longer on both sides, as
    // long as the part. An end that stands out on purpose has nothing under it.
    let stands_out = matches!(part.ends.right, End::Milled(_));
    let under_all = !stands_out && setup.jaw_middle == crate::quantity::Length::ZERO;
    let (from, to) = if under_all { (low.min(left), high.max(right)) } else { (low, high) };
    let block = |name, code, low: (f64, f64), high: (f64, f64), top: f64| Obstacle {
        name,
        code,
        rect: Rect::new(Point::new(low.0, low.1), Point::new(high.0, high.1)),
        top,
    };
    let thick = setup.parallel_thickness.as_mm();
    let under = setup.parallel_top.as_mm();
    let end = setup.stop_at.map_or(left, crate::quantity::Length::as_mm);
    let stop = end - setup.stop_thickness.as_mm();
    vec![
        block("rear jaw", "proof/jaw", (low, half_width), (high, outside), setup.jaw_top.as_mm()),
        block("front jaw", "proof/jaw", (low, -outside), (high, -half_width), setup.jaw_top.as_mm()),
        block("stop", "proof/stop", (stop, -half_width), (end, half_width), setup.stop_top.as_mm()),
        block("rear parallel", "proof/parallel", (from, half_width - thick), (to, half_width), under),
        block("front parallel", "proof/parallel", (from, -half_width), (to, thick - half_width), under),
        block(
            "bed of the vise",
            "proof/parallel",
            (from, -outside),
            (to, outside),
            under - setup.parallel_height.as_mm(),
        ),
    ]
}
