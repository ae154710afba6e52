//! How the part stands in the vise, and whether everything stays clear of it.

use super::bench::{Bench, CLEAR, FREE};
use super::model::{Move, Operation, Work};
use crate::diag::Diagnostic;
use crate::quantity::Length;
use crate::shop::{Setup, Travel};

/// The jaws stay so far below whatever is cut beside the part. Common practice, no source.
const BELOW: Length = Length::mm(1.0);

/// The stop is a strip of this thickness, no higher than the jaws. Common practice, no source.
const STOP: Length = Length::mm(6.0);

/// Chooses the parallels; refuses where nothing holds the part or something would be cut.
pub(super) fn hold(bench: &mut Bench<'_>, number: u32, operations: &[Operation]) -> Option<Setup> {
    let vise = bench.shop.vise.clone();
    let part = bench.part;
    let height = part.blank.height;
    let width = part.blank.width.max(part.width.most());
    let mut good = true;
    if width > vise.opening {
        let headline = format!("The bar is {} wide; the vise opens {}.", bench.say(width), bench.say(vise.opening));
        bench
            .findings
            .push(Diagnostic::refused("plan/vise", headline).help("A narrower bar or a larger vise would do."));
        good = false;
    }
    // What is cut beside the part, over the jaws; and what comes out below it.
    let floor = beside(operations).min(Length::ZERO);
    let deepest = operations.iter().map(Operation::lowest).fold(Length::ZERO, Length::min);
    let under = (-deepest - height).max(Length::ZERO);
    let grip = vise.grip_min.max((height + floor) / 3.0);
    let free = if under > Length::ZERO { under + FREE } else { Length::ZERO };
    let jaw_top = |parallel: Length| -height - parallel + vise.jaw_height;
    // The lowest pair that keeps the jaws off the cutter grips the most.
    let chosen = vise.parallels.iter().copied().find(|parallel| {
        let top = jaw_top(*parallel);
        top <= floor - BELOW && top + height >= grip && *parallel >= free
    });
    let Some(parallel) = chosen else {
        let low = -floor;
        let least = (vise.jaw_height - height + low + BELOW).max(free);
        let most = vise.jaw_height - grip;
        let headline = format!("No parallels of the vise hold a part {} high.", bench.say(height));
        let listed: Vec<String> = vise.parallels.iter().map(|height| bench.say(*height)).collect();
        let finding = Diagnostic::refused("plan/vise", headline)
            .note(format!(
                "The jaws are {} high and must end {} below the top.",
                bench.say(vise.jaw_height),
                bench.say(low + BELOW)
            ))
            .note(format!("{} must stay free under the part; {} must be gripped.", bench.say(free), bench.say(grip)))
            .note(format!("There are {}.", listed.join(", ")));
        let help = if least <= most {
            format!("Parallels of {} to {} would do.", bench.say(least), bench.say(most))
        } else {
            "Shallower rabbets, a higher bar or other jaws would do.".to_owned()
        };
        bench.findings.push(finding.help(help));
        return None;
    };
    beside_parallels(bench, width, parallel, vise.parallel_thickness, under > Length::ZERO);
    travel(bench, operations);
    if part.blank.length > vise.jaw_width * 2.0 {
        let headline =
            format!("The part is {} long and the jaws {}.", bench.say(part.blank.length), bench.say(vise.jaw_width));
        bench.findings.push(Diagnostic::caution("plan/overhang", headline).help("Support the ends, or they ring."));
    }
    let top = jaw_top(parallel);
    bench.note(format!(
        "Parallels of {}: the jaws grip {} and end {} below the top; {} stay free under the part.",
        bench.say(parallel),
        bench.say(top + height),
        bench.say(-top),
        bench.say(parallel)
    ));
    good.then(|| Setup {
        number,
        jaw_top: top,
        jaw_reach: vise.jaw_width / 2.0,
        jaw_middle: Length::ZERO,
        stop_at: None,
        jaw_thickness: vise.jaw_thickness,
        parallel_top: -height,
        parallel_height: parallel,
        parallel_thickness: vise.parallel_thickness,
        stop_top: top,
        stop_thickness: STOP,
        clear: CLEAR,
        work_offset: bench.shop.control.work_offset.clone(),
        datum_at: None,
    })
}

/// The lowest that a cutter goes beside the part.
fn beside(operations: &[Operation]) -> Length {
    operations
        .iter()
        .filter(|operation| matches!(operation.work, Work::RabbetRough | Work::RabbetFinish))
        .map(Operation::lowest)
        .fold(Length::ZERO, Length::min)
}

/// Holes that go through must come out between the parallels.
fn beside_parallels(bench: &mut Bench<'_>, width: Length, parallel: Length, thick: Length, through: bool) {
    if !through {
        return;
    }
    let gap = width / 2.0 - thick;
    let mut worst: Option<(Length, String)> = None;
    for (feature, holes) in bench.part.holes() {
        let radius = holes.radius();
        for place in &holes.places {
            let out = place.y.abs() + radius + FREE;
            if out > gap && worst.as_ref().is_none_or(|(known, _)| out > *known) {
                worst = Some((out, feature.title.clone()));
            }
        }
    }
    if let Some((out, title)) = worst {
        let headline = format!(
            "`{title}` comes out over the parallels: {} from the middle is needed, {} is free.",
            bench.say(out),
            bench.say(gap)
        );
        let thin = width / 2.0 - out;
        let help = if thin > Length::mm(0.5) {
            format!("Parallels of {} thickness or less and {} height would do.", bench.say(thin), bench.say(parallel))
        } else {
            "Move the holes toward the middle, or use jaws with steps instead of parallels.".to_owned()
        };
        bench.findings.push(Diagnostic::refused("plan/parallels", headline).help(help));
    }
}

/// The way that the tool goes must fit in the travel of the table.
fn travel(bench: &mut Bench<'_>, operations: &[Operation]) {
    let (mut x, mut y) = (Length::ZERO, Length::ZERO);
    for at in operations.iter().flat_map(|operation| &operation.moves) {
        match at {
            Move::Rapid { to } | Move::Feed { to, .. } => {
                x = x.max(to.x.unwrap_or(Length::ZERO).abs());
                y = y.max(to.y.unwrap_or(Length::ZERO).abs());
            }
            Move::Arc { .. } | Move::Drill { .. } => {}
        }
    }
    let span = |travel: Travel| travel.to - travel.from;
    for (axis, need, have) in [("X", x * 2.0, span(bench.shop.machine.x)), ("Y", y * 2.0, span(bench.shop.machine.y))] {
        if need > have {
            let headline =
                format!("The tool needs {} along {axis}; the machine has {}.", bench.say(need), bench.say(have));
            let help = format!("A part shorter by {} would do.", bench.say(need - have));
            bench.findings.push(Diagnostic::refused("plan/travel", headline).help(help));
        }
    }
}
