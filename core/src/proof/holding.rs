//! What stands around the work: jaws, stop, parallels, the bed of the vise.

use crate::geom::{Point, Rect};
use crate::part::Part;
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
    let half_length = part.blank.length.as_mm() / 2.0;
    let half_width = part.blank.width.as_mm() / 2.0;
    let reach = setup.jaw_reach.as_mm();
    let outside = half_width + setup.jaw_thickness.as_mm();
    let along = reach.max(half_length);
    let block = |name, code, low: (f64, f64), high: (f64, f64), top: f64| Obstacle {
        name,
        code,
        rect: Rect::new(Point::new(low.0, low.1), Point::new(high.0, high.1)),
        top,
    };
    let thick = setup.parallel_thickness.as_mm();
    let under = setup.parallel_top.as_mm();
    let stop = half_length + setup.stop_thickness.as_mm();
    vec![
        block("rear jaw", "proof/jaw", (-reach, half_width), (reach, outside), setup.jaw_top.as_mm()),
        block("front jaw", "proof/jaw", (-reach, -outside), (reach, -half_width), setup.jaw_top.as_mm()),
        block("stop", "proof/stop", (-stop, -half_width), (-half_length, half_width), setup.stop_top.as_mm()),
        block("rear parallel", "proof/parallel", (-along, half_width - thick), (along, half_width), under),
        block("front parallel", "proof/parallel", (-along, -half_width), (along, thick - half_width), under),
        block(
            "bed of the vise",
            "proof/parallel",
            (-along, -outside),
            (along, outside),
            under - setup.parallel_height.as_mm(),
        ),
    ]
}
