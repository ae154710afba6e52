//! What the views see of a part: a stepped bar and its holes.

use crate::part::{Make, Part};

/// A part as the views need it, in millimetres of the part.
#[derive(Clone, Debug)]
pub(super) struct Solid {
    pub(super) length: f64,
    pub(super) width: f64,
    pub(super) height: f64,
    /// From the top down; the first begins at the top, the last ends at the bottom.
    pub(super) steps: Vec<Step>,
    pub(super) holes: Vec<Hole>,
}

/// A layer of the bar's section.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) struct Step {
    /// Half its width.
    pub(super) half: f64,
    /// Depth of its upper side below the top.
    pub(super) top: f64,
    /// Depth of its lower side below the top.
    pub(super) bottom: f64,
}

/// A hole through the bar.
#[derive(Clone, Copy, Debug, PartialEq)]
pub(super) struct Hole {
    /// Number of its group among the groups of holes.
    pub(super) group: usize,
    pub(super) x: f64,
    pub(super) y: f64,
    /// Radius as drilled.
    pub(super) radius: f64,
    /// Major radius of its thread.
    pub(super) major: Option<f64>,
    /// Radius of its entry chamfer.
    pub(super) chamfer: Option<f64>,
}

impl Solid {
    pub(super) fn of(part: &Part) -> Self {
        let (width, height) = (part.width.nominal.as_mm(), part.height.nominal.as_mm());
        let mut tongues: Vec<(f64, f64)> = part
            .tongues()
            .map(|(_, tongue)| (tongue.height.nominal.as_mm(), tongue.width.nominal.as_mm() / 2.0))
            .collect();
        tongues.sort_by(|a, b| a.0.total_cmp(&b.0));
        let mut steps = Vec::new();
        let mut top = 0.0;
        for (index, (depth, _)) in tongues.iter().enumerate() {
            let half = tongues[index..].iter().map(|(_, half)| *half).fold(width / 2.0, f64::min);
            let bottom = depth.min(height);
            if bottom > top {
                steps.push(Step { half, top, bottom });
                top = bottom;
            }
        }
        if height > top {
            steps.push(Step { half: width / 2.0, top, bottom: height });
        }
        let mut holes = Vec::new();
        for (group, (_, set)) in part.holes().enumerate() {
            let (radius, major) = match &set.make {
                Make::Plain { diameter } | Make::Reamed { diameter } => (diameter.nominal.as_mm() / 2.0, None),
                Make::Tapped { thread, drill, .. } => (drill.diameter.as_mm() / 2.0, Some(thread.major.as_mm() / 2.0)),
            };
            let chamfer = set.chamfer.map(|diameter| diameter.as_mm() / 2.0).filter(|chamfer| *chamfer > radius);
            holes.extend(set.places.iter().map(|place| Hole {
                group,
                x: place.x.as_mm(),
                y: place.y.as_mm(),
                radius,
                major,
                chamfer,
            }));
        }
        Self { length: part.length.nominal.as_mm(), width, height, steps, holes }
    }

    /// Depth below the top at which a hole at this place across begins.
    pub(super) fn surface(&self, y: f64) -> f64 {
        self.steps.iter().find(|step| y.abs() < step.half).map_or(0.0, |step| step.top)
    }
}

impl Hole {
    /// Radius on paper of the drilled circle, and of the thread beside it: the two are kept
    /// apart by twice the wide line, as ISO 6410-1 asks (from a public summary), even where the
    /// true distance would fill in.
    pub(super) fn circles(&self, scale: f64) -> (f64, Option<f64>) {
        let inner = self.radius * scale;
        (inner, self.major.map(|major| (major * scale).max(inner + 1.0)))
    }

    /// Radius on paper of the outermost drawn circle.
    pub(super) fn outer(&self, scale: f64) -> f64 {
        let (inner, thread) = self.circles(scale);
        let chamfer = self.shown_chamfer(scale).unwrap_or(inner);
        thread.unwrap_or(chamfer)
    }

    /// Radius on paper of a chamfer that is drawn in the round view: not on threads (ISO 6410-1),
    /// and not where it would run into the hole.
    pub(super) fn shown_chamfer(&self, scale: f64) -> Option<f64> {
        let shown = self.chamfer.map(|chamfer| chamfer * scale).filter(|chamfer| *chamfer >= self.radius * scale + 0.7);
        if self.major.is_some() { None } else { shown }
    }
}
